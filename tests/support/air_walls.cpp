#include "tests/support/air_walls.hpp"

#include <cmath>

#include "tests/support/walls.hpp"

namespace warmbay::tests {

sim::Material still_air() {
  sim::Material air = material("still air", 0.0256, 1.204, 1006.0);
  air.conductivity_w_mk =
      sim::Curve({250.0, 273.15, 300.0, 350.0, 400.0, 450.0}, {0.0223, 0.0241, 0.0263, 0.0300, 0.0338, 0.0373});
  air.air_space = true;
  return air;
}

int paint_where(sim::Wall& wall, const sim::Material& filling, const std::function<bool(const sim::Vec3&)>& inside) {
  wall.materials.push_back(filling);
  const auto index = static_cast<int>(wall.materials.size() - 1);
  const sim::Grid& grid = wall.grid;
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = 0; j < grid.ny(); ++j)
      for (int i = 0; i < grid.nx(); ++i)
        if (inside({0.5 * (grid.x_m[i] + grid.x_m[i + 1]), 0.5 * (grid.y_m[j] + grid.y_m[j + 1]),
                    0.5 * (grid.z_m[k] + grid.z_m[k + 1])}))
          wall.voxels[grid.at(i, j, k)] = {index, false};
  return index;
}

sim::Wall annulus(const Annulus& of) {
  sim::Material metal = material("metal", 200.0, 2700.0, 900.0);
  metal.emissivity = of.emissivity;
  sim::Wall wall = block({even_edges(of.length_m, 2), of.edges_m, of.edges_m}, metal);
  paint_where(wall, still_air(), [&](const sim::Vec3& at) { return std::hypot(at[1], at[2]) < of.radius_m; });
  const int held = add_held(wall, "outside", of.wall_k);
  for (const sim::Side side : {sim::Side::room, sim::Side::far, sim::Side::top, sim::Side::bottom})
    expose(wall, side, held);
  if (of.sheath_m <= 0.0) return wall;
  RoundCable cable;
  cable.sheath_m = of.sheath_m;
  cable.core_m = 0.4 * of.sheath_m;
  cable.plastic = material("pvc", 0.17, 1390.0, 900.0);
  cable.plastic.emissivity = of.emissivity;
  add_cable(wall, "feed", round_type(cable), {{0.0, 0.0, 0.0}, {of.length_m, 0.0, 0.0}});
  add_cable_spot(wall, 0, 0.5 * of.length_m, false);
  return wall;
}

}  // namespace warmbay::tests
