#include "tests/standards/cable_wall.hpp"

#include "tests/support/walls.hpp"

namespace warmbay::tests {

sim::Wall cable_wall(bool varies, double coarse_m, double fine_m) {
  sim::Wall wall = channel_wall(coarse_m, fine_m);
  paint_box(wall, {0.0, 0.0, 0.0127}, {0.2, 0.2, 0.0727}, material("mortar", 0.8, 1600.0, 1000.0));
  if (varies) return wall;
  for (sim::Material& of : wall.materials)
    if (!of.conductivity_w_mk.constant()) of.conductivity_w_mk = 0.036;
  for (sim::Surroundings& around : wall.surroundings) {
    around.film = sim::Film::given;
    around.film_w_m2k = 7.69;  // ISO 6946: R_si = 0.13 m2K/W
  }
  return wall;
}

}  // namespace warmbay::tests
