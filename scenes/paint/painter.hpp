#pragma once
// Scene -> voxels: lays the grid out so that every boundary is a grid plane, then paints layers, studs and boxes.

#include <memory>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

/// scene: as read_scene returns it (names resolve, ranges hold). Voxels under a cable keep the material they lie in;
/// sim puts the sheath there (sim/copper). Sizes as the scene's grid rules ask.
[[nodiscard]] std::shared_ptr<const sim::Wall> paint(const Scene& scene, const DataFiles& data);

}  // namespace warmbay::scenes
