#include "scenes/report/tables.hpp"

#include <fmt/format.h>

#include <map>

#include "scenes/read/by_name.hpp"
#include "scenes/report/html.hpp"

namespace warmbay::scenes {

namespace {

using sim::celsius_from_kelvin;
using Rows = std::vector<std::vector<std::string>>;

std::string mm(double metres) {
  return fmt::format("{:.4g}", metres * 1000.0);
}

std::string subhead(const std::string& text) {
  return "<h3>" + escaped(text) + "</h3>\n";
}

/// A material's conductivity at 20 °C, W/mK.
std::string conductivity(const ReportInput& input, const std::string& name) {
  const SourcedMaterial* found = find_material(input.scene, input.data, name);
  return found == nullptr ? "" : fmt::format("{:.3g}", found->material.conductivity_w_mk.at(sim::datum_k));
}

std::string layer_table(const ReportInput& input) {
  if (input.scene.wall.layers.empty()) return "";
  const Text& text = input.text;
  Rows rows;
  for (const Layer& layer : input.scene.wall.layers) {
    rows.push_back({layer.name, layer.material, mm(layer.thickness_m), conductivity(input, layer.material)});
    if (!layer.studs) continue;
    rows.push_back(
        {fmt::format("{} ({})", text("report.studs"), layer.name),
         fmt::format("{}, {} mm / {} mm", layer.studs->material, mm(layer.studs->width_m), mm(layer.studs->spacing_m)),
         mm(layer.thickness_m), conductivity(input, layer.studs->material)});
  }
  return html_table(
      {text("report.layer"), text("report.material"), text("report.thickness_mm"), text("report.conductivity")}, rows);
}

std::string box_table(const ReportInput& input) {
  if (input.scene.boxes.empty()) return "";
  const Text& text = input.text;
  Rows rows;
  for (const Box& box : input.scene.boxes) {
    const bool cut = !box.surroundings.empty();
    const auto range = [&](std::size_t axis) {
      return fmt::format("{} – {}", mm(box.from_m[axis]), mm(box.to_m[axis]));
    };
    rows.push_back({box.name, cut ? fmt::format("{} ({})", box.surroundings, text("report.cut_away")) : box.material,
                    range(0), range(1), range(2), cut ? "" : conductivity(input, box.material)});
  }
  return subhead(text("report.boxes")) + html_table({text("report.name"), text("report.material"), "x, mm", "y, mm",
                                                     "z, mm", text("report.conductivity")},
                                                    rows);
}

std::string cable_table(const ReportInput& input) {
  const sim::Wall& wall = *input.end->wall;
  if (wall.cables.empty()) return "";
  const Text& text = input.text;
  Rows rows;
  for (const sim::Cable& cable : wall.cables) {
    rows.push_back(
        {cable.name, cable.type.name, fmt::format("{} × {:.3g}", cable.type.loaded, cable.type.conductor_m2 * 1e6),
         fmt::format("{:.3g}", cable.type.resistance_20_ohm_m * 1000.0),
         fmt::format("{:.0f}", celsius_from_kelvin(cable.type.rated_k)), fmt::format("{:.2f}", route_length_m(cable))});
  }
  return subhead(text("report.cables")) +
         html_table({text("report.name"), text("report.type"), text("report.conductors_mm2"), text("report.resistance"),
                     text("report.rated_c"), text("report.length_m")},
                    rows);
}

std::string surroundings_table(const ReportInput& input) {
  if (input.scene.surroundings.empty()) return "";
  const Text& text = input.text;
  Rows rows;
  for (std::size_t i = 0; i < input.end->wall->surroundings.size(); ++i) {
    const sim::Surroundings& now = input.end->wall->surroundings[i];
    const sim::SurroundingsReading& now_reading = input.end->reading.surroundings[i];
    const std::string film = now.film == sim::Film::natural ? text("report.film_natural")
                             : now.film == sim::Film::held  ? text("report.film_held")
                                                            : fmt::format("{:.3g} W/m²K", now.film_w_m2k);
    rows.push_back({now.name, fmt::format("{:.1f}", celsius_from_kelvin(now.temperature_k)), film,
                    fmt::format("{:.1f}", celsius_from_kelvin(input.end->conditions.surroundings_k[i])),
                    now_reading.area_m2 > 0.0 ? fmt::format("{:.2f}", now_reading.heat_w) : ""});
  }
  return subhead(text("report.surroundings")) +
         html_table({text("report.name"), text("report.start_c"), text("report.film"), text("report.end_c"),
                     text("report.heat_w")},
                    rows);
}

/// Every material, cable type and protective device that the scene uses, once each, with where its numbers come from.
std::string source_list(const ReportInput& input) {
  std::map<std::string, std::string> sources;
  const auto add = [&](const std::string& name) {
    if (const SourcedMaterial* found = find_material(input.scene, input.data, name)) sources[name] = found->source;
  };
  for (const Layer& layer : input.scene.wall.layers) {
    add(layer.material);
    if (layer.studs) add(layer.studs->material);
  }
  for (const Box& box : input.scene.boxes) add(box.material);
  for (const CableRun& cable : input.scene.cables) {
    const SourcedCableType* type = find_cable_type(input.scene, input.data, cable.type);
    if (type == nullptr) continue;
    sources[type->name] = type->source;
    add(type->insulation);
    add(type->sheath);
  }
  const std::vector<sim::Device>& devices = input.end->wall->devices;
  const auto add_device = [&](int index) {
    if (index >= 0)
      sources[devices[static_cast<std::size_t>(index)].name] = devices[static_cast<std::size_t>(index)].source;
  };
  add_device(index_by_name(devices, input.scene.supply.device));
  for (const Step& step : input.scene.steps) add_device(index_by_name(devices, step.device.value_or("")));
  add_device(input.end->conditions.device);
  if (sources.empty()) return "";
  std::string html = subhead(input.text("report.source")) + "<ul class=\"sources\">\n";
  for (const auto& [name, source] : sources)
    html += fmt::format("<li><b>{}</b>: {}</li>\n", escaped(name), escaped(source));
  return html + "</ul>\n";
}

/// The lines of one step: one per cable (the step's own columns stand in the first).
void add_step(Rows& rows, const ReportInput& input, const StepEnd& end) {
  const sim::Wall& wall = *input.end->wall;
  const Text& text = input.text;
  std::string surfaces;
  for (std::size_t i = 0; i < wall.surroundings.size(); ++i) {
    const sim::SurroundingsReading& now = end.reading.surroundings[i];
    if (now.area_m2 <= 0.0) continue;
    surfaces += fmt::format("{}{} {:.1f} – {:.1f}", surfaces.empty() ? "" : "; ", wall.surroundings[i].name,
                            celsius_from_kelvin(now.coldest_surface_k), celsius_from_kelvin(now.hottest_surface_k));
  }
  const std::string title = input.scene.steps[static_cast<std::size_t>(end.step)].title;
  std::vector<std::string> row{fmt::format("{}. {}", end.step + 1, title), fmt::format("{:.1f}", end.reading.current_a),
                               fmt::format("{:.1f}", end.end_s / 60.0)};
  const std::vector<std::string> tail{fmt::format("{:.2f}", end.reading.voltage_v),
                                      fmt::format("{:.1f}", end.reading.power_w), surfaces};
  if (wall.cables.empty()) row.insert(row.end(), {"", "", ""});
  for (std::size_t i = 0; i < wall.cables.size(); ++i) {
    const double rated_k = wall.cables[i].type.rated_k;
    const double hottest_k = end.reading.cables[i].hottest_k;
    if (i > 0) {
      rows.push_back(row);
      row = {"", "", ""};
    }
    const std::string name = wall.cables.size() > 1 ? fmt::format(" ({})", wall.cables[i].name) : "";
    row.insert(row.end(), {fmt::format("{:.1f}{}", celsius_from_kelvin(hottest_k), name),
                           fmt::format("{:.0f}", celsius_from_kelvin(rated_k)),
                           hottest_k > rated_k ? text("report.over") : text("report.within")});
    if (i == 0) row.insert(row.end(), tail.begin(), tail.end());
  }
  if (wall.cables.empty()) row.insert(row.end(), tail.begin(), tail.end());
  rows.push_back(row);
}

}  // namespace

std::string make_up_tables(const ReportInput& input) {
  return layer_table(input) + box_table(input) + cable_table(input) + surroundings_table(input) + source_list(input);
}

std::string step_table(const ReportInput& input) {
  if (input.step_ends.empty()) return "";
  const Text& text = input.text;
  Rows rows;
  for (const StepEnd& end : input.step_ends) add_step(rows, input, end);
  return html_table({text("report.step"), text("report.current_a"), text("report.end_min"), text("report.hottest_c"),
                     text("report.rated_c"), text("report.against_rating"), text("report.volts"), text("report.watts"),
                     text("report.surfaces_c")},
                    rows);
}

std::string uncertainty_table(const ReportInput& input) {
  const Text& text = input.text;
  Rows rows;
  for (std::size_t n = 0; n < input.step_ends.size(); ++n) {
    const StepEnd& end = input.step_ends[n];
    rows.push_back({fmt::format("{}. {}", end.step + 1, input.scene.steps[static_cast<std::size_t>(end.step)].title),
                    fmt::format("{:.1f}", end.end_s / 60.0),
                    fmt::format("{:.1f}", celsius_from_kelvin(hottest_conductor_k(end.reading))),
                    spread_words(input.uncertainty->spreads[n], text)});
  }
  return html_table({text("report.step"), text("report.end_min"), text("report.hottest_c"), text("uncertainty.column")},
                    rows);
}

std::string event_table(const ReportInput& input) {
  const Text& text = input.text;
  Rows rows;
  for (const Event& e : input.events)
    rows.push_back({fmt::format("{:.1f}", e.time_s / 60.0), e.event, e.where, e.text});
  return html_table({text("report.time_min"), text("report.event"), text("report.where"), text("report.what")}, rows);
}

}  // namespace warmbay::scenes
