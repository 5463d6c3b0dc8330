// Plane walls and boxes, steady and in time, against closed forms (sources in tests/support/closed_forms.hpp).
// Tolerance of the transient cases: 0.1 K on a change of 80 K, the figure that ISO 10211 asks of steady ones.

#include <cmath>

#include "tests/support/closed_forms.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double tolerance_k = 0.1;

const sim::Material gypsum = material("gypsum board", 0.25, 900.0, 1000.0);
const sim::Material wood = material("wood", 0.13, 500.0, 1600.0);
double diffusivity(const sim::Material& m) {
  return m.conductivity_w_mk.value[0] / (m.density_kg_m3 * m.heat_capacity_j_kgk);
}

/// A column of voxels along z, 20 mm by 20 mm.
sim::Wall column(double depth_m, int n, const sim::Material& filling) {
  return block({even_edges(0.02, 2), even_edges(0.02, 2), even_edges(depth_m, n)}, filling);
}

}  // namespace

TEST_CASE("a composite wall conducts as its resistances in series (ISO 6946)") {
  // 12.7 mm gypsum board, 89 mm expanded polystyrene, 12.7 mm gypsum board, 0.13 m2K/W on either side.
  const double board_m = 0.0127, foam_m = 0.089;
  sim::Grid grid{even_edges(0.02, 2), even_edges(0.02, 2),
                 sim::graded_edges({0.0, board_m, board_m + foam_m, 2 * board_m + foam_m}, {}, {0.015, 0.0015, 1.25})};
  sim::Wall wall = block(grid, material("board", 0.16, 640.0, 1100.0));
  paint_box(wall, {0, 0, board_m}, {1, 1, board_m + foam_m}, material("foam", 0.0355, 20.0, 1470.0));
  const int room = add_film(wall, "room", sim::kelvin_from_celsius(20.0), 1.0 / 0.13);
  const int outside = add_film(wall, "outside", sim::kelvin_from_celsius(0.0), 1.0 / 0.13);
  expose(wall, sim::Side::room, room);
  expose(wall, sim::Side::far, outside);
  for (const double z_m : {0.0, board_m, board_m + foam_m, 2 * board_m + foam_m}) add_spot(wall, {0.01, 0.01, z_m});

  const sim::Reading reading = settled_reading(share(wall));
  const CompositeWall exact = composite_wall({0.13, board_m / 0.16, foam_m / 0.0355, board_m / 0.16, 0.13}, 20.0, 0.0);
  // Layer boundaries are exact in a finite-volume scheme with conductances in series; what is left is float rounding.
  CHECK(reading.surroundings[1].heat_w / 4e-4 == Approx(exact.flux_w_m2).epsilon(1e-4));
  for (int n = 0; n < 4; ++n) CHECK(celsius(reading, n) == Approx(exact.temperatures[n + 1]).margin(1e-3));
}

TEST_CASE("a slab cooled by a film follows its series (Incropera & DeWitt 5.5)") {
  const double half_m = 0.05;
  for (const double biot : {0.5, 1.0, 10.0}) {
    sim::Wall wall = column(half_m, 40, wood);
    const int gas = add_film(wall, "gas", sim::kelvin_from_celsius(20.0), biot * 0.13 / half_m);
    expose(wall, sim::Side::far, gas);
    const int middle = add_spot(wall, {0.01, 0.01, 0.0}), surface = add_spot(wall, {0.01, 0.01, half_m});
    sim::Bench bench = bench_at(share(wall), 100.0, 10.0);
    for (const double fourier : {0.2, 0.5, 1.0}) {
      INFO("Bi " << biot << ", Fo " << fourier);
      const sim::Reading reading = read_at(bench, fourier * half_m * half_m / diffusivity(wood));
      CHECK(celsius(reading, middle) == Approx(20.0 + 80.0 * slab_theta(biot, fourier, 0.0)).margin(tolerance_k));
      CHECK(celsius(reading, surface) == Approx(20.0 + 80.0 * slab_theta(biot, fourier, 1.0)).margin(tolerance_k));
    }
  }
}

