// The graded grid keeps its promises: planes are edges, edges obey the size rules, and the layout depends on nothing
// else.

#include "sim/grid.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include "sim/limits.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay::sim;

namespace {

bool has_edge(const std::vector<double>& edges_m, double plane_m) {
  return std::any_of(edges_m.begin(), edges_m.end(),
                     [plane_m](double edge_m) { return std::abs(edge_m - plane_m) <= limits::plane_merge_m; });
}

double largest_edge_m(const std::vector<double>& edges_m, double from_m, double to_m) {
  double largest = 0.0;
  for (std::size_t i = 0; i + 1 < edges_m.size(); ++i) {
    if (edges_m[i + 1] > from_m + 1e-9 && edges_m[i] < to_m - 1e-9) {
      largest = std::max(largest, edges_m[i + 1] - edges_m[i]);
    }
  }
  return largest;
}

double largest_ratio(const std::vector<double>& edges_m) {
  double largest = 1.0;
  for (std::size_t i = 0; i + 2 < edges_m.size(); ++i) {
    const double left = edges_m[i + 1] - edges_m[i], right = edges_m[i + 2] - edges_m[i + 1];
    largest = std::max({largest, left / right, right / left});
  }
  return largest;
}

}  // namespace

TEST_CASE("a grid without fine intervals is even and no coarser than asked") {
  const auto edges_m = graded_edges({0.0, 0.1}, {}, {0.015, 0.0015, 1.25});
  REQUIRE(edges_m.size() == 8);  // seven voxels of 14.3 mm: the fewest that are not above 15 mm
  CHECK(edges_m.front() == 0.0);
  CHECK(edges_m.back() == 0.1);
  for (std::size_t i = 0; i + 1 < edges_m.size(); ++i) CHECK(edges_m[i + 1] - edges_m[i] == Approx(0.1 / 7));
}

TEST_CASE("every plane is an edge, and edges rise strictly, whatever the planes") {
  std::mt19937 random(7);  // NOLINT: the same walls every time
  std::uniform_real_distribution<double> anywhere(0.0, 0.9);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<double> planes_m{0.0, 0.9};
    for (int n = 0; n < trial % 12; ++n) planes_m.push_back(anywhere(random));
    std::vector<Interval> fine;
    for (int n = 0; n < trial % 4; ++n) {
      const double from_m = 0.9 * anywhere(random);
      fine.push_back({from_m, from_m + 0.02});
      planes_m.insert(planes_m.end(), {from_m, from_m + 0.02});
    }
    const GridRules rules{0.015, 0.0015, 1.25};
    const auto edges_m = graded_edges(planes_m, fine, rules);
    for (std::size_t i = 0; i + 1 < edges_m.size(); ++i) REQUIRE(edges_m[i] < edges_m[i + 1]);
    for (const double plane_m : planes_m) REQUIRE(has_edge(edges_m, plane_m));
    REQUIRE(largest_edge_m(edges_m, 0.0, 0.9) <= rules.coarse_m * (1 + 1e-9));
    for (const Interval& interval : fine) {
      REQUIRE(largest_edge_m(edges_m, interval.from_m, interval.to_m) <= rules.fine_m * (1 + 1e-9));
    }
  }
}

TEST_CASE("neighbouring edges obey the growth rule where the planes leave room for it") {
  for (const double growth : {1.1, 1.25, 1.5}) {
    const GridRules rules{0.015, 0.0015, growth};
    const auto edges_m = graded_edges({0.0, 0.0127, 0.06, 0.075, 0.1017, 0.1144, 0.6}, {{0.06, 0.075}}, rules);
    INFO("growth " << growth);
    CHECK(largest_ratio(edges_m) <= growth * limits::growth_slack + 1e-9);
  }
}

TEST_CASE("two planes closer than the growth rule allows are both kept") {
  const auto edges_m = graded_edges({0.0, 0.1, 0.1002, 0.2}, {}, {0.015, 0.0015, 1.25});
  CHECK(has_edge(edges_m, 0.1));
  CHECK(has_edge(edges_m, 0.1002));
  CHECK(largest_edge_m(edges_m, 0.1, 0.1002) <= 0.0002 + 1e-12);
}

TEST_CASE("planes that differ by rounding alone are one edge") {
  const auto edges_m = graded_edges({0.0, 0.1, 0.1 + 1e-9, 0.1 - 1e-9, 0.2}, {}, {0.05, 0.0015, 1.25});
  REQUIRE(edges_m.size() == 5);
  CHECK(edges_m[2] == Approx(0.1).margin(limits::plane_merge_m));
}

TEST_CASE("the same planes in another order give the same grid, bit for bit") {
  const GridRules rules;
  const std::vector<Interval> fine{{0.2, 0.22}, {0.5, 0.51}};
  const auto one = graded_edges({0.0, 0.9, 0.2, 0.22, 0.5, 0.51}, fine, rules);
  const auto other = graded_edges({0.51, 0.5, 0.9, 0.22, 0.0, 0.2}, {fine[1], fine[0]}, rules);
  CHECK(one == other);
}

TEST_CASE("find gives the voxel that holds a coordinate and clamps outside the wall") {
  const Grid grid{{0.0, 0.1, 0.3}, {0.0, 1.0}, {0.0, 0.5, 1.0, 2.0}};
  CHECK(grid.count() == 6);
  CHECK(grid.find(Axis::x, 0.05) == 0);
  CHECK(grid.find(Axis::x, 0.2) == 1);
  CHECK(grid.find(Axis::x, -1.0) == 0);
  CHECK(grid.find(Axis::x, 9.0) == 1);
  CHECK(grid.find(Axis::z, 1.5) == 2);
  CHECK(grid.at(1, 0, 2) == 5);
}
