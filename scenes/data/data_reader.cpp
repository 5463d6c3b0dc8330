// Materials and cable types as files write them. Sources of the two formulas stand in data_reader.hpp.

#include "scenes/data/data_reader.hpp"

#include <fmt/format.h>
#include <cmath>
#include <numbers>

#include "scenes/read/bounds.hpp"
#include "scenes/read/file_units.hpp"
#include "scenes/read/input_limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double copper_resistivity_20_ohm_m = 1.7241e-8;  // annealed copper, IEC 60028

/// One [temperature_c, value] of a conductivity table.
std::optional<std::array<double, 2>> read_point(TableReader& reader, const toml::node& node) {
  const auto* point = node.as_array();
  if (!point || point->size() != 2) {
    reader.fault_at(mark_of(node.source()), "'conductivity_w_mk' holds something else than [temperature_c, value]");
    return std::nullopt;
  }
  const auto at = reader.number_in(*point->get(0), "conductivity_w_mk", bounds::celsius);
  const auto value = reader.number_in(*point->get(1), "conductivity_w_mk", bounds::conductivity_w_mk);
  if (!at || !value) return std::nullopt;
  return std::array{*at, *value};
}

sim::Curve read_curve(TableReader& reader, const toml::array& points) {
  sim::Curve curve;
  if (points.size() > input_limits::entries) {
    reader.fault("conductivity_w_mk", fmt::format("'conductivity_w_mk' has {} points, expected at most {}",
                                                  points.size(), input_limits::entries));
    return {1.0};
  }
  for (const auto& node : points) {
    const auto point = read_point(reader, node);
    if (!point) return {1.0};
    const double at_k = celsius.to_si((*point)[0]);
    if (!curve.temperature_k.empty() && at_k <= curve.temperature_k.back()) {
      reader.fault_at(mark_of(node.source()), "'conductivity_w_mk' needs temperatures that rise from point to point");
      return {1.0};
    }
    curve.temperature_k.push_back(at_k);
    curve.value.push_back((*point)[1]);
  }
  if (curve.value.size() == 1) return {curve.value.front()};
  return curve;
}

/// Exactly one of the two ways to give a conductor's size.
void read_conductor(TableReader& reader, SourcedCableType& type) {
  type.awg = reader.whole("awg", 0, 40);
  const auto area = reader.number("conductor_mm2", bounds::conductor_mm2);
  if (reader.has("awg") && reader.has("conductor_mm2")) {
    reader.fault("awg", fmt::format("{} has both 'awg' and 'conductor_mm2', expected one of them", reader.label()));
  } else if (!reader.has("awg") && !reader.has("conductor_mm2")) {
    reader.missing("conductor_mm2", "that or 'awg'");
  }
  if (type.awg) type.conductor_m2 = area_of_awg_m2(*type.awg);
  if (area) type.conductor_m2 = square_millimetre.to_si(*area);
}

double diameter_m(double area_m2) {
  return 2.0 * std::sqrt(area_m2 / std::numbers::pi);
}

/// The cores must hold their copper, and the sheath its cores.
void check_sizes(TableReader& reader, const SourcedCableType& type) {
  if (type.thickness_m > type.width_m) {
    reader.fault("thickness_mm",
                 fmt::format("{}: 'thickness_mm' is larger than 'width_mm', expected the short side", reader.label()));
  }
  if (type.core_m <= diameter_m(type.conductor_m2)) {
    reader.fault("core_mm", fmt::format("{}: 'core_mm' is not larger than the conductor, which is {:.2f} mm thick",
                                        reader.label(), 1e3 * diameter_m(type.conductor_m2)));
  }
  if (type.core_m > type.thickness_m) {
    reader.fault("core_mm",
                 fmt::format("{}: 'core_mm' is larger than 'thickness_mm', so the cores stick out of the sheath",
                             reader.label()));
  }
  const double cores_m2 = type.loaded * std::numbers::pi * type.core_m * type.core_m / 4.0 + type.earth_m2;
  if (cores_m2 >= type.width_m * type.thickness_m) {
    reader.fault("width_mm",
                 fmt::format("{}: the cores do not fit into 'width_mm' times 'thickness_mm'", reader.label()));
  }
}

}  // namespace

