// Each kind of unknown touches one property of a painted wall; the scene it was painted from stays as it is.

#include "scenes/data/unknown.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

void scale_curve(sim::Curve& curve, double times) {
  for (double& value : curve.value) value *= times;
}

/// Emissivities end at 1, whatever the factor.
void scale_emissivity(sim::Material& material, double times) {
  material.emissivity = std::min(material.emissivity * times, 1.0);
}

bool names(const Unknown& unknown, const sim::Material& material) {
  const auto& of = unknown.materials;
  return std::find(of.begin(), of.end(), material.name) != of.end();
}

bool scale_materials(sim::Wall& wall, const Unknown& unknown, double times) {
  bool any = false;
  for (sim::Material& material : wall.materials) {
    if (!names(unknown, material)) continue;
    scale_curve(material.conductivity_w_mk, times);
    any = true;
  }
  return any;
}

bool scale_films(sim::Wall& wall, double times) {
  bool any = false;
  for (sim::Surroundings& around : wall.surroundings) {
    if (around.film == sim::Film::held) continue;
    around.film_w_m2k *= times;
    around.natural_times *= times;
    any = true;
  }
  return any;
}

bool scale_emissivities(sim::Wall& wall, double times) {
  const auto airy = [](const sim::Material& material) { return material.air_space; };
  if (std::none_of(wall.materials.begin(), wall.materials.end(), airy)) return false;
  for (sim::Material& material : wall.materials) scale_emissivity(material, times);
  for (sim::Cable& cable : wall.cables) scale_emissivity(cable.type.sheath, times);
  return true;
}

/// The foam collapses as fast as it does, but at another temperature; where nothing happens stays.
bool shift_collapse(sim::Wall& wall, const Unknown& unknown, double shift_k) {
  bool any = false;
  for (sim::Material& material : wall.materials) {
    if (!names(unknown, material) || !material.damage || !material.damage->collapse) continue;
    auto changed = std::make_shared<sim::Damage>(*material.damage);
    changed->collapse->at_k += shift_k;
    material.damage = std::move(changed);
    any = true;
  }
  return any;
}

bool scale_cables(sim::Wall& wall, Scaled what, double times) {
  for (sim::Cable& cable : wall.cables) {
    if (what == Scaled::resistance) cable.type.resistance_20_ohm_m *= times;
    for (sim::Material* plastic : {&cable.type.insulation, &cable.type.sheath}) {
      if (what == Scaled::plastics) scale_curve(plastic->conductivity_w_mk, times);
      if (what == Scaled::capacity) plastic->heat_capacity_j_kgk *= times;
    }
  }
  return !wall.cables.empty();
}

void read_range(TableReader& reader, Unknown& unknown) {
  const std::string_view key = unknown.shifts() ? "shift_k" : "times", other = unknown.shifts() ? "times" : "shift_k";
  if (!reader.has(key) && !reader.has(other)) reader.missing(key, "[least, most]");  // the other is told as no key
  const auto range = reader.pair(key, unknown.shifts() ? between(-1000.0, 1000.0) : between(0.01, 100.0));
  if (!range) return;
  unknown.range = *range;
  const auto& [least, most] = unknown.range;
  if (least > unknown.neutral() || most < unknown.neutral() || least >= most)
    reader.fault(key, fmt::format("'{}' runs from {:g} to {:g}, expected a range that rises and has {:g} in it", key,
                                  least, most, unknown.neutral()));
}

Unknown read_one(const toml::table& table, const std::vector<std::string>& materials, Faults& faults) {
  TableReader reader(table, "[[unknown]]", faults);
  Unknown unknown;
  unknown.name = reader.need_text("name");
  const std::initializer_list<std::string_view> words{"conductivity", "film",     "emissivity", "resistance",
                                                      "plastics",     "capacity", "collapse"};
  if (!reader.has("what")) reader.missing("what", fmt::format("one of: {}", fmt::join(words, ", ")));
  const auto what = reader.choice("what", words);
  if (what) unknown.what = static_cast<Scaled>(*what);
  unknown.materials = reader.texts("materials");
  for (const std::string& name : unknown.materials)
    if (std::find(materials.begin(), materials.end(), name) == materials.end())
      reader.fault("materials", fmt::format("'materials' names '{}', expected a name in materials.toml{}", name,
                                            did_you_mean(name, materials)));
  if (what && (unknown.what == Scaled::conductivity || unknown.shifts()) == unknown.materials.empty())
    reader.fault("materials", "'materials' goes with what = \"conductivity\" or \"collapse\", and only with these");
  read_range(reader, unknown);
  unknown.source = reader.need_text("source", Lines::several);
  reader.done();
  return unknown;
}

}  // namespace

std::vector<Unknown> read_unknowns(const std::filesystem::path& file, const std::vector<std::string>& materials,
                                   std::vector<Fault>& faults) {
  const auto content = read_whole_file(file, shipped_data_file, faults);
  if (!content) return {};
  Faults found(file.string());
  std::vector<Unknown> unknowns;
  if (const auto table = parse_toml(*content, found)) {
    TableReader root(*table, Mark{}, "this file", found);
    if (!root.has("format")) root.missing("format", "format = 1");
    static_cast<void>(root.whole("format", 1, 1));
    for (const toml::table* one : root.tables("unknown")) unknowns.push_back(read_one(*one, materials, found));
    root.done();
  }
  const std::vector<Fault> sorted = found.sorted();
  faults.insert(faults.end(), sorted.begin(), sorted.end());
  return unknowns;
}

double Unknown::away(double value) const {
  return shifts() ? value : std::log(value);
}

bool scale(sim::Wall& wall, const Unknown& unknown, double value) {
  switch (unknown.what) {
    case Scaled::conductivity:
      return scale_materials(wall, unknown, value);
    case Scaled::film:
      return scale_films(wall, value);
    case Scaled::emissivity:
      return scale_emissivities(wall, value);
    case Scaled::collapse:
      return shift_collapse(wall, unknown, value);
    case Scaled::resistance:
    case Scaled::plastics:
    case Scaled::capacity:
      return scale_cables(wall, unknown.what, value);
  }
  return false;
}

}  // namespace warmbay::scenes
