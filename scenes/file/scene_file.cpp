// Reads a scene file in three passes over one parsed text: its parts (what each table says), its names (what refers to
// what), its geometry (what fits). Each pass goes on after a fault, so that a file's faults come all at once.

#include "scenes/file/scene_file.hpp"

#include "scenes/file/scene_checks.hpp"
#include "scenes/file/scene_counts.hpp"
#include "scenes/file/scene_parts.hpp"
#include "scenes/file/scene_table.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

/// False when the file is of another format, whose keys mean nothing here.
bool read_format(TableReader& root) {
  const bool there = root.has("format");
  const auto format = root.whole("format", 1, 1);
  if (!there) root.missing("format", "format = 1");
  return format || !there;
}

void read_parts(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  scene.title = root.text("title", Lines::several).value_or("");
  scene.summary = root.text("summary", Lines::several).value_or("");
  scene.cautions = root.texts("cautions");
  read_grid(root, scene, marks, faults);
  read_wall(root, scene, marks, faults);
  read_boxes(root, scene, marks, faults);
  read_surroundings(root, scene, marks, faults);
  read_faces(root, scene, marks, faults);
  read_scene_materials(root, scene, marks, faults);
  read_scene_cable_types(root, scene, marks, faults);
  read_cables(root, scene, marks, faults);
  read_supply(root, scene, marks, faults);
  read_thermocouples(root, scene, marks, faults);
  read_steps(root, scene, marks, faults);
  root.done();
}

std::optional<Scene> read(const toml::table& table, const DataFiles& data, Faults& faults) {
  TableReader root(table, Mark{}, "this scene", faults);
  if (!read_format(root)) return std::nullopt;
  const std::size_t before = faults.count();
  check_counts(table, faults);
  if (faults.count() > before) return std::nullopt;
  Scene scene;
  SceneMarks marks;
  read_parts(root, scene, marks, faults);
  check_names(data, marks, faults);
  check_wall(scene, marks, faults);
  check_cables(scene, data, marks, faults);
  check_supply(scene, marks, faults);
  if (faults.count() == 0) check_grid(scene, data, marks, faults);
  return scene;
}

}  // namespace

ReadScene read_scene_text(std::string_view text, const std::string& name, const DataFiles& data) {
  Faults faults(name);
  const auto table = parse_toml(text, faults);
  return table ? read_scene_table(*table, name, data) : ReadScene{std::nullopt, faults.sorted()};
}

ReadScene read_scene_table(const toml::table& root, const std::string& name, const DataFiles& data) {
  Faults faults(name);
  ReadScene result;
  auto scene = read(root, data, faults);
  result.faults = faults.sorted();
  if (result.faults.empty()) result.scene = std::move(scene);
  return result;
}

ReadScene read_scene(const std::filesystem::path& file, const DataFiles& data) {
  ReadScene result;
  const auto content = read_whole_file(file, "a scene file", result.faults);
  return content ? read_scene_text(*content, file.string(), data) : result;
}

}  // namespace warmbay::scenes
