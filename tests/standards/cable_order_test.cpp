// Observed order of accuracy of a layered wall with a cable in it: 2 in space and 2 in time, asserted from both sides.
//
// In space the claim is about finite volumes and copper on a sheath whose voxels are the same body on every grid. A
// round outline never is: which voxels count as sheath hangs on the grid, and a body of good conductivity with corners
// in foam has a field that no even refinement resolves to second order (its gradient grows as r^(-1/3) towards such an
// edge). So the order is measured on a slice through the middle of a broad flat cable, whose sheath is a layer of the
// wall, with the copper carrying heat to a cold end; the last test shows what the outline costs an ordinary cable.

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "sim/cross_section.hpp"
#include "sim/limits.hpp"
#include "tests/standards/cable_wall.hpp"
#include "tests/support/order_fit.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double slice_m = 0.012, thickness_m = 0.004, cable_from_m = 0.037;

/// The cable of the slice: 20 mm wide, so that the slice sees only the straight part of its outline.
sim::CableType broad_type() {
  RoundCable cable;
  cable.conductor_m2 = 4e-6;
  cable.resistance_20_ohm_m = 4.4e-3;
  cable.core_m = 3e-3;
  cable.sheath_m = thickness_m;
  cable.plastic = material("pvc", 0.17, 1390.0, 900.0);
  sim::CableType type = round_type(cable);
  type.width_m = 0.020;
  // As much earth conductor as makes the sheath conduct alike along and across the cable: a surface that a cable ends
  // in takes its conductivity across for its half voxel, which would leave an error of first order at the cold end.
  const double wanted_w_m_k = sim::limits::sheath_spreading_w_mk * slice_m * thickness_m;
  const double without_w_m_k = sim::cross_section(type).sheath_axial_w_m_k;
  type.earth_m2 = (wanted_w_m_k - without_w_m_k) / (sim::copper_conductivity_w_mk - 0.17);
  return type;
}

/// Adds n even edges from the last one up to to_m.
void extend(std::vector<double>& edges, double to_m, int n) {
  const double from_m = edges.back();
  for (int i = 1; i <= n; ++i) edges.push_back(from_m + (to_m - from_m) * i / n);
}

/// Board, foam, the cable, foam; films on both sides, the end at x = 0 held at 24 °C. Nothing varies in y. `cells`:
/// across the cable; everything else is refined with it.
std::shared_ptr<const sim::Wall> slice(int cells) {
  std::vector<double> z{0.0};
  extend(z, 0.0127, 2 * cells);
  extend(z, cable_from_m, 3 * cells);
  extend(z, cable_from_m + thickness_m, cells);
  extend(z, 0.0727, 4 * cells);
  sim::Wall wall =
      block({even_edges(0.3, 20 * cells), even_edges(slice_m, 2), z}, material("foam", 0.036, 25.0, 1450.0));
  paint_box(wall, {0, 0, 0}, {1, 1, 0.0127}, material("board", 0.16, 640.0, 1100.0));
  const double around_k = sim::kelvin_from_celsius(24.0);
  expose(wall, sim::Side::room, add_film(wall, "room", around_k, 7.69));
  expose(wall, sim::Side::far, add_film(wall, "far", around_k, 4.0));
  expose(wall, sim::Side::left, add_held(wall, "end", around_k));
  const double z_m = cable_from_m + 0.5 * thickness_m;
  add_cable(wall, "feed", broad_type(), {{0.0, 0.5 * slice_m, z_m}, {0.3, 0.5 * slice_m, z_m}});
  for (const double along_m : {0.24, 0.06}) add_cable_spot(wall, 0, along_m, true);
  for (const sim::Vec3& at_m : {sim::Vec3{0.24, 0.006, 0.0727}, {0.24, 0.006, 0.0}, {0.06, 0.006, 0.0127}})
    add_spot(wall, at_m);
  return share(std::move(wall));
}

const std::array<std::string, 5> spots{"conductor, 240 mm from the end", "conductor, 60 mm from the end", "far face",
                                       "room face", "behind the board, near the end"};

/// how_many: of `spots`, from the first on.
void check_second_order(const std::array<sim::Reading, 3>& readings, int how_many, const std::string& what) {
  std::string table = what + "\n";
  for (int n = 0; n < how_many; ++n) {
    const double coarse = celsius(readings[0], n), middle = celsius(readings[1], n), fine = celsius(readings[2], n);
    const double order = order_from_three(coarse, middle, fine, 2.0);
    table += fmt::format("{:32} {:9.4f} {:9.4f} {:9.4f} °C, order {:.2f}\n", spots[static_cast<std::size_t>(n)], coarse,
                         middle, fine, order);
    INFO(table);
    CHECK(order > 1.7);
    CHECK(order < 2.3);
  }
  WARN(table);
}

}  // namespace

