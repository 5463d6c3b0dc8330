// How far the current flows and how large it is, against Ohm's law by hand.

#include "sim/supply/circuit.hpp"

#include <cmath>

#include "sim/cross_section.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// Two cables one after the other on mains of 230 V and 0.4 ohm, sound, at 20 C.
struct TwoCables {
  sim::Wall wall;
  sim::CopperLayout copper;
  std::vector<sim::CableDamage> cables{2};
  std::vector<std::vector<double>> copper_rise_k;
  sim::Conditions conditions;

  TwoCables() : wall(channel_wall()) {
    sim::Cable second = wall.cables[0];
    second.name = "second";
    wall.cables.push_back(second);
    wall.mains = {230.0, 0.4};
    copper = sim::lay_out_copper(wall, sim::Layout(wall.grid.nx(), wall.grid.ny(), wall.grid.nz()));
    for (const sim::CopperLine& line : copper.lines)
      copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 0.0);
    conditions = sim::initial_conditions(wall);
    conditions.current_a = 20.0;
  }

  [[nodiscard]] sim::Feed feed(bool device_open = false) const {
    return sim::feed_of(wall, copper, conditions, cables, copper_rise_k, device_open);
  }
  [[nodiscard]] int nodes() const { return copper.lines[0].nodes(); }
};

}  // namespace

TEST_CASE("current flows as far as the first short, in the order of the cables, and no cable behind it has any") {
  TwoCables two;
  CHECK(two.feed().live_nodes == std::vector<int>{two.nodes(), two.nodes()});
  two.cables[1].short_node = 3;
  CHECK(two.feed().live_nodes == std::vector<int>{two.nodes(), 4});
  two.cables[0].short_node = 7;
  const sim::Feed feed = two.feed();
  CHECK(feed.live_nodes == std::vector<int>{8, 0});
  CHECK(feed.at(0, 7) == 20.0);
  CHECK(feed.at(0, 8) == 0.0);
  CHECK(feed.at(1, 0) == 0.0);
}

TEST_CASE("a short on a branch draws the mains' volts over their own resistance and the copper out and back") {
  TwoCables two;
  two.conditions.supply = sim::SupplyKind::branch;
  CHECK(two.feed().supply_a == 20.0);
  two.cables[1].short_node = 3;
  // At 20 C copper has its resistance of 20 C: two conductors of the first cable, and of the second as far as the
  // short.
  const double per_m_ohm = 2.0 * two.wall.cables[0].type.resistance_20_ohm_m;
  double metres = 0.0;
  for (const double length_m : two.copper.lines[0].length_m) metres += length_m;
  CHECK(metres == Approx(0.4));
  for (std::size_t n = 0; n <= 3; ++n) metres += two.copper.lines[1].length_m[n];
  CHECK(two.feed().supply_a == Approx(230.0 / (0.4 + per_m_ohm * metres)).epsilon(1e-9));
  // 100 K warmer: (234.5 + 120) / 254.5 times the copper's resistance (IEC 60028).
  for (std::vector<double>& nodes : two.copper_rise_k) std::fill(nodes.begin(), nodes.end(), 100.0);
  CHECK(two.feed().supply_a == Approx(230.0 / (0.4 + per_m_ohm * metres * 354.5 / 254.5)).epsilon(1e-5));
  // A bench holds its current through a short.
  two.conditions.supply = sim::SupplyKind::bench;
  CHECK(two.feed().supply_a == 20.0);
}

TEST_CASE("nothing flows through an open conductor or device, but an opening behind a short does not matter") {
  TwoCables two;
  CHECK(two.feed(true).supply_a == 20.0);  // a bench has no device
  two.conditions.supply = sim::SupplyKind::branch;
  CHECK(two.feed(true).supply_a == 0.0);
  two.conditions.supply = sim::SupplyKind::bench;
  two.cables[0].open_node = 5;
  CHECK(two.feed().supply_a == 0.0);
  two.cables[0].short_node = 4;
  CHECK(two.feed().supply_a == 20.0);
  two.cables[0].short_node = 5;
  CHECK(two.feed().supply_a == 0.0);
}

TEST_CASE("copper that loses nothing warms at I2R over its heat capacity, and unevenly warm copper evens out") {
  TwoCables two;
  sim::Layout layout(two.wall.grid.nx(), two.wall.grid.ny(), two.wall.grid.nz());
  sim::Field rise_k(layout.size, 0.0F);
  const sim::CableType& type = two.wall.cables[0].type;
  const double adiabatic_k_s = 400.0 * 2.0 * type.resistance_20_ohm_m / (3.45e6 * 2.0 * type.conductor_m2);
  CHECK(sim::fastest_copper_k_s(two.wall, two.copper, sim::steady_feed(two.copper, 20.0), two.copper_rise_k, rise_k) ==
        Approx(adiabatic_k_s).epsilon(1e-9));
  // One node 1 K warmer than both neighbours: heat 2 k A / d over 3.45e6 A d, and what its sheath takes.
  two.copper_rise_k[0][10] = 1.0;
  const sim::CopperLine& line = two.copper.lines[0];
  const double d = line.length_m[10];
  const double expected_k_s =
      2.0 * 397.0 / (3.45e6 * d * d) + line.section.coupling_w_mk / line.section.copper_capacity_j_mk;
  CHECK(sim::fastest_copper_k_s(two.wall, two.copper, sim::steady_feed(two.copper, 0.0), two.copper_rise_k, rise_k) ==
        Approx(expected_k_s).epsilon(1e-4));
}
