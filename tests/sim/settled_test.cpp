// The settled field and the current limit.

#include "sim/settled.hpp"

#include <cmath>
#include <random>

#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

TEST_CASE("aluminium beside foam, a contrast of 10^4, settles to a heat balance of 1e-5") {
  std::mt19937 random(11);  // NOLINT: the same wall every time
  const auto edges = even_edges(0.2, 20);
  sim::Wall wall = block({edges, edges, edges}, material("foam", 0.02, 20.0, 1450.0));
  wall.materials.push_back(material("aluminium", 230.0, 2800.0, 880.0));
  for (sim::Voxel& voxel : wall.voxels) voxel.index = random() % 4 == 0 ? 1 : 0;
  expose(wall, sim::Side::room, add_film(wall, "warm", sim::kelvin_from_celsius(20.0), 8.0));
  expose(wall, sim::Side::far, add_film(wall, "cold", sim::kelvin_from_celsius(0.0), 25.0));
  const auto shared = share(std::move(wall));
  const sim::Settled settled = sim::settle(shared, sim::initial_conditions(*shared));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  CHECK(settled.balance <= 1e-5);
  const auto& sides = settled.state->reading.surroundings;
  CHECK(sides[1].heat_w > 0.0);
  CHECK(sides[1].heat_w == Approx(-sides[0].heat_w).epsilon(1e-5));
  for (const float temperature_k : settled.state->temperature_k) {
    REQUIRE(temperature_k >= sim::kelvin_from_celsius(0.0) - 1e-3);
    REQUIRE(temperature_k <= sim::kelvin_from_celsius(20.0) + 1e-3);
  }
}

TEST_CASE("a copper plate hands on the little heat that it gets: both surfaces read the same, and the balance tells") {
  // 0.05 x 0.05 x 0.02 m of copper between 60 and 60.00035 degC held: k A / d (T1 - T2). Temperatures in single
  // precision are 4e-6 K apart there, which would be 1 % of the heat.
  constexpr double apart_k = 3.5e-4;
  const auto edges = even_edges(0.05, 5), thin = even_edges(0.02, 4);
  sim::Wall wall = block({edges, edges, thin}, material("copper", 400.0, 8960.0, 385.0));
  expose(wall, sim::Side::room, add_held(wall, "room", sim::kelvin_from_celsius(60.0)));
  expose(wall, sim::Side::far, add_held(wall, "far", sim::kelvin_from_celsius(60.0) + apart_k));
  const auto shared = share(std::move(wall));
  const sim::Settled settled = sim::settle(shared, sim::initial_conditions(*shared));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  const auto& sides = settled.state->reading.surroundings;
  const double through_w = 400.0 * 0.05 * 0.05 / 0.02 * apart_k;
  CHECK(sides[0].heat_w == Approx(through_w).epsilon(1e-5));
  CHECK(sides[1].heat_w == Approx(-through_w).epsilon(1e-5));
  CHECK(settled.balance == Approx(std::abs(sides[0].heat_w + sides[1].heat_w) / through_w).margin(1e-6));
}

namespace {

/// n x n x n voxels of 20 x 20 x 1 mm: foam with upright aluminium studs through it, and a bar across them.
std::shared_ptr<const sim::Wall> studded_wall(int n) {
  const auto wide = even_edges(0.02 * n, n), thin = even_edges(0.001 * n, n);
  sim::Wall wall = block({wide, wide, thin}, material("foam", 0.023, 20.0, 1450.0));
  wall.materials.push_back(material("aluminium", 230.0, 2800.0, 880.0));
  for (std::size_t v = 0; v < wall.voxels.size(); ++v) {
    const int i = static_cast<int>(v) % n, j = static_cast<int>(v) / n % n, k = static_cast<int>(v) / n / n;
    wall.voxels[v].index = i % 4 == 0 || (j == n / 2 && k == n / 2) ? 1 : 0;
  }
  expose(wall, sim::Side::room, add_film(wall, "warm", sim::kelvin_from_celsius(20.0), 8.0));
  expose(wall, sim::Side::far, add_film(wall, "cold", sim::kelvin_from_celsius(0.0), 25.0));
  return share(std::move(wall));
}

}  // namespace

// With the error reduced by 10^8 in the energy's norm, conjugate gradients need at most sqrt(kappa) / 2 ln(2e8) steps
// (Trottenberg, Oosterlee & Schueller, Multigrid (2001), 7.8); 20 steps stand for a kappa of 4 to 5, whatever the size.
// With the diagonal alone kappa, and with it the square of the steps, grows with the square of n: sixfold from 8 to 48.
TEST_CASE("a wall with metal of contrast 10^4 in voxels of 20 to 1 takes no more iterations the larger it is") {
  std::vector<int> iterations;
  for (const int n : {8, 16, 24, 32, 48}) {
    const auto wall = studded_wall(n);
    const sim::Settled settled = sim::settle(wall, sim::initial_conditions(*wall));
    REQUIRE(settled.outcome == sim::SettledOutcome::settled);
    CHECK(settled.balance <= 1e-6);
    iterations.push_back(settled.iterations);
    CAPTURE(n, settled.iterations);
    CHECK(settled.iterations <= 20);
  }
  CHECK(iterations[4] <= iterations[1] + 4);  // three times as wide
}