sim::Curve read_conductivity(TableReader& reader) {
  constexpr auto key = "conductivity_w_mk";
  const auto* node = reader.node(key);
  if (!node) {
    reader.missing(key, "a number or a table [[temperature_c, value], ...]");
    return {1.0};
  }
  if (const auto* points = node->as_array()) {
    if (!points->empty()) return read_curve(reader, *points);
    reader.fault(key, "'conductivity_w_mk' is an empty table, expected [[temperature_c, value], ...]");
    return {1.0};
  }
  return {reader.number_in(*node, key, bounds::conductivity_w_mk).value_or(1.0)};
}

double area_of_awg_m2(int awg) {
  const double diameter = 0.127e-3 * std::pow(92.0, (36.0 - awg) / 39.0);
  return std::numbers::pi * diameter * diameter / 4.0;
}

double resistance_20_ohm_m(const SourcedCableType& type) {
  return type.resistance_20_ohm_m.value_or(copper_resistivity_20_ohm_m / type.conductor_m2);
}

SourcedMaterial read_material(const toml::table& table, MaterialKeys keys, Faults& faults) {
  TableReader reader(table, "[[material]]", faults);
  SourcedMaterial read;
  read.material.name = reader.need_text("name");
  if (!read.material.name.empty()) reader.rename(fmt::format("material '{}'", read.material.name));
  read.material.conductivity_w_mk = read_conductivity(reader);
  read.material.density_kg_m3 = reader.need_number("density_kg_m3", bounds::density_kg_m3);
  read.material.heat_capacity_j_kgk = reader.need_number("heat_capacity_j_kgk", bounds::heat_capacity_j_kgk);
  if (keys == MaterialKeys::of_a_data_file) {
    read.material.emissivity = reader.number("emissivity", bounds::emissivity).value_or(read.material.emissivity);
    read.material.air_space = reader.flag("air_space").value_or(false);
    read.fills_bays = reader.flag("fills_bays").value_or(false);
  }
  read.source = reader.need_text("source", Lines::several);
  reader.done();
  return read;
}

ReadCableType read_cable_type(const toml::table& table, Faults& faults) {
  TableReader reader(table, "[[cable_type]]", faults);
  ReadCableType read;
  auto& type = read.type;
  type.name = reader.need_text("name");
  if (!type.name.empty()) reader.rename(fmt::format("cable type '{}'", type.name));
  type.loaded = reader.whole("loaded", 1, 64).value_or(2);
  if (!reader.has("loaded")) reader.missing("loaded", "the number of conductors that carry the current");
  read_conductor(reader, type);
  type.earth_m2 = square_millimetre.to_si(reader.number("earth_mm2", between(0.0, 1000.0)).value_or(0.0));
  if (const auto given = reader.number("resistance_ohm_km", bounds::resistance_ohm_km)) {
    type.resistance_20_ohm_m = ohm_per_km.to_si(*given);
  }
  type.core_m = millimetre.to_si(reader.need_number("core_mm", bounds::cable_size_mm));
  type.width_m = millimetre.to_si(reader.need_number("width_mm", bounds::cable_size_mm));
  type.thickness_m = millimetre.to_si(reader.need_number("thickness_mm", bounds::cable_size_mm));
  type.insulation = reader.need_text("insulation");
  type.sheath = reader.need_text("sheath");
  type.rated_k = celsius.to_si(reader.need_number("rated_c", between(bounds::celsius.least, 1000.0)));
  type.source = reader.need_text("source", Lines::several);
  read.name = reader.mark("name");
  read.insulation = reader.mark("insulation");
  read.sheath = reader.mark("sheath");
  if (reader.fine()) check_sizes(reader, type);
  reader.done();
  read.fine = reader.fine();
  return read;
}

}  // namespace warmbay::scenes
