// The strip chart: readings over time. Each curve has its own colour, dashes and mark, and its name at its end.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "render/panels/line_drawing.hpp"
#include "render/panels/panels.hpp"

namespace warmbay::render {

namespace {

constexpr std::array<float, 2> long_dash{10, 5};
constexpr std::array<float, 2> dots{3, 4};
constexpr std::array<float, 4> dash_dot{12, 4, 3, 4};
constexpr std::array<float, 2> short_dash{6, 4};
constexpr std::array<float, 6> dash_dot_dot{12, 4, 3, 3, 3, 4};
constexpr std::array<Mark, 6> marks{Mark::disc, Mark::diamond, Mark::square, Mark::triangle, Mark::cross, Mark::ring};

struct CurveLook {
  ImU32 colour;
  Dashes dashes;
  Mark mark;
  float thickness;
};

/// spot: the how-many-eth thermocouple, or -1 - cable for a conductor.
CurveLook look_of(const Theme& theme, int index, bool conductor) {
  static const std::array<Dashes, 6> patterns{Dashes{},         Dashes{long_dash},  Dashes{dots},
                                              Dashes{dash_dot}, Dashes{short_dash}, Dashes{dash_dot_dot}};
  const auto i = static_cast<std::size_t>(index);
  if (conductor) return {theme.text, patterns[i % patterns.size()], marks[(i + 3) % marks.size()], 3.0F};
  return {theme.curves[i % theme.curves.size()], patterns[i % patterns.size()], marks[i % marks.size()], 2.0F};
}

/// Where the plot lies, and how numbers become places in it.
struct Plot {
  ImVec2 from, to;
  Axis axis;
  double end_s = 1.0;

  [[nodiscard]] float x(double time_s) const { return from.x + (to.x - from.x) * static_cast<float>(time_s / end_s); }
  [[nodiscard]] float y(double shown) const {
    return to.y - (to.y - from.y) * static_cast<float>((shown - axis.low) / (axis.high - axis.low));
  }
};

/// Axes grow when a curve leaves them and shrink only with a new run, so that the picture stays still.
void fit_axes(ChartAxes& axes, const History& history, const HeatNow& now, const Units& units) {
  const bool new_run = axes.rows == 0 || axes.run != now.run || axes.unit != units.temperature;
  if (new_run) axes.low_shown = 1e9, axes.high_shown = -1e9, axes.end_s = 0.0;
  const std::size_t first = new_run ? 0 : axes.rows;
  const auto include = [&](double temperature_k) {
    const double shown = shown_temperature(units, temperature_k);
    axes.low_shown = std::min(axes.low_shown, shown - shown_difference(units, 1.0));
    axes.high_shown = std::max(axes.high_shown, shown + shown_difference(units, 2.0));
  };
  for (const Curve& curve : history.curves) {
    if (new_run && curve.conductor) include(curve.rated_k);
    for (std::size_t i = first; i < curve.value_k.size(); ++i) include(static_cast<double>(curve.value_k[i]));
  }
  axes.rows = history.time_s.size();
  axes.run = now.run;
  axes.unit = units.temperature;
  axes.end_s = std::max(axes.end_s, time_axis_s(now.snapshot->reading.time_s * 1.02));
}

void draw_grid(Ui& ui, const Plot& plot) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float small = ui.fonts.small->FontSize;
  for (double v = plot.axis.low; v <= plot.axis.high + plot.axis.step * 0.01; v += plot.axis.step) {
    const float y = std::floor(plot.y(v));
    list->AddRectFilled({plot.from.x, y}, {plot.to.x, y + 1}, ui.theme.faint);
    const std::string label = fmt::format("{:g}", std::abs(v) < 1e-9 ? 0.0 : v);
    text_at(ui, {plot.from.x - ui.px(6) - text_size(ui.fonts.small, label).x, y - small / 2}, ui.fonts.small,
            ui.theme.muted, label);
  }
  const double end_min = plot.end_s / 60.0;
  const double label_px = text_size(ui.fonts.small, "00000").x * 1.6F;
  const double step_min = [&] {
    for (const double s : {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 960.0, 2880.0}) {
      if (end_min / s * label_px <= static_cast<double>(plot.to.x - plot.from.x)) return s;
    }
    return end_min;
  }();
  for (double m = 0.0; m <= end_min + 0.001; m += step_min) {
    const float x = std::floor(plot.x(m * 60.0));
    list->AddRectFilled({x, plot.to.y}, {x + 1, plot.to.y + ui.px(4)}, ui.theme.line);
    const std::string label = fmt::format("{:g}", m);
    text_at(ui, {x - text_size(ui.fonts.small, label).x / 2, plot.to.y + ui.px(4)}, ui.fonts.small, ui.theme.muted,
            label);
  }
  list->AddRectFilled({plot.from.x, plot.to.y}, {plot.to.x, plot.to.y + 1}, ui.theme.line);
}

/// Where steps began, with their number.
void draw_steps(Ui& ui, const Plot& plot, const HeatNow& now) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  float free = plot.from.x - 1;
  for (const scenes::Event& event : *now.events) {
    const float x = std::floor(plot.x(event.time_s));
    if (event.event == "step") {
      list->AddRectFilled({x, plot.from.y - ui.px(12)}, {x + 1, plot.to.y}, ui.theme.line);
      const std::string label = ui.say("chart.step", fmt::arg("number", static_cast<int>(event.value)));
      if (x >= free && x + ui.px(4) + text_size(ui.fonts.small, label).x < plot.to.x) {
        text_at(ui, {x + ui.px(4), plot.from.y - ui.fonts.small->FontSize - ui.px(3)}, ui.fonts.small, ui.theme.muted,
                label);
        free = x + ui.px(12) + text_size(ui.fonts.small, label).x;
      }
    }
  }
}

