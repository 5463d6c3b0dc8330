// Writes a scene as a file of format 1, such that reading it gives an equal scene, bit by bit.
//
// Files are in millimetres and Celsius, so a number is written as the shortest decimal that turns into the same SI
// value again. Where rounding leaves none (a value that no file could have given), the nearest one is written.

#include <fmt/format.h>
#include <cmath>
#include <cstdlib>

#include "scenes/file/scene_file.hpp"
#include "scenes/read/file_units.hpp"

namespace warmbay::scenes {

namespace {

std::string with_point(std::string digits) {
  const bool is_float = digits.find_first_of(".eE") != std::string::npos;
  return is_float ? digits : digits + ".0";
}

std::string number(double si, const FileUnit& unit) {
  const double in_file = unit.from_si(si);
  const auto same = [&](const std::string& digits) { return unit.to_si(std::strtod(digits.c_str(), nullptr)) == si; };
  for (const int precision : {10, 15, 16, 17}) {
    auto digits = fmt::format("{:.{}g}", in_file, precision);
    if (same(digits)) return with_point(std::move(digits));
  }
  for (const double away : {-INFINITY, INFINITY}) {
    auto digits = fmt::format("{:.17g}", std::nextafter(in_file, away));
    if (same(digits)) return with_point(std::move(digits));
  }
  return with_point(fmt::format("{:.17g}", in_file));
}

std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto code = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (code < 0x20 || code == 0x7f) {
      out += fmt::format("\\u{:04X}", code);
    } else {
      out += c;
    }
  }
  return out + '"';
}

/// Keys that TOML takes without quotes stay bare.
std::string key_of(const std::string& name) {
  const auto bare = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-";
  return !name.empty() && name.find_first_not_of(bare) == std::string::npos ? name : in_quotes(name);
}

std::string mm(const sim::Vec3& point_m) {
  return fmt::format("[{}, {}, {}]", number(point_m[0], millimetre), number(point_m[1], millimetre),
                     number(point_m[2], millimetre));
}

std::string listed(const std::vector<std::string>& texts) {
  std::string out = "[";
  for (const auto& text : texts) out += (out.size() > 1 ? ", " : "") + in_quotes(text);
  return out + "]";
}

/// The text under construction, a line at a time.
class Lines {
 public:
  void table(std::string_view header) { text_ += fmt::format("{}{}\n", text_.empty() ? "" : "\n", header); }
  void raw(std::string_view key, std::string_view value) { text_ += fmt::format("{} = {}\n", key, value); }
  void text(std::string_view key, const std::string& value) {
    if (!value.empty()) raw(key, in_quotes(value));
  }
  void value(std::string_view key, double si, const FileUnit& unit) { raw(key, number(si, unit)); }
  void value(std::string_view key, const std::optional<double>& si, const FileUnit& unit) {
    if (si) value(key, *si, unit);
  }
  [[nodiscard]] std::string take() { return std::move(text_); }

 private:
  std::string text_;
};

void write_wall(Lines& out, const WallSection& wall) {
  out.table("[wall]");
  out.value("width_mm", wall.width_m, millimetre);
  out.value("height_mm", wall.height_m, millimetre);
  out.value("depth_mm", wall.depth_m, millimetre);
  out.value("start_c", wall.start_k, celsius);
  for (const auto& layer : wall.layers) {
    out.table("[[wall.layer]]");
    out.text("name", layer.name);
    out.text("material", layer.material);
    out.value("thickness_mm", layer.thickness_m, millimetre);
    if (!layer.studs) continue;
    out.raw("studs", fmt::format("{{ material = {}, width_mm = {}, spacing_mm = {}, first_mm = {} }}",
                                 in_quotes(layer.studs->material), number(layer.studs->width_m, millimetre),
                                 number(layer.studs->spacing_m, millimetre), number(layer.studs->first_m, millimetre)));
  }
}

void write_boxes(Lines& out, const std::vector<Box>& boxes) {
  for (const auto& box : boxes) {
    out.table("[[box]]");
    out.text("name", box.name);
    out.text("material", box.material);
    out.text("surroundings", box.surroundings);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      out.raw(fmt::format("{}_mm", "xyz"[axis]),
              fmt::format("[{}, {}]", number(box.from_m[axis], millimetre), number(box.to_m[axis], millimetre)));
    }
    if (box.fine) out.raw("fine", "true");
  }
}

void write_surroundings(Lines& out, const Scene& scene) {
  for (const auto& one : scene.surroundings) {
    out.table("[[surroundings]]");
    out.text("name", one.name);
    out.value("temperature_c", one.temperature_k, celsius);
    if (one.film == sim::Film::given) out.value("film_w_m2k", one.film_w_m2k, plain_unit);
    if (one.film == sim::Film::held) out.text("film_w_m2k", "fixed");
    if (one.film == sim::Film::natural) out.text("film_w_m2k", "natural");
  }
  constexpr std::string_view keys[] = {"left", "right", "bottom", "top", "room", "far"};  // by sim::Side
  out.table("[faces]");
  for (std::size_t side = 0; side < scene.faces.size(); ++side) {
    out.text(keys[side], scene.faces[side].empty() ? "insulated" : scene.faces[side]);
  }
}

