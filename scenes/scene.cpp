// What follows from a scene's description alone.

#include "scenes/scene.hpp"

namespace warmbay::scenes {

double layers_m(const WallSection& wall) {
  double sum_m = 0.0;
  for (const auto& layer : wall.layers) sum_m += layer.thickness_m;
  return sum_m;
}

double wall_depth_m(const WallSection& wall) {
  return wall.depth_m.value_or(layers_m(wall));
}

sim::Vec3 wall_size_m(const WallSection& wall) {
  return {wall.width_m, wall.height_m, wall_depth_m(wall)};
}

}  // namespace warmbay::scenes
