// Reads the files of assets/ that describe the world, with the same located faults as a scene file.

#include "scenes/data/data_files.hpp"

#include <fmt/format.h>
#include <cassert>
#include <set>

#include "scenes/data/damage_reader.hpp"
#include "scenes/data/data_reader.hpp"
#include "scenes/data/device_reader.hpp"
#include "scenes/read/by_name.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

/// The root of a data file of format 1; nothing when it cannot be read.
std::optional<toml::table> read_root(const std::filesystem::path& file, Faults& faults, std::vector<Fault>& all) {
  const auto content = read_whole_file(file, shipped_data_file, all);
  return content ? parse_toml(*content, faults) : std::nullopt;
}

template <typename Use>
void for_each_table(const toml::table& root, std::string_view key, Faults& faults, Use use) {
  TableReader reader(root, Mark{}, "this file", faults);
  if (reader.whole("format", 1, 1) != 1 && !reader.has("format")) reader.missing("format", "format = 1");
  for (const auto* table : reader.tables(key)) use(*table);
  reader.done();
}

void note_twice(std::set<std::string>& names, const std::string& name, Mark mark, Faults& faults) {
  if (!name.empty() && !names.insert(name).second) {
    faults.add(mark, fmt::format("'{}' is there twice, expected names that differ", name));
  }
}

void read_materials(const std::filesystem::path& file, ReadDataFiles& read) {
  Faults faults(file.string());
  std::set<std::string> names;
  if (const auto root = read_root(file, faults, read.faults)) {
    for_each_table(*root, "material", faults, [&](const toml::table& table) {
      read.data.materials.push_back(read_material(table, MaterialKeys::of_a_data_file, faults));
      note_twice(names, read.data.materials.back().material.name, mark_of(table.source()), faults);
    });
  }
  const auto sorted = faults.sorted();
  read.faults.insert(read.faults.end(), sorted.begin(), sorted.end());
}

std::vector<std::string> names_of(const std::vector<SourcedMaterial>& materials) {
  std::vector<std::string> names;
  for (const auto& one : materials) names.push_back(one.material.name);
  return names;
}

/// Call after the materials are read.
void read_damage(const std::filesystem::path& file, ReadDataFiles& read) {
  const auto damage = read_damage_file(file, names_of(read.data.materials), read.faults);
  read.data.damage = damage.rules;
  for (auto& one : read.data.materials) {
    const auto found = damage.of_material.find(one.material.name);
    if (found != damage.of_material.end()) one.material.damage = found->second;
  }
}

void read_cables(const std::filesystem::path& file, ReadDataFiles& read) {
  Faults faults(file.string());
  std::set<std::string> names;
  const Scene no_scene;
  const auto check = [&](const std::string& material, Mark mark) {
    if (!material.empty() && !find_material(no_scene, read.data, material)) {
      faults.add(mark, fmt::format("no material is named '{}', expected one of materials.toml", material));
    }
  };
  if (const auto root = read_root(file, faults, read.faults)) {
    for_each_table(*root, "cable_type", faults, [&](const toml::table& table) {
      const auto one = read_cable_type(table, faults);
      note_twice(names, one.type.name, one.name, faults);
      check(one.type.insulation, one.insulation);
      check(one.type.sheath, one.sheath);
      read.data.cable_types.push_back(one.type);
    });
  }
  const auto sorted = faults.sorted();
  read.faults.insert(read.faults.end(), sorted.begin(), sorted.end());
}

}  // namespace

std::optional<Fault> what_is_missing(const Places& places) {
  const auto home = places.assets.parent_path();
  if (is_home(home)) return std::nullopt;
  return Fault{home.string(), 0, 0,
               "the program's own files (assets/materials.toml and others) are not in this folder; expected it beside "
               "the program, or WARMBAY_HOME to name it"};
}

ReadDataFiles read_data_files(const std::filesystem::path& assets) {
  ReadDataFiles read;
  read_materials(assets / "materials.toml", read);
  read_damage(assets / "damage.toml", read);
  read_cables(assets / "cables.toml", read);
  auto [devices, source_ohm] = read_device_file(assets / "devices.toml", read.faults);
  read.data.devices = std::move(devices);
  read.data.source_ohm = source_ohm;
  read.data.unknowns = read_unknowns(assets / "unknowns.toml", names_of(read.data.materials), read.faults);
  return read;
}

const SourcedMaterial* find_material(const Scene& scene, const DataFiles& data, std::string_view name) {
  const auto name_of = [](const SourcedMaterial& one) { return std::string_view(one.material.name); };
  for (const auto* list : {&scene.materials, &data.materials}) {
    if (const auto* found = find_by_name(*list, name, name_of)) return found;
  }
  return nullptr;
}

sim::Material material_of(const Scene& scene, const DataFiles& data, std::string_view name) {
  const auto* found = find_material(scene, data, name);
  assert(found);
  auto material = found->material;
  const auto* shipped = find_material(Scene{}, data, name);
  if (!material.damage && shipped) material.damage = shipped->material.damage;
  return material;
}

const SourcedCableType* find_cable_type(const Scene& scene, const DataFiles& data, std::string_view name) {
  for (const auto* list : {&scene.cable_types, &data.cable_types}) {
    if (const auto* found = find_by_name(*list, name)) return found;
  }
  return nullptr;
}

}  // namespace warmbay::scenes
