// Heat along the copper: a cable that is hot in one part of its route and cool in the other is a fin on itself.

#include <cmath>

#include "sim/cross_section.hpp"
#include "tests/support/closed_forms.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double part_m = 0.3, half_m = 0.02, length_m = 2.0 * part_m, current_a = 10.0;

/// A cable of 10 mm2 through a bar, 40 mm square, held at 20 C all round; the two halves of its length are of two
/// materials.
sim::Wall bar(const sim::Material& first, const sim::Material& second, int slabs) {
  const auto edges = edges_around(half_m, 0.010, 8, 1.2, 0.004);
  sim::Wall wall = block({even_edges(length_m, slabs), edges, edges}, first);
  paint_box(wall, {part_m, 0, 0}, {length_m, 1, 1}, second);
  add_held(wall, "faces", sim::kelvin_from_celsius(20.0));
  for (const auto side : {sim::Side::bottom, sim::Side::top, sim::Side::room, sim::Side::far}) expose(wall, side, 0);
  RoundCable cable;
  cable.conductor_m2 = 10e-6;
  cable.resistance_20_ohm_m = 1.83e-3;
  cable.core_m = 4.6e-3;
  cable.sheath_m = 0.010;
  cable.plastic = material("pvc", 0.17, 1390.0, 900.0);
  add_cable(wall, "rod", round_type(cable), {{0.0, half_m, half_m}, {length_m, half_m, half_m}});
  return wall;
}

/// Resistance per metre from copper to the faces when the whole bar is of one material, m K/W.
double resistance_mk_w(const sim::Material& filling) {
  const sim::Reading reading = settled_reading(share(bar(filling, filling, 8)), current_a);
  return (reading.cables[0].hottest_k - sim::datum_k) / (reading.power_w / length_m);
}

}  // namespace

TEST_CASE("heat spreads along the copper as fin theory says: tanh(mL) (Incropera & DeWitt 3.6)") {
  // Foam, then something that carries heat eight times better. Both carry next to nothing along the bar: 1.6e-3 m2 of
  // foam at 0.03 against 8e-3 W m/K of copper is 0.6 %, of the other 5 %; the rod's own kA includes the plastics.
  const sim::Material foam = material("foam", 0.03, 20.0, 1450.0), board = material("board", 0.25, 900.0, 1000.0);
  const sim::Wall wall = bar(foam, board, 120);
  const sim::CrossSection section = sim::cross_section(wall.cables[0].type);
  const double q = 2.0 * current_a * current_a * 1.83e-3;
  const TwoPartRod rod{section.copper_axial_w_m_k, q,      0.00393 * q, resistance_mk_w(foam),
                       resistance_mk_w(board),     part_m, part_m};

  const auto shared = share(wall);
  const sim::Settled settled = sim::settle(shared, with_current(*shared, current_a));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  const sim::CableLine& line = settled.state->lines[0];
  const double span_k = two_part_rod_rise_k(rod, 0.0) - two_part_rod_rise_k(rod, length_m);
  REQUIRE(span_k > 0.5);
  for (std::size_t n = 0; n < line.along_m.size(); ++n) {
    const double exact_k = two_part_rod_rise_k(rod, line.along_m[n]);
    INFO("at " << line.along_m[n] << " m");
    // 3 % of the span: what the bar itself carries lengthwise, which fin theory leaves out.
    REQUIRE(double{line.conductor_k[n]} - sim::datum_k == Approx(exact_k).margin(0.03 * span_k));
  }
  // And without copper's conduction along itself the joint would be a step; the fin's slope is what we see.
  const double joint_k = two_part_rod_rise_k(rod, part_m);
  CHECK(joint_k < 0.9 * two_part_rod_rise_k(rod, 0.0));
  CHECK(joint_k > 1.1 * two_part_rod_rise_k(rod, length_m));
}