/// A word on a ground of its own.
void draw_word(Ui& ui, ImVec2 at, ImU32 colour, const std::string& word) {
  const ImVec2 size = text_size(ui.fonts.small, word);
  ImGui::GetWindowDrawList()->AddRectFilled({at.x - ui.px(3), at.y}, {at.x + size.x + ui.px(3), at.y + size.y},
                                            ui.theme.panel, ui.px(3));
  text_at(ui, at, ui.fonts.small, colour, word);
}

struct EventWord {
  ImVec2 at;
  ImU32 colour;
  std::string word;
};

/// What happened, each kind once: a mark on the axis and a dashed line. Returns the words, where there is room for
/// them: they go over the curves.
std::vector<EventWord> draw_events(Ui& ui, const Plot& plot, const HeatNow& now) {
  std::vector<EventWord> words;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float row_height = text_size(ui.fonts.small, "0").y + ui.px(1);
  std::array<float, 3> free{plot.from.x, plot.from.x, plot.from.x};  // of each row of words, from the top
  std::vector<std::string_view> told;
  for (const scenes::Event& event : *now.events) {
    const bool over = event.event == "over-rating";
    const std::string key = "chart.mark." + event.event;
    if (!over && !ui.text.has(key)) continue;
    if (std::find(told.begin(), told.end(), event.event) != told.end()) continue;
    told.push_back(event.event);
    const float x = std::floor(plot.x(event.time_s));
    const bool minor = event.event == "softening" || event.event == "char";
    const ImU32 colour = minor ? ui.theme.near : ui.theme.over;
    draw_mark(*list, minor ? Mark::diamond : Mark::triangle, {x, plot.to.y - ui.px(6)}, ui.px(5), colour);
    if (over) continue;  // its line has a label of its own
    const std::array<ImVec2, 2> line{ImVec2{x, plot.from.y}, ImVec2{x, plot.to.y}};
    draw_dashed(*list, line, Dashes{dots}, colour, 1.0F);
    const std::string& word = ui.say(key);
    const float width = text_size(ui.fonts.small, word).x + ui.px(6);
    const float left = std::min(x + ui.px(3), plot.to.x - width);
    for (std::size_t row = 0; row < free.size(); ++row) {
      const float top = plot.from.y + row_height * static_cast<float>(row);
      if (left < free[row] || top + row_height > plot.to.y) continue;
      words.push_back({{left, top}, colour, word});
      free[row] = left + width;
      break;
    }
  }
  return words;
}

/// Where a thermocouple slipped from its cable: from there on its curve is no longer the cable's.
void draw_slips(Ui& ui, const Plot& plot, const History& history) {
  for (const Curve& curve : history.curves) {
    if (curve.slipped_row < 0) continue;
    const auto row = static_cast<std::size_t>(curve.slipped_row);
    const ImVec2 at{plot.x(static_cast<double>(history.time_s[row])),
                    plot.y(shown_temperature(ui.units, static_cast<double>(curve.value_k[row])))};
    ImDrawList* list = ImGui::GetWindowDrawList();
    list->AddCircle(at, ui.px(7), ui.theme.panel, 20, ui.px(5));
    list->AddCircle(at, ui.px(7), ui.theme.text, 20, ui.px(2));
    const std::string& word = ui.say("chart.slipped");
    const float left = std::min(at.x + ui.px(11), plot.to.x - text_size(ui.fonts.small, word).x);
    draw_word(ui, {left, at.y + ui.px(6)}, ui.theme.text, word);
  }
}

