// Each kind of unknown touches one property of a painted wall; the scene it was painted from stays as it is.

#include "scenes/uncertainty/unknown.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "scenes/toml_reader.hpp"

namespace warmbay::scenes {

namespace {

void scale_curve(sim::Curve& curve, double times) {
  for (double& value : curve.value) value *= times;
}

/// Emissivities end at 1, whatever the factor.
void scale_emissivity(sim::Material& material, double times) {
  material.emissivity = std::min(material.emissivity * times, 1.0);
}

bool scale_materials(sim::Wall& wall, const Unknown& unknown, double times) {
  bool any = false;
  for (sim::Material& material : wall.materials) {
    const auto& names = unknown.materials;
    if (std::find(names.begin(), names.end(), material.name) == names.end()) continue;
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

bool scale_collapse(sim::Wall& wall, double times) {
  bool any = false;
  for (sim::Material& material : wall.materials) {
    if (!material.damage || !material.damage->collapse) continue;
    auto changed = std::make_shared<sim::Damage>(*material.damage);
    changed->collapse->rate_1_s *= times;
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
  if (what && (unknown.what == Scaled::conductivity) == unknown.materials.empty())
    reader.fault("materials", "'materials' goes with what = \"conductivity\", and only with that");
  if (!reader.has("times")) reader.missing("times", "[least, most]");
  if (const auto times = reader.pair("times", above(0.0, 100.0))) unknown.times = *times;
  if (unknown.times[0] > 1.0 || unknown.times[1] < 1.0 || (reader.has("times") && unknown.times[0] >= unknown.times[1]))
    reader.fault("times", fmt::format("'times' runs from {:g} to {:g}, expected a range that rises and has 1 in it",
                                      unknown.times[0], unknown.times[1]));
  unknown.source = reader.need_text("source");
  reader.done();
  return unknown;
}

}  // namespace

std::vector<Unknown> read_unknowns(const std::filesystem::path& file, const std::vector<std::string>& materials,
                                   std::vector<Fault>& faults) {
  const auto content = read_whole_file(file);
  if (!content) {
    faults.push_back({file.string(), 0, 0, "cannot be read, expected a data file that ships with the program"});
    return {};
  }
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

bool scale(sim::Wall& wall, const Unknown& unknown, double times) {
  switch (unknown.what) {
    case Scaled::conductivity:
      return scale_materials(wall, unknown, times);
    case Scaled::film:
      return scale_films(wall, times);
    case Scaled::emissivity:
      return scale_emissivities(wall, times);
    case Scaled::collapse:
      return scale_collapse(wall, times);
    case Scaled::resistance:
    case Scaled::plastics:
    case Scaled::capacity:
      return scale_cables(wall, unknown.what, times);
  }
  return false;
}

}  // namespace warmbay::scenes
