#pragma once
// Small walls with air in them.

#include <functional>

#include "sim/wall.hpp"

namespace warmbay::tests {

/// A gas that radiation crosses and that moves. Conductivity: Incropera, table A.4, from memory.
[[nodiscard]] sim::Material still_air();

/// Adds a material and paints every voxel with it for whose centre `inside` holds. Returns its index.
int paint_where(sim::Wall& wall, const sim::Material& filling, const std::function<bool(const sim::Vec3&)>& inside);

/// A cylinder of air along x in metal whose outside is held at wall_k: radius_m round (y, z) = (0, 0), with a round
/// cable of sheath_m in its middle unless that is 0. Edges y_m and z_m are the same for both and given.
struct Annulus {
  double radius_m = 0.012;
  double sheath_m = 0.008;
  double wall_k = 300.0;
  double emissivity = 0.9;  // of the metal's and the sheath's surface
  std::vector<double> edges_m;
  double length_m = 0.04;
};
[[nodiscard]] sim::Wall annulus(const Annulus& of);

}  // namespace warmbay::tests
