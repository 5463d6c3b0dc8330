// The copper: its resistance, the volts it takes, how it couples to the wall, its corners, and more cables than one.

#include <cmath>
#include <numbers>

#include "sim/copper.hpp"
#include "sim/cross_section.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double pi = std::numbers::pi;
const sim::Material foam = material("foam", 0.035, 20.0, 1450.0);
const sim::Material pvc = material("pvc", 0.17, 1390.0, 900.0);

RoundCable small_cable() {
  RoundCable cable;
  cable.plastic = pvc;
  return cable;
}

/// A bar of foam along x, 80 mm square, held at held_c all round, with a cable of 2.5 mm2 along its axis.
sim::Wall bar(double length_m, double held_c, int slabs = 20) {
  const auto edges = edges_around(0.04, 0.008, 6, 1.2, 0.006);
  sim::Wall wall = block({even_edges(length_m, slabs), edges, edges}, foam);
  add_held(wall, "faces", sim::kelvin_from_celsius(held_c));
  for (const auto side : {sim::Side::bottom, sim::Side::top, sim::Side::room, sim::Side::far}) expose(wall, side, 0);
  add_cable(wall, "feed", round_type(small_cable()), {{0.0, 0.04, 0.04}, {length_m, 0.04, 0.04}});
  return wall;
}

}  // namespace

TEST_CASE("resistance rises with temperature as (234.5 + T) / 254.5 (IEC 60028)") {
  const sim::CableType type = round_type(small_cable());
  for (const double celsius : {20.0, 60.0, 90.0, 156.0}) {
    CHECK(sim::resistance_ohm_m(type, sim::kelvin_from_celsius(celsius)) ==
          Approx(7.41e-3 * (234.5 + celsius) / 254.5).epsilon(1e-4));
  }
  CHECK(sim::resistance_slope_ohm_mk(type) == Approx(7.41e-3 * 0.00393));
}

TEST_CASE("volts, watts and amps of a cable agree with its length and resistance, out and back") {
  for (const double celsius : {20.0, 70.0}) {
    const double current_a = 0.1;  // warms the copper by 2 mK
    const sim::Reading reading = settled_reading(share(bar(2.0, celsius)), current_a);
    const double ohm = 2.0 * 2.0 * 7.41e-3 * (1.0 + 0.00393 * (celsius - 20.0));
    CHECK(reading.cables[0].drop_v == Approx(current_a * ohm).epsilon(1e-4));
    CHECK(reading.cables[0].power_w == Approx(current_a * current_a * ohm).epsilon(1e-4));
    CHECK(reading.current_a == current_a);
  }
}

TEST_CASE("a cross-section conducts as two thin wires in a tube do when its conductors are thin") {
  // Two wires of radius r at +-d from the axis of a tube of radius R, both at one potential, by images:
  // S = 4 pi / ln((R^4 - d^4) / (2 d r R^2)), for r << d. Thin wires are only a few cells wide here: 4 %.
  RoundCable cable = small_cable();
  const double wire_m = 0.3e-3, apart_m = 0.5 * cable.core_m, tube_m = 0.5 * cable.sheath_m;
  cable.conductor_m2 = pi * wire_m * wire_m;
  const double shape =
      4.0 * pi / std::log((std::pow(tube_m, 4) - std::pow(apart_m, 4)) / (2.0 * apart_m * wire_m * tube_m * tube_m));
  CHECK(sim::cross_section(round_type(cable)).coupling_w_mk == Approx(0.17 * shape).epsilon(0.04));
}

TEST_CASE("a cross-section stores and carries heat along itself as its parts do") {
  RoundCable cable = small_cable();
  cable.earth_m2 = 1.5e-6;
  const sim::CrossSection section = sim::cross_section(round_type(cable));
  CHECK(section.copper_capacity_j_mk == Approx(2 * 2.5e-6 * 3.45e6).epsilon(1e-6));
  CHECK(section.copper_axial_w_m_k == Approx(2 * 2.5e-6 * sim::copper_conductivity_w_mk).epsilon(1e-6));
  const double plastic_m2 = pi * 0.004 * 0.004 - 2 * 2.5e-6 - 1.5e-6;
  CHECK(section.sheath_capacity_j_mk == Approx(plastic_m2 * 1390.0 * 900.0 + 1.5e-6 * 3.45e6).epsilon(0.02));
  CHECK(section.sheath_axial_w_m_k == Approx(plastic_m2 * 0.17 + 1.5e-6 * sim::copper_conductivity_w_mk).epsilon(0.02));
}

TEST_CASE("the conductor runs hotter than its sheath by heat over coupling") {
  const sim::Wall wall = bar(1.0, 20.0);
  const double coupling = sim::cross_section(wall.cables[0].type).coupling_w_mk;
  const auto shared = share(wall);
  const sim::Settled settled = sim::settle(shared, with_current(*shared, 10.0));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  const sim::CableLine& line = settled.state->lines[0];
  const std::size_t middle = line.along_m.size() / 2;
  const double heat_w_m = settled.state->reading.power_w / 1.0;
  // Alike all along, so nothing flows along the copper.
  CHECK(double{line.conductor_k[middle]} - line.sheath_k[middle] == Approx(heat_w_m / coupling).epsilon(0.01));
}

