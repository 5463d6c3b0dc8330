// Walls with air spaces, beside a solver that shares no code with sim/air_spaces: every face a surface, view factors by
// rays, exact exchange of grey surfaces with T^4 (tests/standards/air_enclosure), a sparse direct solve.

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "tests/standards/air_enclosure.hpp"
#include "tests/standards/cable_wall.hpp"
#include "tests/standards/heat_balance.hpp"
#include "tests/support/air_walls.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// Heat from the wall into surroundings by temperatures of its voxels, W: given films only.
double film_heat_w(const sim::Wall& wall, sim::Side side, const HeatBalance& balance, const Eigen::VectorXd& rise_k) {
  const sim::Surroundings& around = wall.surroundings[wall.faces[static_cast<std::size_t>(side)]];
  double sum_w = 0.0;
  const sim::Grid& grid = wall.grid;
  const int k = side == sim::Side::room ? 0 : grid.nz() - 1;
  for (int j = 0; j < grid.ny(); ++j)
    for (int i = 0; i < grid.nx(); ++i) {
      const std::size_t voxel = grid.at(i, j, k);
      const double half_m = 0.5 * (grid.z_m[k + 1] - grid.z_m[k]);
      const double area_m2 = (grid.x_m[i + 1] - grid.x_m[i]) * (grid.y_m[j + 1] - grid.y_m[j]);
      const double k_w_mk = wall.materials[wall.voxels[voxel].index].conductivity_w_mk.at(sim::datum_k);
      sum_w += area_m2 / (half_m / k_w_mk + 1.0 / around.film_w_m2k) *
               (sim::datum_k + rise_k[balance.unknown_of_voxel()[voxel]] - around.temperature_k);
    }
  return sum_w;
}

}  // namespace

TEST_CASE("rays find how a square's sides see each other, and a cable its channel (Hottel's crossed strings)") {
  const std::vector<SectionFace> square{
      {0, 0, 0, 1, 1, 0, 1.0}, {1, 0, 1, 1, -1, 0, 1.0}, {0, 0, 1, 0, 0, 1, 1.0}, {0, 1, 1, 1, 0, -1, 1.0}};
  const Eigen::MatrixXd open = exchange_m(square, {});
  CHECK(open(0, 1) == Approx(std::sqrt(2.0) - 1.0).epsilon(0.01));
  CHECK(open(0, 2) == Approx(1.0 - 0.5 * std::sqrt(2.0)).epsilon(0.01));
  const SectionCable cable{0.5, 0.5, 0.4, 0.4, 1.0};
  const Eigen::MatrixXd with = exchange_m(square, cable);
  for (int side = 0; side < 4; ++side) CHECK(with(side, 4) == Approx(0.1 * std::numbers::pi).epsilon(0.01));
}

TEST_CASE("a cable in a channel of air is as hot as an independent solver with exact radiation says") {
  // Moving air: none in gaps of 4 mm. What differs: the star of mean radiant temperature for the exact exchange, and
  // that a face of the program has the half voxel of foam behind it twice, for radiation and for conduction: of first
  // order in the voxels' size, 4 % of the rise with those of 3 mm, and half as much with those of half that size.
  for (const double fine_m : {0.003, 0.0015}) {
    sim::Wall drawn = cable_wall(false, 0.05, fine_m);
    for (sim::Material& of : drawn.materials) of.air_space = of.name == "still air";
    const auto wall = share(std::move(drawn));
    const HeatBalance balance(*wall);
    const double current_a = 20.0;
    const Eigen::VectorXd direct = balance.settle(current_a);
    const double ours_k = settled_reading(wall, current_a).cables[0].hottest_k;
    double direct_k = 0.0;
    for (int n = 0; n < balance.nodes(0); ++n) direct_k = std::max(direct_k, direct[balance.first_node(0) + n]);
    direct_k += sim::datum_k;
    const double around_k = 0.5 * (wall->surroundings[0].temperature_k + wall->surroundings[1].temperature_k);
    WARN(fmt::format("voxels of {} mm: conductor {:.2f} K above its surroundings, by exact radiation {:.2f} K",
                     1e3 * fine_m, ours_k - around_k, direct_k - around_k));
    CHECK(ring_nusselt(direct_k, direct_k - 30.0, 0.0073, 0.0143) == 1.0);
    CHECK(ours_k - around_k == Approx(direct_k - around_k).epsilon(0.04 * fine_m / 0.003));
  }
}

TEST_CASE("an open cavity carries as much as an independent solver with exact radiation says") {
  // What may differ: rows of air between two sides instead of an enclosure, two tables of air (Nu 1 % apart), halves of
  // voxels as above: 1 % of the heat through the wall.
  sim::Wall drawn =
      block({even_edges(0.06, 2), even_edges(0.6, 30), even_edges(0.16, 32)}, material("board", 0.25, 900.0, 1000.0));
  paint_box(drawn, {0.0, 0.06, 0.02}, {0.06, 0.54, 0.08}, still_air());
  paint_box(drawn, {0.0, 0.0, 0.08}, {0.06, 0.6, 0.14}, material("batt", 0.04, 20.0, 1000.0));
  expose(drawn, sim::Side::room, add_film(drawn, "room", 295.0, 8.0));
  expose(drawn, sim::Side::far, add_film(drawn, "outside", 265.0, 25.0));
  for (const double batt_w_mk : {0.04, 1.0}) {
    drawn.materials.back().conductivity_w_mk = batt_w_mk;
    const auto wall = share(drawn);
    const HeatBalance balance(*wall);
    const double direct_w = film_heat_w(*wall, sim::Side::far, balance, balance.settle(0.0));
    const double ours_w = settled_reading(wall).surroundings[1].heat_w;
    WARN(fmt::format("behind it {} W/(m K): {:.4f} W, by exact radiation {:.4f} W", batt_w_mk, ours_w, direct_w));
    CHECK(ours_w == Approx(direct_w).epsilon(0.01));
  }
}