/// What the cables on the chart are rated for, each once, K.
std::vector<double> rated_values_k(const History& history) {
  std::vector<double> values_k;
  for (const Curve& curve : history.curves)
    if (curve.conductor && std::find(values_k.begin(), values_k.end(), curve.rated_k) == values_k.end())
      values_k.push_back(curve.rated_k);
  return values_k;
}

void draw_rated_lines(Ui& ui, const Plot& plot, const History& history) {
  for (const double rated_k : rated_values_k(history)) {
    const float y = std::floor(plot.y(shown_temperature(ui.units, rated_k)));
    const std::array<ImVec2, 2> line{ImVec2{plot.from.x, y}, ImVec2{plot.to.x, y}};
    draw_dashed(*ImGui::GetWindowDrawList(), line, Dashes{long_dash}, ui.theme.over, 2.0F);
  }
}

/// At the left, where every curve is still cold, and on a ground of their own.
void draw_rated_labels(Ui& ui, const Plot& plot, const History& history) {
  for (const double rated_k : rated_values_k(history)) {
    const float y = std::floor(plot.y(shown_temperature(ui.units, rated_k)));
    const std::string label =
        "▲ " + ui.say("chart.rated", fmt::arg("temperature", temperature_text(ui.units, rated_k, 0)));
    const ImVec2 size = text_size(ui.fonts.small, label);
    const float above = y - size.y - 2;
    const ImVec2 at{plot.from.x + ui.px(8), above > plot.from.y ? above : y + 3};
    ImGui::GetWindowDrawList()->AddRectFilled({at.x - ui.px(4), at.y}, {at.x + size.x + ui.px(4), at.y + size.y},
                                              ui.theme.panel, ui.px(3));
    text_at(ui, at, ui.fonts.small, ui.theme.over, label);
  }
}

void draw_curve(Ui& ui, const Plot& plot, const History& history, const Curve& curve, const CurveLook& look,
                ChartAxes& scratch) {
  const int columns = std::max(1, static_cast<int>(plot.to.x - plot.from.x) / 2);
  decimate(history.time_s, curve.value_k, 0.0, plot.end_s, columns, scratch.columns);
  scratch.points.clear();
  const auto put = [&](float x, float value_k) {
    scratch.points.push_back({x, plot.y(shown_temperature(ui.units, static_cast<double>(value_k)))});
  };
  const float width = (plot.to.x - plot.from.x) / static_cast<float>(columns);
  for (const Column& column : scratch.columns) {
    const float x = plot.from.x + width * static_cast<float>(column.column);
    put(x, column.first);
    if (column.high > std::max(column.first, column.last)) put(x + width / 3, column.high);
    if (column.low < std::min(column.first, column.last)) put(x + width / 2, column.low);
    if (column.last != column.first) put(x + width * 0.9F, column.last);
  }
  simplify(scratch.points, 0.3F);
  ImDrawList* list = ImGui::GetWindowDrawList();
  draw_dashed(*list, scratch.points, look.dashes, look.colour,
              std::max(look.thickness, std::round(look.thickness * ui.scale)));
  // Marks at even distances along time, so that curves are told apart without their colours.
  float next = plot.from.x + ui.px(look.thickness > 2.0F ? 40 : 70);
  for (std::size_t i = 1; i < scratch.points.size(); ++i) {
    const ImVec2 a = scratch.points[i - 1];
    const ImVec2 b = scratch.points[i];
    for (; next <= b.x && b.x > a.x; next += ui.px(110)) {
      const float t = (next - a.x) / (b.x - a.x);
      if (t >= 0.0F) draw_mark(*list, look.mark, {next, a.y + (b.y - a.y) * t}, ui.px(4), look.colour);
    }
  }
}

struct EndLabel {
  std::string text;
  CurveLook look;
  float y;
};