void write_materials(Lines& out, const std::vector<SourcedMaterial>& materials) {
  for (const auto& sourced : materials) {
    const auto& material = sourced.material;
    out.table("[[material]]");
    out.text("name", material.name);
    const auto& curve = material.conductivity_w_mk;
    if (curve.constant()) {
      out.value("conductivity_w_mk", curve.value.front(), plain_unit);
    } else {
      std::string points;
      for (std::size_t i = 0; i < curve.value.size(); ++i) {
        points += fmt::format("{}[{}, {}]", i ? ", " : "", number(curve.temperature_k[i], celsius),
                              number(curve.value[i], plain_unit));
      }
      out.raw("conductivity_w_mk", fmt::format("[{}]", points));
    }
    out.value("density_kg_m3", material.density_kg_m3, plain_unit);
    out.value("heat_capacity_j_kgk", material.heat_capacity_j_kgk, plain_unit);
    out.text("source", sourced.source);
  }
}

void write_cable_types(Lines& out, const std::vector<SourcedCableType>& types) {
  for (const auto& type : types) {
    out.table("[[cable_type]]");
    out.text("name", type.name);
    out.raw("loaded", std::to_string(type.loaded));
    if (type.awg) {
      out.raw("awg", std::to_string(*type.awg));
    } else {
      out.value("conductor_mm2", type.conductor_m2, square_millimetre);
    }
    out.value("earth_mm2", type.earth_m2, square_millimetre);
    out.value("resistance_ohm_km", type.resistance_20_ohm_m, ohm_per_km);
    out.value("core_mm", type.core_m, millimetre);
    out.value("width_mm", type.width_m, millimetre);
    out.value("thickness_mm", type.thickness_m, millimetre);
    out.text("insulation", type.insulation);
    out.text("sheath", type.sheath);
    out.value("rated_c", type.rated_k, celsius);
    out.text("source", type.source);
  }
}

void write_cables(Lines& out, const std::vector<CableRun>& cables) {
  constexpr std::string_view squeezes[] = {"none", "staple", "pinched"};
  for (const auto& cable : cables) {
    out.table("[[cable]]");
    out.text("name", cable.name);
    out.text("type", cable.type);
    std::string corners;
    for (const auto& corner : cable.route_m) corners += (corners.empty() ? "" : ", ") + mm(corner);
    out.raw("route_mm", fmt::format("[{}]", corners));
    if (cable.flat) out.text("flat", std::string(1, "xyz"[static_cast<std::size_t>(*cable.flat)]));
    if (cable.squeeze != Squeeze::none) {
      out.text("squeeze", std::string(squeezes[static_cast<std::size_t>(cable.squeeze)]));
    }
    out.value("squeeze_at_mm", cable.squeeze_at_m, millimetre);
  }
}

std::string kind_word(SupplyKind kind) {
  return kind == SupplyKind::bench ? "bench" : "branch";
}

void write_supply(Lines& out, const Supply& supply) {
  out.table("[supply]");
  out.text("kind", kind_word(supply.kind));
  out.value("voltage_v", supply.voltage_v, plain_unit);
  out.text("device", supply.device);
}

void write_thermocouples(Lines& out, const std::vector<ThermocoupleSpot>& spots) {
  for (const auto& spot : spots) {
    out.table("[[thermocouple]]");
    out.text("name", spot.name);
    if (spot.on.empty()) {
      out.raw("at_mm", mm(spot.at_m));
      continue;
    }
    out.text("on", spot.on);
    out.value("along_mm", spot.along_m, millimetre);
    out.text("where", spot.on_conductor ? "conductor" : "sheath");
    if (spot.slips) out.raw("slips", "true");
  }
}

void write_step(Lines& out, const Step& step) {
  out.table("[[step]]");
  out.text("title", step.title);
  out.text("say", step.say);
  out.value("current_a", step.current_a, plain_unit);
  if (!step.surroundings_k.empty()) {
    std::string entries;
    for (const auto& [name, at_k] : step.surroundings_k) {
      entries += fmt::format("{} {} = {}", entries.empty() ? "" : ",", key_of(name), number(at_k, celsius));
    }
    out.raw("surroundings", fmt::format("{{{} }}", entries));
  }
  if (step.device) out.text("device", *step.device);
  if (step.kind) out.text("kind", kind_word(*step.kind));
  out.value("hold_min", step.hold_s, minute);
  out.text("until", step.until);
  if (step.until_reading) {
    out.text("until",
             fmt::format("{} > {}", step.until_reading->reading, number(step.until_reading->above_k, celsius)));
  }
  if (step.ask) {
    out.raw("ask", fmt::format("{{ question = {}, reading = {}, tolerance_k = {} }}", in_quotes(step.ask->question),
                               in_quotes(step.ask->reading), number(step.ask->tolerance_k, plain_unit)));
  }
  if (!step.stop_at.empty()) out.raw("stop_at", listed(step.stop_at));
}

}  // namespace

std::string write_scene(const Scene& scene) {
  Lines out;
  out.raw("format", "1");
  out.text("title", scene.title);
  out.text("summary", scene.summary);
  if (!scene.cautions.empty()) out.raw("cautions", listed(scene.cautions));
  out.table("[grid]");
  out.value("coarse_mm", scene.grid.coarse_m, millimetre);
  out.value("fine_mm", scene.grid.fine_m, millimetre);
  out.value("growth", scene.grid.growth, plain_unit);
  write_wall(out, scene.wall);
  write_boxes(out, scene.boxes);
  write_surroundings(out, scene);
  write_materials(out, scene.materials);
  write_cable_types(out, scene.cable_types);
  write_cables(out, scene.cables);
  write_supply(out, scene.supply);
  write_thermocouples(out, scene.thermocouples);
  for (const auto& step : scene.steps) write_step(out, step);
  return out.take();
}

}  // namespace warmbay::scenes
