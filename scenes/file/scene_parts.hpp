#pragma once
// The parts of a scene file, each read from its own tables. scene_file.cpp puts them together.

#include "scenes/file/scene_marks.hpp"
#include "scenes/read/bounds.hpp"
#include "scenes/read/toml_reader.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

// The wall: scene_parts.cpp.
void read_grid(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_wall(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_boxes(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_surroundings(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_faces(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);

// What is in it and what is done with it: scene_cables.cpp, scene_steps.cpp.
void read_scene_materials(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_scene_cable_types(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_cables(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_thermocouples(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_supply(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);
void read_steps(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults);

/// `kind` and `device` of [supply] or of a step; what is missing or at fault stays empty.
struct SupplyKeys {
  std::optional<SupplyKind> kind;
  std::optional<std::string> device;
};
[[nodiscard]] SupplyKeys read_supply_keys(TableReader& reader, SceneMarks& marks);

}  // namespace warmbay::scenes