void draw_end_labels(Ui& ui, const Plot& plot, const std::vector<EndLabel>& labels, float right) {
  const float height = ui.fonts.small->FontSize + 2;
  std::vector<float> centres;
  for (const EndLabel& label : labels) centres.push_back(label.y);
  centres = push_apart(std::move(centres), height, plot.from.y - 1.5F * height, plot.to.y + 1.5F * height);
  ImDrawList* list = ImGui::GetWindowDrawList();
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const float y = std::round(centres[i]);
    if (y > plot.to.y + 1.5F * height) continue;
    const float x = plot.to.x + ui.px(10);
    draw_mark(*list, labels[i].look.mark, {x + ui.px(5), y}, ui.px(4), labels[i].look.colour);
    ImGui::PushClipRect({x, plot.from.y - height}, {right, plot.to.y + 2 * height}, true);
    text_at(ui, {x + ui.px(14), y - height / 2 + 1}, ui.fonts.small, labels[i].look.colour, labels[i].text);
    ImGui::PopClipRect();
  }
}

std::string end_label(Ui& ui, const Curve& curve, double temperature_k, float most) {
  const std::string value = temperature_text(ui.units, temperature_k);
  std::string name = curve.conductor          ? ui.say("chart.conductor", fmt::arg("cable", curve.name))
                     : curve.slipped_row >= 0 ? ui.say("damage.slipped", fmt::arg("name", curve.name))
                                              : curve.name;
  // A name too long for the margin is cut, never its number.
  const auto fits = [&] { return text_size(ui.fonts.small, name + "… " + value).x <= most; };
  if (text_size(ui.fonts.small, name + " " + value).x <= most) return name + " " + value;
  while (!name.empty() && !fits()) {
    do name.pop_back();
    while (!name.empty() && (static_cast<unsigned char>(name.back()) & 0xC0U) == 0x80U);
    if (!name.empty() && static_cast<unsigned char>(name.back()) >= 0xC0U) name.pop_back();
  }
  return name + "… " + value;
}

double live_value(const HeatNow& now, std::size_t curve) {
  const sim::Reading& reading = now.snapshot->reading;
  return curve < reading.cables.size() ? reading.cables[curve].hottest_k
                                       : reading.thermocouple_k[curve - reading.cables.size()];
}

}  // namespace

Wishes draw_chart(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (!now.snapshot || now.history->curves.empty()) return {};
  const History& history = *now.history;
  ChartAxes& axes = state.chart;
  fit_axes(axes, history, now, ui.units);

  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 free = ImGui::GetContentRegionAvail();
  const float small = ui.fonts.small->FontSize;
  const float left = text_size(ui.fonts.small, "0000").x + ui.px(10);
  const float labels = std::min(ui.px(200), free.x * 0.33F);
  Plot plot;
  plot.from = {at.x + left, at.y + small + ui.px(6)};
  plot.to = {at.x + free.x - labels, at.y + free.y - small - ui.px(8)};
  if (plot.to.y - plot.from.y < ui.px(30)) return {};
  plot.axis = round_axis(axes.low_shown, axes.high_shown,
                         std::max(2, static_cast<int>((plot.to.y - plot.from.y) / (small * 1.9F))));
  plot.end_s = axes.end_s;

  text_at(ui, {at.x, at.y}, ui.fonts.small, ui.theme.muted, temperature_symbol(ui.units));
  const std::string& minutes = ui.say("chart.minutes");
  text_at(ui, {at.x, plot.to.y + ui.px(4)}, ui.fonts.small, ui.theme.muted, minutes);
  draw_grid(ui, plot);
  draw_steps(ui, plot, now);
  const std::vector<EventWord> words = draw_events(ui, plot, now);
  draw_rated_lines(ui, plot, history);
  std::vector<EndLabel> ends;
  int cable = 0;
  int spot = 0;
  for (std::size_t i = 0; i < history.curves.size(); ++i) {
    const Curve& curve = history.curves[i];
    const CurveLook look = look_of(ui.theme, curve.conductor ? cable++ : spot++, curve.conductor);
    draw_curve(ui, plot, history, curve, look, axes);
    const double value_k = live_value(now, i);
    ends.push_back({end_label(ui, curve, value_k, labels - ui.px(26)), look,
                    std::clamp(plot.y(shown_temperature(ui.units, value_k)), plot.from.y, plot.to.y)});
  }
  draw_slips(ui, plot, history);
  for (const EventWord& word : words) draw_word(ui, word.at, word.colour, word.word);
  draw_rated_labels(ui, plot, history);
  draw_end_labels(ui, plot, ends, at.x + free.x);
  return {};
}

}  // namespace warmbay::render