TEST_CASE("the number of slabs that a cable crosses does not matter where it is alike all along") {
  const auto hottest = [](int slabs) {
    return settled_reading(share(bar(1.0, 20.0, slabs)), 20.0).cables[0].hottest_k;
  };
  const double few = hottest(4), many = hottest(64);
  CHECK(many - sim::datum_k == Approx(few - sim::datum_k).epsilon(1e-4));
}

TEST_CASE("a bent cable is as warm as a straight one away from the bend, and a little warmer in it") {
  // A bar of foam, 80 mm square, round the cable, straight or bent; everything beyond the bar is held at 20 C. Each leg
  // of the bent one is 0.5 m. Only the bend differs: there the cable has less foam surface to lose heat by (it looks
  // outwards to two sides, not three or four), so it is warmer over a spread length, sqrt(kA R') = 0.14 m, on both
  // sides.
  const double length_m = 1.0;
  const sim::Reading straight = settled_reading(share(bar(length_m, 20.0, 40)), 20.0);

  const auto fine = edges_around(0.04, 0.008, 6, 1.2, 0.006);
  std::vector<double> bent = fine;
  for (int n = 1; n <= 20; ++n) bent.push_back(0.08 + 0.46 * n / 20);
  sim::Wall wall = block({bent, bent, fine}, foam);
  add_held(wall, "faces", sim::kelvin_from_celsius(20.0));
  for (const auto side : {sim::Side::bottom, sim::Side::left, sim::Side::room, sim::Side::far}) expose(wall, side, 0);
  cut_away(wall, 0, [](const sim::Vec3& at) { return at[0] > 0.08 && at[1] > 0.08; });
  add_cable(wall, "feed", round_type(small_cable()), {{0.54, 0.04, 0.04}, {0.04, 0.04, 0.04}, {0.04, 0.54, 0.04}});
  const auto shared = share(std::move(wall));
  const sim::Settled settled = sim::settle(shared, with_current(*shared, 20.0));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  const sim::Reading& reading = settled.state->reading;

  const double rise_k = straight.cables[0].hottest_k - sim::datum_k;
  const sim::CableLine& line = settled.state->lines[0];
  // The ends are 3.5 spread lengths away: e^-3.5 of a few percent.
  CHECK(double{line.conductor_k.front()} - sim::datum_k == Approx(rise_k).epsilon(0.005));
  CHECK(double{line.conductor_k.back()} - sim::datum_k == Approx(rise_k).epsilon(0.005));
  CHECK(reading.cables[0].hottest_at_m == Approx(0.5).margin(0.02));
  CHECK(reading.cables[0].hottest_k - sim::datum_k < 1.05 * rise_k);
  CHECK(reading.cables[0].drop_v == Approx(straight.cables[0].drop_v).epsilon(0.01));
  // The route is whole, its length counted once through the bend.
  CHECK(line.along_m.front() < 0.03);
  CHECK(line.along_m.back() > 0.97);
  for (std::size_t n = 0; n + 1 < line.along_m.size(); ++n) REQUIRE(line.along_m[n] < line.along_m[n + 1]);
}

TEST_CASE("two cables in one wall share the current, add their volts and warm one another") {
  const auto pair_of = [](double apart_m) {
    const double half_m = 0.06;
    sim::GridRules rules{0.006, 0.001, 1.25};
    const double low_m = half_m - 0.5 * apart_m, high_m = half_m + 0.5 * apart_m;
    const std::vector<sim::Interval> fine{{low_m - 0.004, low_m + 0.004}, {high_m - 0.004, high_m + 0.004}};
    const auto y =
        sim::graded_edges({0.0, low_m - 0.004, low_m + 0.004, high_m - 0.004, high_m + 0.004, 2 * half_m}, fine, rules);
    sim::Wall wall = block({even_edges(1.0, 10), y, edges_around(0.04, 0.008, 8, 1.25, 0.006)}, foam);
    add_held(wall, "faces", sim::kelvin_from_celsius(20.0));
    for (const auto side : {sim::Side::bottom, sim::Side::top, sim::Side::room, sim::Side::far}) expose(wall, side, 0);
    add_cable(wall, "low", round_type(small_cable()), {{0.0, low_m, 0.04}, {1.0, low_m, 0.04}});
    add_cable(wall, "high", round_type(small_cable()), {{0.0, high_m, 0.04}, {1.0, high_m, 0.04}});
    return settled_reading(share(std::move(wall)), 15.0);
  };
  const sim::Reading near = pair_of(0.012), apart = pair_of(0.060);
  for (const sim::Reading& reading : {near, apart}) {
    CHECK(reading.cables[0].hottest_k == Approx(reading.cables[1].hottest_k).margin(0.01));  // mirror images
    CHECK(reading.voltage_v == Approx(reading.cables[0].drop_v + reading.cables[1].drop_v));
    CHECK(reading.power_w == Approx(reading.cables[0].power_w + reading.cables[1].power_w));
  }
  CHECK(near.cables[0].hottest_k > apart.cables[0].hottest_k + 3.0);
}

