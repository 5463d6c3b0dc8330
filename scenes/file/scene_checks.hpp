#pragma once
// What only shows once a whole scene is known: names that refer to nothing, parts that do not fit together.

#include "scenes/data/data_files.hpp"
#include "scenes/file/scene_marks.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// Every name refers to something, and no two things of a kind share one (scene_checks.cpp).
void check_names(const DataFiles& data, const SceneMarks& marks, Faults& faults);

/// Layers, boxes and surroundings make one wall that heat can settle in (scene_checks.cpp).
void check_wall(const Scene& scene, const SceneMarks& marks, Faults& faults);

/// Cables run along the axes, inside the wall, apart from each other; thermocouples sit on them or in the wall
/// (cable_checks.cpp). Call with names that resolve only where marks says so; what cannot be checked is passed over.
void check_cables(const Scene& scene, const DataFiles& data, const SceneMarks& marks, Faults& faults);

/// What only a branch has is there only when [supply] or a step is one (scene_checks.cpp).
void check_supply(const Scene& scene, const SceneMarks& marks, Faults& faults);

/// The grid is one that a machine can hold (scene_checks.cpp). Only for scenes without faults.
void check_grid(const Scene& scene, const DataFiles& data, const SceneMarks& marks, Faults& faults);

}  // namespace warmbay::scenes
