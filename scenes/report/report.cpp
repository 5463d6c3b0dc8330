// The page from top to bottom. Every word that is not the scene's own comes from the text catalogue.

#include "scenes/report/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenes/output/json.hpp"
#include "scenes/report/base64.hpp"
#include "scenes/report/chart.hpp"
#include "scenes/report/gave_way.hpp"
#include "scenes/report/html.hpp"
#include "scenes/report/section.hpp"
#include "scenes/report/tables.hpp"
#include "scenes/text/cautions.hpp"
#include "scenes/text/text_fill.hpp"

namespace warmbay::scenes {

namespace {

using sim::celsius_from_kelvin;

std::string heading(const std::string& text) {
  return "<h2>" + escaped(text) + "</h2>\n";
}

std::string figure(const std::string& inside, const std::string& caption) {
  return "<figure>" + inside + "<figcaption>" + escaped(caption) + "</figcaption></figure>\n";
}

std::string_view style_of(Signal signal) {
  switch (signal) {
    case Signal::danger:
      return "danger";
    case Signal::warning:
      return "warning";
    case Signal::caution:
      return "caution-word";
    case Signal::notice:
      break;
  }
  return "notice";
}

std::string caution_boxes(const ReportInput& input) {
  std::string html;
  for (const Caution& caution : cautions_of(input.scene, input.text))
    html += fmt::format("<div class=\"caution {}\"><b>{}</b><span>{}</span></div>\n", style_of(caution.signal),
                        escaped(caution.signal_word), escaped(caution.sentence));
  return html;
}

std::vector<double> minutes(const std::vector<sim::Reading>& rows) {
  std::vector<double> x;
  for (const sim::Reading& row : rows) x.push_back(row.time_s / 60.0);
  return x;
}

/// A line of the values that `pick` takes from each row.
template <typename Pick>
ChartLine line_of(const std::string& label, const std::vector<sim::Reading>& rows, const Pick& pick) {
  ChartLine line{label, minutes(rows), {}};
  for (const sim::Reading& row : rows) line.y.push_back(pick(row));
  return line;
}

std::vector<ChartMoment> step_moments(const ReportInput& input) {
  std::vector<ChartMoment> moments;
  for (const Event& e : input.events)
    if (e.event == "step") moments.push_back({e.time_s / 60.0, fmt::format("{:.0f}", e.value)});
  return moments;
}

std::vector<ChartMark> chart_marks(const std::vector<Mark>& marks) {
  std::vector<ChartMark> drawn;
  for (const Mark& mark : marks) drawn.push_back({mark.time_s / 60.0, mark.letter});
  return drawn;
}

std::string temperature_chart(const ReportInput& input) {
  const sim::Wall& wall = *input.end->wall;
  Chart chart;
  chart.title = input.text("report.temperatures_c");
  chart.x_label = input.text("report.minutes");
  chart.height = 380.0;
  chart.moments = step_moments(input);
  const std::vector<Mark> marks = marks_of(input);
  chart.marks = chart_marks(marks);
  for (std::size_t i = 0; i < wall.cables.size(); ++i) {
    chart.lines.push_back(
        line_of(fill(input.text("report.hottest_of"), fmt::arg("cable", wall.cables[i].name)), input.rows,
                [i](const sim::Reading& row) { return celsius_from_kelvin(row.cables[i].hottest_k); }));
    const double rated_c = celsius_from_kelvin(wall.cables[i].type.rated_k);
    const auto same = [rated_c](const ChartLevel& level) { return level.y == rated_c; };
    if (std::none_of(chart.levels.begin(), chart.levels.end(), same))
      chart.levels.push_back({rated_c, fill(input.text("report.rated_at"), fmt::arg("celsius", rated_c))});
  }
  for (std::size_t i = 0; i < wall.thermocouples.size(); ++i)
    chart.lines.push_back(line_of(wall.thermocouples[i].name, input.rows,
                                  [i](const sim::Reading& row) { return celsius_from_kelvin(row.thermocouple_k[i]); }));
  if (chart.lines.empty()) return "";
  return figure(chart_svg(chart), input.text("report.temperatures_caption")) + marks_key(input, marks);
}

/// One of several small charts in a row.
template <typename Pick>
std::string small_chart(const ReportInput& input, const std::string& title, const Pick& pick) {
  Chart chart;
  chart.title = input.text(title);
  chart.x_label = input.text("report.minutes");
  chart.width = 300.0;
  chart.height = 190.0;
  chart.from_zero = true;
  chart.lines.push_back(line_of("", input.rows, pick));
  return "<div>" + chart_svg(chart) + "</div>";
}

std::string supply_charts(const ReportInput& input) {
  if (input.end->wall->cables.empty()) return "";
  const std::string three =
      small_chart(input, "report.current_a", [](const sim::Reading& row) { return row.current_a; }) +
      small_chart(input, "report.volts", [](const sim::Reading& row) { return row.voltage_v; }) +
      small_chart(input, "report.watts", [](const sim::Reading& row) { return row.power_w; });
  return figure("<div class=\"row\">" + three + "</div>", input.text("report.supply_caption"));
}

std::string damage_charts(const ReportInput& input) {
  const sim::Reading& end = input.end->reading;
  if (end.smoke_kg <= 0.0 && end.void_m3 <= 0.0) return "";
  const std::string three =
      small_chart(input, "report.smoke_mg_s", [](const sim::Reading& row) { return row.smoke_kg_s * 1e6; }) +
      small_chart(input, "report.smoke_mg", [](const sim::Reading& row) { return row.smoke_kg * 1e6; }) +
      small_chart(input, "report.void_cm3", [](const sim::Reading& row) { return row.void_m3 * 1e6; });
  return figure("<div class=\"row\">" + three + "</div>", input.text("report.damage_caption"));
}

std::string gave_way_section(const ReportInput& input) {
  const std::string sentences = gave_way(input);
  if (sentences.empty()) return "";
  return heading(input.text("report.heading_gave_way")) + sentences + damage_charts(input);
}

std::string uncertainty_section(const ReportInput& input) {
  if (!input.uncertainty || input.uncertainty->spreads.size() != input.step_ends.size()) return "";
  const std::string words =
      fill(input.text("uncertainty.caption"), fmt::arg("unknowns", unknowns_words(*input.uncertainty, input.text)));
  return heading(input.text("uncertainty.heading")) + uncertainty_table(input) + "<p>" + escaped(words) + "</p>\n";
}

std::vector<ReportPicture> pictures_of(const ReportInput& input) {
  const sim::Wall& wall = *input.end->wall;
  const HottestPoint hottest = hottest_point(*input.end);
  const std::vector<Section> sections{side_section(wall, hottest), front_section(wall, hottest)};
  const TemperatureRange range = range_of(*input.end, sections);
  const double end_min = input.end->reading.time_s / 60.0;
  const std::string mark = fill(input.text(wall.cables.empty() ? "report.hottest_voxel" : "report.hottest_conductor"),
                                fmt::arg("celsius", celsius_from_kelvin(hottest.temperature_k)));
  std::string outlined;
  if (input.end->reading.void_m3 > 0.0) outlined.append(". ").append(input.text("report.void_outlined"));
  const auto words = [&](const std::string& key, std::size_t axis) {
    return fill(input.text(key), fmt::arg("at_mm", hottest.at_m[axis] * 1000.0), fmt::arg("minutes", end_min));
  };
  const std::string notice = sizing_notice(input.text);
  std::vector<ReportPicture> pictures;
  const std::string side = words("report.side_section", 0);
  pictures.push_back({"section-side.png",
                      section_png(*input.end, sections[0], hottest, range, input.palette, {side, mark, notice}),
                      side + outlined});
  const std::string front = words("report.front_section", 2);
  pictures.push_back({"section-front.png",
                      section_png(*input.end, sections[1], hottest, range, input.palette, {front, mark, notice}),
                      front + outlined});
  return pictures;
}

std::string facts(const ReportInput& input) {
  const sim::Reading& end = input.end->reading;
  const double taken_kj = input.energy.taken_up_j / 1000.0;
  const double gas_kj = input.energy.with_gas_j / 1000.0;
  std::string damage;
  if (taken_kj != 0.0 || gas_kj != 0.0)
    damage.append(" ").append(
        fill(input.text("report.facts_damage"), fmt::arg("taken_kj", taken_kj), fmt::arg("gas_kj", gas_kj)));
  return "<p>" +
         escaped(fill(input.text("report.facts"), fmt::arg("minutes", end.time_s / 60.0),
                      fmt::arg("voxels", input.end->wall->grid.count()),
                      fmt::arg("generated_kj", input.energy.generated_j / 1000.0),
                      fmt::arg("stored_kj", input.energy.stored_j / 1000.0),
                      fmt::arg("left_kj", input.energy.left_j / 1000.0)) +
                 damage) +
         "</p>\n<p>" + escaped(input.text("report.limits")) + "</p>\n";
}

}  // namespace

Report make_report(const ReportInput& input) {
  Report report;
  report.pictures = pictures_of(input);
  const Text& text = input.text;
  std::string& html = report.html;
  html = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>" + escaped(input.scene.title) +
         "</title>\n<style>" + std::string(page_style()) + "</style>\n</head>\n<body>\n";
  html += "<h1>" + escaped(input.scene.title) + "</h1>\n";
  if (!input.scene.summary.empty()) html += "<p class=\"lead\">" + escaped(input.scene.summary) + "</p>\n";
  html += end_notice(input);
  html += caution_boxes(input);
  html += facts(input);
  html += heading(text("report.heading_temperatures")) + temperature_chart(input) + supply_charts(input);
  html += gave_way_section(input);
  if (!input.step_ends.empty()) html += heading(text("report.heading_steps")) + step_table(input);
  html += uncertainty_section(input);
  html += heading(text("report.heading_pictures"));
  for (const ReportPicture& picture : report.pictures)
    html += figure(
        "<img alt=\"" + escaped(picture.caption) + "\" src=\"data:image/png;base64," + base64(picture.png) + "\">",
        picture.caption);
  html += heading(text("report.heading_make_up")) + make_up_tables(input);
  if (!input.events.empty()) html += heading(text("report.heading_events")) + event_table(input);
  html += "<footer>" + escaped(sizing_notice(text)) + "</footer>\n</body>\n</html>\n";
  return report;
}

}  // namespace warmbay::scenes
