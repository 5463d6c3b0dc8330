// Observed order of accuracy in space: 2, asserted from both sides.

#include <cmath>
#include <vector>

#include "tests/support/closed_forms.hpp"
#include "tests/support/order_fit.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const sim::Material wood = material("wood", 0.13, 500.0, 1600.0);
constexpr double half_m = 0.05, diffusivity_m2_s = 0.13 / (500.0 * 1600.0);

void check_second_order(const std::vector<double>& sizes, const std::vector<double>& errors) {
  CAPTURE(errors[0], errors[1], errors[2]);
  const double order = order_from_errors(sizes, errors);
  CHECK(order > 1.7);
  CHECK(order < 2.3);
}

}  // namespace

TEST_CASE("a cube cooled by a film converges to its series with the square of the voxel's edge") {
  const std::vector<int> counts{5, 10, 20};
  std::vector<double> sizes, centre, face, corner;
  for (const int n : counts) {
    const auto edges = even_edges(half_m, n);
    sim::Wall wall = block({edges, edges, edges}, wood);
    add_film(wall, "gas", sim::kelvin_from_celsius(20.0), 0.13 / half_m);
    for (const auto side : {sim::Side::right, sim::Side::top, sim::Side::far}) expose(wall, side, 0);
    // Points that are voxel corners or surfaces on every grid.
    add_spot(wall, {0.02, 0.02, 0.02});
    add_spot(wall, {0.02, half_m, 0.02});
    add_spot(wall, {half_m, half_m, half_m});
    sim::Bench bench = bench_at(share(std::move(wall)), 100.0, 8.0);
    const sim::Reading reading = read_at(bench, 0.5 * half_m * half_m / diffusivity_m2_s);
    const double inside = slab_theta(1.0, 0.5, 0.4), surface = slab_theta(1.0, 0.5, 1.0);
    sizes.push_back(half_m / n);
    centre.push_back(celsius(reading, 0) - (20.0 + 80.0 * std::pow(inside, 3)));
    face.push_back(celsius(reading, 1) - (20.0 + 80.0 * inside * inside * surface));
    corner.push_back(celsius(reading, 2) - (20.0 + 80.0 * std::pow(surface, 3)));
  }
  check_second_order(sizes, centre);
  check_second_order(sizes, face);
  check_second_order(sizes, corner);
}

TEST_CASE("a layered slab in time converges with the square of the voxel's edge") {
  // 20 mm of wood on 40 mm of something lighter, films of unlike strength on both sides: no closed form, so the order
  // comes from three refinements alone.
  const auto run = [](int per_layer) {
    std::vector<double> z = even_edges(0.02, per_layer);
    for (int n = 1; n <= per_layer; ++n) z.push_back(0.02 + 0.04 * n / per_layer);
    sim::Wall wall = block({even_edges(0.02, 1), even_edges(0.02, 1), z}, wood);
    paint_box(wall, {0, 0, 0.02}, {1, 1, 0.06}, material("light", 0.04, 60.0, 1030.0));
    expose(wall, sim::Side::room, add_film(wall, "room", sim::kelvin_from_celsius(90.0), 8.0));
    expose(wall, sim::Side::far, add_film(wall, "far", sim::kelvin_from_celsius(10.0), 4.0));
    for (const double z_m : {0.0, 0.02, 0.04, 0.06}) add_spot(wall, {0.01, 0.01, z_m});
    sim::Bench bench = bench_at(share(std::move(wall)), 20.0, 2.0);
    return read_at(bench, 1800.0);
  };
  const sim::Reading coarse = run(4), middle = run(8), fine = run(16);
  for (int n = 0; n < 4; ++n) {
    INFO("spot " << n << ": " << celsius(coarse, n) << ", " << celsius(middle, n) << ", " << celsius(fine, n));
    const double order = order_from_three(celsius(coarse, n), celsius(middle, n), celsius(fine, n), 2.0);
    CHECK(order > 1.7);
    CHECK(order < 2.3);
  }
}
