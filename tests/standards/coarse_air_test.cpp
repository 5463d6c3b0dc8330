// Settled fields of coarse, arbitrary walls: layers of air side by side, voxels of up to half a metre, boxes of
// everything, a cable somewhere. What moving air carries follows the temperatures so steeply there that rounds of
// updated coefficients may circle round the answer; they must still come to it.

#include <algorithm>
#include <cmath>
#include <random>
#include <utility>
#include <vector>

#include "tests/standards/cable_wall.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// The same wall for a seed everywhere: the distributions of the standard library are not used.
class Dice {
 public:
  explicit Dice(unsigned seed) : random_(seed) {}
  double between(double from, double to) {
    return from + (to - from) * (static_cast<double>(random_()) / 4294967296.0);
  }
  int below(int n) { return static_cast<int>(random_() % static_cast<unsigned>(n)); }
  /// Two edges, the lower first.
  sim::Interval part_of(const std::vector<double>& edges) {
    const int last = static_cast<int>(edges.size()) - 1, from = below(last), to = from + 1 + below(last - from);
    return {edges[static_cast<std::size_t>(from)], edges[static_cast<std::size_t>(to)]};
  }

 private:
  std::mt19937 random_;
};

sim::Material still_air() {
  sim::Material air = material("still air", 0.0256, 1.204, 1006.0);
  air.conductivity_w_mk = sim::Curve({273.15, 300.15, 373.15, 473.15}, {0.0242, 0.0263, 0.0314, 0.0386});
  air.air_space = true;
  return air;
}

const std::vector<sim::Material> stuffs{still_air(), still_air(), material("aluminium", 160.0, 2800.0, 880.0),
                                        material("mineral wool", 0.04, 30.0, 1030.0),
                                        material("gypsum board", 0.25, 900.0, 1000.0)};

void expose_all(sim::Wall& wall, Dice& dice) {
  const auto somewhere_k = [&] { return sim::kelvin_from_celsius(dice.between(-20.0, 60.0)); };
  expose(wall, sim::Side::room, add_natural(wall, "room", somewhere_k()));
  expose(wall, sim::Side::far, add_natural(wall, "far", somewhere_k()));
  for (const sim::Side side : {sim::Side::left, sim::Side::right, sim::Side::top, sim::Side::bottom}) {
    const int kind = dice.below(6);
    if (kind == 0) expose(wall, side, add_held(wall, "held", somewhere_k()));
    if (kind == 1) expose(wall, side, dice.below(2));
  }
}

sim::Wall coarse_wall(unsigned seed) {
  Dice dice(seed);
  std::vector<double> planes{0.0};
  std::vector<int> stuff_of_layer;
  for (int layer = 2 + dice.below(5); layer > 0; --layer) {
    constexpr double thicknesses_m[] = {0.005, 0.0127, 0.02, 0.05, 0.1, 0.2};
    planes.push_back(planes.back() + thicknesses_m[dice.below(6)]);
    stuff_of_layer.push_back(dice.below(10) < 6 ? 0 : 2 + dice.below(3));
  }
  const double coarse_m = dice.between(0.1, 0.5), width_m = dice.between(0.3, 2.0), height_m = dice.between(0.3, 2.5);
  const sim::GridRules rules{coarse_m, coarse_m, dice.between(2.0, 10.0)};
  const auto layer = static_cast<std::size_t>(dice.below(static_cast<int>(stuff_of_layer.size())));
  const double y_m = dice.between(0.1, 0.9) * height_m, z_m = 0.5 * (planes[layer] + planes[layer + 1]);
  std::vector<double> z = planes;
  z.insert(z.end(), {z_m - 0.00225, z_m + 0.00225});
  sim::Wall wall =
      block({sim::graded_edges({0.0, width_m}, {}, rules),
             sim::graded_edges({0.0, y_m - 0.005, y_m + 0.005, height_m}, {}, rules), sim::graded_edges(z, {}, rules)},
            still_air());
  for (std::size_t n = 0; n < stuff_of_layer.size(); ++n)
    paint_box(wall, {0.0, 0.0, planes[n]}, {9.0, 9.0, planes[n + 1]},
              stuffs[static_cast<std::size_t>(stuff_of_layer[n])]);
  for (int box = dice.below(5); box > 0; --box) {
    const sim::Interval x = dice.part_of(wall.grid.x_m), y = dice.part_of(wall.grid.y_m),
                        zs = dice.part_of(wall.grid.z_m);
    paint_box(wall, {x.from_m, y.from_m, zs.from_m}, {x.to_m, y.to_m, zs.to_m},
              stuffs[static_cast<std::size_t>(dice.below(4))]);
  }
  RoundCable cable;
  cable.core_m = 2.6e-3;
  cable.sheath_m = 0.0045;
  cable.plastic = material("pvc", 0.17, 1390.0, 900.0);
  sim::CableType type = round_type(cable);
  type.width_m = 0.010;
  add_cable(wall, "feed", type, {{0.0, y_m, z_m}, {width_m, y_m, z_m}});
  expose_all(wall, dice);
  return wall;
}

}  // namespace

TEST_CASE("coarse walls of air layers, boxes and a cable settle, and settling them again moves nothing") {
  std::vector<unsigned> seeds{306, 765, 870, 884, 1022, 1064};  // that once circled: 6 of the first 1200
  for (unsigned seed = 0; seed < 40; ++seed) seeds.push_back(seed);
  for (const unsigned seed : seeds) {
    INFO("wall " << seed);
    const auto wall = share(coarse_wall(seed));
    const sim::Conditions conditions = with_current(*wall, 5.0 * (seed % 3));
    const sim::Settled settled = sim::settle(wall, conditions, 1);
    CHECK(settled.outcome == sim::SettledOutcome::settled);
    if (settled.outcome != sim::SettledOutcome::settled) continue;
    CHECK(settled.balance < 1e-5);
    const sim::Settled again = sim::settle(wall, conditions, 1, settled.state.get());
    REQUIRE(again.outcome == sim::SettledOutcome::settled);
    float apart_k = 0.0F;
    for (std::size_t v = 0; v < wall->voxels.size(); ++v)
      apart_k = std::max(apart_k, std::abs(again.state->temperature_k[v] - settled.state->temperature_k[v]));
    CHECK(apart_k < 2e-3F);
  }
}

TEST_CASE("what is called settled balances, however thin the conductor is beside the cells of its cross-section") {
  for (const double conductor_m2 : {2e-6, 1e-7, 2e-8, 1e-8, 1e-9}) {
    INFO(1e6 * conductor_m2 << " mm2");
    sim::Wall wall = cable_wall(false, 0.012, 0.0015);
    wall.cables[0].type.conductor_m2 = conductor_m2;
    wall.cables[0].type.resistance_20_ohm_m = 1.7241e-8 / conductor_m2;  // IEC 60028
    const auto shared = share(std::move(wall));
    const sim::Settled settled = sim::settle(shared, with_current(*shared, 6.0 * std::sqrt(conductor_m2 / 2e-6)), 1);
    CHECK((settled.outcome != sim::SettledOutcome::settled || settled.balance <= 1e-4));
    if (conductor_m2 > 5e-8) CHECK(settled.outcome == sim::SettledOutcome::settled);
  }
}