TEST_CASE("a settled field does not depend on the number of threads or on the guess", "[slow][threads]") {
  const auto wall = share(channel_wall());
  const sim::Conditions conditions = with_current(*wall, 18.0);
  const sim::Settled one = sim::settle(wall, conditions, 1);
  REQUIRE(one.outcome == sim::SettledOutcome::settled);
  for (const int threads : {2, 3, 4}) {
    CHECK(sim::settle(wall, conditions, threads).state->temperature_k == one.state->temperature_k);
  }
  const sim::Settled hot = sim::settle(wall, with_current(*wall, 25.0), 1);
  REQUIRE(hot.outcome == sim::SettledOutcome::settled);
  const sim::Settled again = sim::settle(wall, conditions, 1, hot.state.get());
  REQUIRE(again.outcome == sim::SettledOutcome::settled);
  for (std::size_t n = 0; n < one.state->reading.thermocouple_k.size(); ++n) {
    CHECK(again.state->reading.thermocouple_k[n] == Approx(one.state->reading.thermocouple_k[n]).margin(2e-3));
  }
}

TEST_CASE("the heat that leaves a settled wall is the heat its copper gives") {
  const auto wall = share(channel_wall());
  const sim::Settled settled = sim::settle(wall, with_current(*wall, 18.0));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  CHECK(settled.balance <= 1e-5);
  const sim::Reading& reading = settled.state->reading;
  CHECK(reading.surroundings[0].heat_w + reading.surroundings[1].heat_w == Approx(reading.power_w).epsilon(1e-4));
  CHECK(reading.cables[0].power_w == Approx(reading.cables[0].drop_v * 18.0));
  CHECK(reading.surroundings[0].area_m2 == Approx(0.4 * 0.2));
  CHECK(reading.surroundings[0].hottest_surface_k >= reading.surroundings[0].coldest_surface_k);
}

TEST_CASE("a wall without any outlet has no settled field, and a current too strong for its wall runs away") {
  sim::Wall closed = channel_wall();
  closed.faces.fill(-1);
  const auto shared = share(std::move(closed));
  CHECK(sim::settle(shared, with_current(*shared, 10.0)).outcome == sim::SettledOutcome::no_outlet);

  const auto wall = share(channel_wall());
  CHECK(sim::settle(wall, with_current(*wall, 100.0)).outcome == sim::SettledOutcome::runaway);
}

TEST_CASE("the current limit is the current at which the conductor just meets its limit") {
  sim::Wall half_covered = channel_wall();  // and in mortar over its first half, so that one place is hotter
  paint_box(half_covered, {0.0, 0.0, 0.0127}, {0.2, 0.2, 0.0727}, material("mortar", 0.8, 1600.0, 1000.0));
  const auto wall = share(std::move(half_covered));
  const double limit_k = sim::kelvin_from_celsius(60.0);
  const sim::Limit limit = sim::current_limit(wall, sim::initial_conditions(*wall), 0, limit_k);
  REQUIRE(limit.outcome == sim::SettledOutcome::settled);
  CHECK(limit.current_a > 5.0);
  const sim::Reading at_limit = settled_reading(wall, limit.current_a);
  CHECK(at_limit.cables[0].hottest_k == Approx(limit_k).margin(0.01));
  CHECK(limit.hottest_at_m > 0.35);
  CHECK(at_limit.cables[0].hottest_at_m == Approx(limit.hottest_at_m).margin(0.02));
  CHECK(settled_reading(wall, 1.01 * limit.current_a).cables[0].hottest_k > limit_k);
}

TEST_CASE("a wall hotter than the limit without any current allows no current") {
  const auto wall = share(channel_wall());
  sim::Conditions conditions = sim::initial_conditions(*wall);
  conditions.surroundings_k.assign(2, sim::kelvin_from_celsius(65.0));
  CHECK(sim::current_limit(wall, conditions, 0, sim::kelvin_from_celsius(60.0)).current_a == 0.0);
}

TEST_CASE("a natural film counted twice carries twice the heat from a surface as warm as before") {
  // So well conducting that the surface stays within a tenth of a kelvin of what the other side is held at.
  sim::Wall wall =
      block({even_edges(0.1, 4), even_edges(0.5, 8), even_edges(0.02, 4)}, material("metal", 400.0, 8000.0, 400.0));
  expose(wall, sim::Side::room, add_held(wall, "hot", sim::kelvin_from_celsius(60.0)));
  expose(wall, sim::Side::far, add_natural(wall, "air", sim::kelvin_from_celsius(20.0)));
  const auto heat_w = [&] {
    const sim::Settled settled = sim::settle(share(wall), sim::initial_conditions(wall));
    REQUIRE(settled.outcome == sim::SettledOutcome::settled);
    return settled.state->reading.surroundings[1].heat_w;
  };
  const double once_w = heat_w();
  CHECK(once_w > 10.0);
  wall.surroundings[1].natural_times = 2.0;
  CHECK(heat_w() == Approx(2.0 * once_w).epsilon(2e-3));
}