TEST_CASE("a round sheath is laid out over voxels of its own area, and each takes the copper's heat by its own") {
  // A circle of 16 mm in voxels of 1 mm and, beyond the middle, of 2 mm: pi d2 / 4 = 201.06 mm2, within 4 %.
  std::vector<double> uneven;
  for (int n = 0; n <= 20; ++n) uneven.push_back(1e-3 * n);
  for (int n = 1; n <= 10; ++n) uneven.push_back(0.02 + 2e-3 * n);
  sim::Wall wall = block({even_edges(0.1, 4), uneven, even_edges(0.04, 40)}, foam);
  RoundCable thick = small_cable();
  thick.sheath_m = 0.016;
  add_cable(wall, "feed", round_type(thick), {{0.0, 0.02, 0.02}, {0.1, 0.02, 0.02}});
  const sim::Layout layout(wall.grid);
  const sim::CopperLine line = sim::lay_out_copper(wall, layout).lines[0];
  REQUIRE(line.nodes() == 4);
  double area_m2 = 0.0, coupling_w_k = 0.0, shares = 0.0;
  const auto area_of_m2 = [&](std::size_t voxel) {
    const auto ijk = layout.place(voxel);
    return (wall.grid.y_m[ijk[1] + 1] - wall.grid.y_m[ijk[1]]) * (wall.grid.z_m[ijk[2] + 1] - wall.grid.z_m[ijk[2]]);
  };
  for (int l = line.first_link[1]; l < line.first_link[2]; ++l) area_m2 += area_of_m2(line.links[l].voxel);
  CHECK(area_m2 == Approx(pi / 4.0 * 0.016 * 0.016).epsilon(0.04));
  for (int l = line.first_link[1]; l < line.first_link[2]; ++l) {
    const double share = area_of_m2(line.links[l].voxel) / area_m2;
    CHECK(line.links[l].share == Approx(share).epsilon(1e-5));
    CHECK(line.links[l].coupling_w_k == Approx(share * line.section.coupling_w_mk * 0.025).epsilon(1e-5));
    coupling_w_k += line.links[l].coupling_w_k;
    shares += line.links[l].share;
  }
  CHECK(coupling_w_k == Approx(line.section.coupling_w_mk * 0.025).epsilon(1e-5));
  CHECK(shares == Approx(1.0).epsilon(1e-5));
}

TEST_CASE("places along a route of several legs go on counting from its start, and lengths add up to the route's") {
  sim::Wall wall = block({even_edges(0.4, 40), even_edges(0.4, 40), even_edges(0.06, 12)}, foam);
  const int cable =
      add_cable(wall, "feed", round_type(small_cable()),
                {{0.05, 0.05, 0.03}, {0.35, 0.05, 0.03}, {0.35, 0.30, 0.03}, {0.15, 0.30, 0.03}, {0.15, 0.10, 0.03}});
  const sim::CopperLine line = sim::lay_out_copper(wall, sim::Layout(wall.grid)).lines[0];
  CHECK(sim::route_length_m(wall.cables[static_cast<std::size_t>(cable)]) == Approx(0.95));
  double length_m = 0.0;
  for (std::size_t n = 0; n < line.length_m.size(); ++n) {
    CHECK(line.along_m[n] == Approx(length_m + 0.5 * line.length_m[n]));
    length_m += line.length_m[n];
    // Copper's axial conduction between the middles of two stretches: k A / distance, 397 W/(m K).
    const double next_m = n + 1 < line.length_m.size() ? 0.5 * (line.length_m[n] + line.length_m[n + 1]) : 0.0;
    CHECK(line.axial_w_k[n] == Approx(next_m > 0.0 ? 397.0 * 5.0e-6 / next_m : 0.0));
    CHECK(line.capacity_j_k[n] == Approx(3.45e6 * 5.0e-6 * line.length_m[n]));
  }
  CHECK(length_m == Approx(0.95));
}

TEST_CASE("cores of a flat cable lie apart: heat leaves them as from two wires in two tubes") {
  // So wide that neither core feels the other: each lies in the middle of a round end of its own, which half of its
  // heat leaves at 2 pi k / ln(D / d) per full turn, while the other half finds more plastic between the flat sides,
  // 2 pi k / ln(4 D / (pi d)) (cylinder midway between planes). Copper 2 mm, sheath 6 mm; cells of the section: 3 %.
  RoundCable cable = small_cable();
  cable.conductor_m2 = pi / 4.0 * 2e-3 * 2e-3;
  cable.core_m = 3e-3;
  cable.sheath_m = 6e-3;
  sim::CableType type = round_type(cable);
  type.width_m = 0.030;
  const double round_end = 2.0 * pi * 0.17 / std::log(6.0 / 2.0);
  const double between_planes = 2.0 * pi * 0.17 / std::log(4.0 * 6.0 / (pi * 2.0));
  CHECK(sim::cross_section(type).coupling_w_mk == Approx(round_end + between_planes).epsilon(0.03));
}
