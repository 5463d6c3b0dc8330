// The data files: read, or refused with places. Materials and cable types can be written, as a scene's own: they are
// the same when read again.

#include <fmt/format.h>

#include <set>

#include "scenes/data/damage_reader.hpp"
#include "scenes/data/data_files.hpp"
#include "scenes/data/device_reader.hpp"
#include "scenes/data/palette.hpp"
#include "scenes/data/unknown.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/read/by_name.hpp"
#include "tests/fuzz/held.hpp"
#include "tests/fuzz/inputs.hpp"

namespace warmbay::fuzz {

namespace {

/// Any sound scene, to carry materials and cable types through a file.
scenes::Scene carrier() {
  static const scenes::Scene read = [] {
    const auto file = std::filesystem::path(WARMBAY_SOURCE_DIR) / "scenes" / "library" / "plain-wall.toml";
    auto scene = scenes::read_scene(file, shipped()).scene;
    return scene ? *scene : scenes::Scene{};
  }();
  return read;
}

std::string wrong_when_carried(const scenes::Scene& scene) {
  const auto again = scenes::read_scene_text(scenes::write_scene(scene), "written", shipped());
  if (!again.faults.empty()) return "what was written is refused: " + scenes::to_line(again.faults.front());
  return *again.scene == scene ? "" : "what was written reads differently";
}

/// The rest of a folder of data is missing, which is told of each file and nothing to this one.
template <typename Use>
std::string read_folder(const std::string& name, std::string_view bytes, const Folder& folder, Use use) {
  const std::string file = folder.put(name, bytes).string();
  const auto read = scenes::read_data_files(folder.path());
  if (faults_of(read.faults, file) > 0) return wrong_faults(read.faults, bytes, file);
  return use(read.data);
}

/// A file of the materials that the cables that ship are made of: short, because it is read again for every input.
std::string materials_of_cables() {
  std::set<std::string> names;
  for (const auto& one : shipped().cable_types) names.insert({one.insulation, one.sheath});
  std::string text = "format = 1\n";
  for (const auto& name : names)
    text += fmt::format(
        "[[material]]\nname = \"{}\"\nconductivity_w_mk = 0.2\ndensity_kg_m3 = 1000\nheat_capacity_j_kgk = 1000\n"
        "source = \"a stand-in\"\n",
        name);
  return text;
}

}  // namespace

std::string broken_materials(std::string_view bytes) {
  static const Folder folder;
  return read_folder("materials.toml", bytes, folder, [](const scenes::DataFiles& data) -> std::string {
    scenes::Scene scene = carrier();
    for (auto one : data.materials) {
      // What only a data file says of a material does not go into a scene.
      one.material.emissivity = sim::Material{}.emissivity;
      one.material.air_space = false;
      one.fills_bays = false;
      scene.materials.push_back(one);
      if (scene.materials.size() == 100) break;  // a scene may hold fewer than a data file
    }
    return wrong_when_carried(scene);
  });
}

std::string broken_cables(std::string_view bytes) {
  static const Folder folder;
  static const auto materials = folder.put("materials.toml", materials_of_cables());
  return read_folder("cables.toml", bytes, folder, [](const scenes::DataFiles& data) -> std::string {
    scenes::Scene scene = carrier();
    for (const auto& one : data.cable_types) {
      scene.cable_types.push_back(one);
      if (scene.cable_types.size() == 100) break;
    }
    return wrong_when_carried(scene);
  });
}

std::string broken_damage(std::string_view bytes) {
  const FileInMemory file(bytes);
  std::vector<scenes::Fault> faults;
  const auto read = scenes::read_damage_file(file.path(), shipped_materials(), faults);
  for (const auto& [name, damage] : read.of_material)
    if (!damage) return "a material has damage that is nothing: " + name;
  return wrong_faults(faults, bytes, file.path().string());
}

std::string broken_devices(std::string_view bytes) {
  const FileInMemory file(bytes);
  std::vector<scenes::Fault> faults;
  const auto read = scenes::read_device_file(file.path(), faults);
  for (const auto& device : read.devices)
    if (scenes::index_by_name(read.devices, device.name) < 0) return "a device is not found by its name";
  return wrong_faults(faults, bytes, file.path().string());
}

std::string broken_unknowns(std::string_view bytes) {
  const FileInMemory file(bytes);
  std::vector<scenes::Fault> faults;
  const auto read = scenes::read_unknowns(file.path(), shipped_materials(), faults);
  if (faults.empty())
    for (const auto& one : read)
      if (!(one.range[0] <= one.neutral() && one.neutral() <= one.range[1]))
        return "a range leaves out what changes nothing: " + one.name;
  return wrong_faults(faults, bytes, file.path().string());
}

std::string broken_palette(std::string_view bytes) {
  const FileInMemory file(bytes);
  std::vector<scenes::Fault> faults;
  const auto read = scenes::read_palette(file.path(), faults);
  if (faults.empty() != (read.colours.size() >= 2)) return "neither colours nor a fault, or both";
  for (const double f : {-1.0, 0.0, 0.3, 1.0, 2.0}) {
    if (!faults.empty()) break;
    const auto colour = read.at(f);
    for (const double part : {colour.r, colour.g, colour.b})
      if (!(part >= 0.0 && part <= 1.0)) return "a colour is outside 0 to 1";
  }
  return wrong_faults(faults, bytes, file.path().string());
}

}  // namespace warmbay::fuzz