TEST_CASE("a cube cooled by a film is the product of three slabs (Incropera & DeWitt 5.8)") {
  const double half_m = 0.05;
  const auto edges = even_edges(half_m, 24);
  sim::Wall wall = block({edges, edges, edges}, wood);
  const int gas = add_film(wall, "gas", sim::kelvin_from_celsius(20.0), 0.13 / half_m);
  for (const sim::Side side : {sim::Side::right, sim::Side::top, sim::Side::far}) expose(wall, side, gas);
  const int centre = add_spot(wall, {0, 0, 0}), corner = add_spot(wall, {half_m, half_m, half_m});
  const int face_z = add_spot(wall, {0, 0, half_m}), face_x = add_spot(wall, {half_m, 0, 0});
  sim::Bench bench = bench_at(share(wall), 100.0, 20.0);
  const sim::Reading reading = read_at(bench, 0.5 * half_m * half_m / diffusivity(wood));
  CHECK(celsius(reading, centre) == Approx(20.0 + 80.0 * 0.4610414382).margin(tolerance_k));
  CHECK(celsius(reading, face_z) == Approx(20.0 + 80.0 * 0.3010971796).margin(tolerance_k));
  CHECK(celsius(reading, face_x) == Approx(20.0 + 80.0 * 0.3010971796).margin(tolerance_k));
  CHECK(celsius(reading, corner) == Approx(20.0 + 80.0 * 0.1284222101).margin(tolerance_k));
}

TEST_CASE("a surface step spreads into a deep wall as erfc says (Carslaw & Jaeger 2.4)") {
  sim::Wall wall = column(0.24, 240, gypsum);
  const int hot = add_held(wall, "hot", sim::kelvin_from_celsius(100.0));
  expose(wall, sim::Side::room, hot);
  const int at_5 = add_spot(wall, {0.01, 0.01, 0.005}), at_12 = add_spot(wall, {0.01, 0.01, 0.0125});
  const int at_25 = add_spot(wall, {0.01, 0.01, 0.025});
  sim::Bench bench = bench_at(share(wall), 20.0, 2.0);
  const sim::Reading after_60 = read_at(bench, 60.0);
  CHECK(celsius(after_60, at_5) == Approx(50.91809846).margin(tolerance_k));
  CHECK(celsius(after_60, at_12) == Approx(22.43062576).margin(tolerance_k));
  const sim::Reading after_300 = read_at(bench, 300.0);
  CHECK(celsius(after_300, at_12) == Approx(46.63372865).margin(tolerance_k));
  CHECK(-after_300.surroundings[0].heat_w / 4e-4 == Approx(1236.077446).epsilon(0.005));
  CHECK(celsius(read_at(bench, 900.0), at_12) == Approx(66.09200976).margin(tolerance_k));
  CHECK(celsius(read_at(bench, 1800.0), at_25) == Approx(54.33562404).margin(tolerance_k));
}

TEST_CASE("a deep wall warms through a film as the closed form says (Carslaw & Jaeger 2.7)") {
  sim::Wall wall = column(0.2, 200, wood);
  const int gas = add_film(wall, "gas", sim::kelvin_from_celsius(100.0), 10.0);
  expose(wall, sim::Side::room, gas);
  const int surface = add_spot(wall, {0.01, 0.01, 0.0}), at_10 = add_spot(wall, {0.01, 0.01, 0.01});
  const int at_20 = add_spot(wall, {0.01, 0.01, 0.02});
  sim::Bench bench = bench_at(share(wall), 20.0, 2.0);
  CHECK(celsius(read_at(bench, 60.0), surface) == Approx(37.7846123).margin(tolerance_k));
  const sim::Reading after_600 = read_at(bench, 600.0);
  CHECK(celsius(after_600, surface) == Approx(59.72457463).margin(tolerance_k));
  CHECK(celsius(after_600, at_10) == Approx(35.34739799).margin(tolerance_k));
  CHECK(celsius(read_at(bench, 1800.0), at_20) == Approx(37.51853238).margin(tolerance_k));
  CHECK(celsius(read_at(bench, 3600.0), at_20) == Approx(49.25930171).margin(tolerance_k));
}

TEST_CASE("a constant flux warms a deep wall as the closed form says (Carslaw & Jaeger 2.9)") {
  // A flux is made of a film of 0.02 W/m2K to surroundings 5000 K warmer: 100 W/m2, less 0.02 % per kelvin of rise,
  // which is 0.2 % at the hottest point here.
  sim::Wall wall = column(0.2, 200, wood);
  const int source = add_film(wall, "source", sim::datum_k + 5000.0, 0.02);
  expose(wall, sim::Side::room, source);
  const int surface = add_spot(wall, {0.01, 0.01, 0.0}), at_10 = add_spot(wall, {0.01, 0.01, 0.01});
  sim::Bench bench = bench_at(share(wall), 20.0, 2.0);
  const sim::Reading after_600 = read_at(bench, 600.0);
  CHECK(celsius(after_600, surface) - 20.0 == Approx(8.570655026).epsilon(0.005));
  CHECK(celsius(after_600, at_10) - 20.0 == Approx(2.986640609).epsilon(0.005));
  CHECK(celsius(read_at(bench, 3600.0), at_10) - 20.0 == Approx(14.19225602).epsilon(0.005));
}