TEST_CASE("a layered wall and its cable settle with the square of the voxel's edge, conductor and far face") {
  std::array<sim::Reading, 3> readings;
  for (int level = 0; level < 3; ++level) readings[level] = settled_reading(slice(3 << level), 12.0);
  check_second_order(readings, 5, "settled at 12 A; 3, 6, 12 voxels across the cable");
}

TEST_CASE("a layered wall and its cable warm with the square of the voxel's edge, conductor and far face") {
  std::array<sim::Reading, 3> readings;
  for (int level = 0; level < 3; ++level) {
    const auto wall = slice(3 << level);
    sim::Bench bench = bench_at(wall, 24.0, 2.0);
    bench.set_conditions(with_current(*wall, 30.0));
    readings[level] = read_at(bench, 1200.0);
  }
  check_second_order(readings, 5, "after 1200 s at 30 A; 3, 6, 12 voxels across the cable");
}

TEST_CASE("a layered wall and its cable warm with the square of the step, conductor and far face") {
  const auto wall = slice(3);
  std::array<sim::Reading, 3> readings;
  for (int level = 0; level < 3; ++level) {
    sim::BenchOptions options;
    options.threads = 1;
    options.start_k = sim::kelvin_from_celsius(24.0);
    options.step_s = options.longest_step_s = 4.0 / (1 << level);
    options.mends = false;  // the split step's own order
    sim::Bench bench(wall, options);
    bench.set_conditions(with_current(*wall, 60.0));
    readings[level] = read_at(bench, 320.0);
  }
  // The room's side errs by less than 1e-4 K at any of these steps: float rounding, no order to be seen there.
  check_second_order(readings, 3, "after 320 s at 60 A; steps of 4, 2, 1 s");
}

TEST_CASE("what the voxels of an ordinary flat cable's round ends cost its conductor stays below 2 % of its rise",
          "[slow]") {
  // No order is to be seen here (see above): the error jumps with the voxels that happen to count as sheath. The grid
  // has planes on the outline's box, as the painter lays them.
  const auto rise_k = [](double fine_m) {
    constexpr double y_m = 0.1, z_m = 0.0427, half_width_m = 0.005, half_thickness_m = 0.00225;
    const sim::GridRules rules{8.0 * fine_m, fine_m, 1.25};
    const sim::Interval y{y_m - half_width_m, y_m + half_width_m}, z{z_m - half_thickness_m, z_m + half_thickness_m};
    sim::Grid grid;
    grid.x_m = even_edges(0.1, 1);
    grid.y_m = sim::graded_edges({0.0, y.from_m, y.to_m, 0.2}, {y}, rules);
    grid.z_m = sim::graded_edges({0.0, 0.0127, z.from_m, z.to_m, 0.0727}, {z}, rules);
    sim::Wall wall = block(std::move(grid), material("foam", 0.036, 25.0, 1450.0));
    paint_box(wall, {0, 0, 0}, {1, 1, 0.0127}, material("board", 0.16, 640.0, 1100.0));
    const double around_k = sim::kelvin_from_celsius(24.0);
    for (const sim::Side side : {sim::Side::room, sim::Side::far})
      expose(wall, side, add_film(wall, "around", around_k, 7.69));
    sim::CableType type = cable_wall(false, 0.02, 0.003).cables[0].type;
    add_cable(wall, "feed", type, {{0.0, y_m, z_m}, {0.1, y_m, z_m}});
    return settled_reading(share(std::move(wall)), 15.0).cables[0].hottest_k - around_k;
  };
  const double finest_k = rise_k(0.1e-3);
  std::string table = fmt::format("0.1 mm: {:.3f} K\n", finest_k);
  for (const double fine_m : {2e-3, 1.5e-3, 1e-3, 0.75e-3, 0.5e-3, 0.25e-3}) {
    const double here_k = rise_k(fine_m);
    table += fmt::format("{:.2f} mm: {:.3f} K ({:+.2f} %)\n", 1e3 * fine_m, here_k, 100.0 * (here_k / finest_k - 1.0));
    INFO(table);
    CHECK(here_k == Approx(finest_k).epsilon(0.02));
  }
  WARN(table);
}
