// The same wall solved by a general-purpose library: a matrix assembled apart from the solver's own code (heat_balance)
// and factorised by Eigen (sparse LDL^T, double precision). Same finite volumes, so the two must agree to float
// rounding and to the tolerance of the settled solver.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "sim/cross_section.hpp"
#include "sim/limits.hpp"
#include "tests/standards/cable_wall.hpp"
#include "tests/standards/heat_balance.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// A wall of everything: unlike voxels, contrasts of 10^4, a recess, films and held surfaces on four sides.
sim::Wall mixture() {
  const sim::GridRules rules{0.02, 0.004, 1.3};
  const sim::Interval fine{0.05, 0.07};
  const auto edges = sim::graded_edges({0.0, 0.05, 0.07, 0.20}, {fine}, rules);
  sim::Wall wall = block({edges, edges, edges}, material("foam", 0.03, 20.0, 1450.0));
  wall.materials.push_back(material("board", 0.25, 900.0, 1000.0));
  std::mt19937 random(5);  // NOLINT: the same wall every time
  for (sim::Voxel& voxel : wall.voxels) voxel.index = random() % 3 == 0 ? 1 : 0;
  paint_box(wall, {0.05, 0.0, 0.05}, {0.07, 0.20, 0.07}, material("aluminium", 230.0, 2800.0, 880.0));
  expose(wall, sim::Side::room, add_film(wall, "room", sim::kelvin_from_celsius(24.0), 8.0));
  expose(wall, sim::Side::far, add_film(wall, "outside", sim::kelvin_from_celsius(-5.0), 25.0));
  expose(wall, sim::Side::top, add_held(wall, "attic", sim::kelvin_from_celsius(60.0)));
  expose(wall, sim::Side::left, 0);
  cut_away(wall, 1, [](const sim::Vec3& at) { return at[0] > 0.12 && at[1] > 0.1 && at[1] < 0.16 && at[2] > 0.12; });
  return wall;
}

/// Furthest that a settled wall lies from the direct solve, K: any voxel, any copper node.
struct Apart {
  double voxel_k = 0.0, copper_k = 0.0;
  double hottest_rise_k = 0.0;  // of the direct solve's copper
  Eigen::Index unknowns = 0;
};

Apart settled_apart(const std::shared_ptr<const sim::Wall>& wall, double current_a) {
  const HeatBalance balance(*wall);
  const Eigen::VectorXd direct = balance.settle(current_a);
  const sim::Settled settled = sim::settle(wall, with_current(*wall, current_a));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  Apart apart;
  apart.unknowns = balance.unknowns();
  for (std::size_t voxel = 0; voxel < wall->voxels.size(); ++voxel) {
    const int unknown = balance.unknown_of_voxel()[voxel];
    if (unknown < 0) continue;
    const double ours_k = settled.state->temperature_k[voxel] - sim::datum_k;
    apart.voxel_k = std::max(apart.voxel_k, std::abs(direct[unknown] - ours_k));
  }
  for (std::size_t cable = 0; cable < wall->cables.size(); ++cable) {
    const sim::CableLine& line = settled.state->lines[cable];
    const int first = balance.first_node(static_cast<int>(cable));
    REQUIRE(static_cast<int>(line.conductor_k.size()) == balance.nodes(static_cast<int>(cable)));
    for (std::size_t n = 0; n < line.conductor_k.size(); ++n) {
      const double rise_k = direct[first + static_cast<Eigen::Index>(n)];
      apart.copper_k = std::max(apart.copper_k, std::abs(rise_k - (line.conductor_k[n] - sim::datum_k)));
      apart.hottest_rise_k = std::max(apart.hottest_rise_k, rise_k);
    }
  }
  return apart;
}

}  // namespace

TEST_CASE("a settled wall agrees with a sparse direct solve by an independent library, voxel by voxel") {
  const Apart apart = settled_apart(share(mixture()), 0.0);
  INFO(apart.unknowns << " unknowns");
  CHECK(apart.voxel_k < 2e-3);  // single precision near 300 K, and the solver's own 1e-4 K
}

TEST_CASE("a settled wall with a cable agrees with a sparse direct solve: every voxel, every node of the copper",
          "[slow]") {
  for (const bool varies : {false, true}) {
    // Repeated factorisations take their time: fewer voxels where conductivities and films move.
    const auto wall = share(varies ? cable_wall(true, 0.025, 0.003) : cable_wall(false, 0.0175, 0.002));
    for (const double current_a : {15.0, 22.0}) {
      const Apart apart = settled_apart(wall, current_a);
      WARN(fmt::format("{}, {} unknowns, {} A: conductor {:.2f} °C; apart: voxels {:.5f} K, conductor {:.5f} K",
                       varies ? "k(T), natural films" : "constant properties", apart.unknowns, current_a,
                       sim::celsius_from_kelvin(sim::datum_k + apart.hottest_rise_k), apart.voxel_k, apart.copper_k));
      CHECK(apart.hottest_rise_k > 20.0);
      CHECK(apart.copper_k < 0.05);
      CHECK(apart.voxel_k < 0.05);
    }
  }
}

TEST_CASE("a cable's cross-section conducts as a direct solve of it says, and as one four times finer within 2 %") {
  for (const sim::CableType& type : {cable_wall(false, 0.02, 0.003).cables[0].type, round_type({})}) {
    sim::CableType of = type;
    if (of.sheath.conductivity_w_mk.value.empty()) of.insulation = of.sheath = material("pvc", 0.17, 1390.0, 900.0);
    const double ours = sim::cross_section(of).coupling_w_mk;
    const double fine = direct_coupling_w_mk(of, 4 * sim::limits::cross_section_cells);
    INFO(of.name << ": " << ours << " W/(m K), four times finer " << fine);
    CHECK(ours == Approx(direct_coupling_w_mk(of, sim::limits::cross_section_cells)).epsilon(1e-6));
    CHECK(ours == Approx(fine).epsilon(0.02));
  }
}
