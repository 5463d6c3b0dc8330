#pragma once
// The rectilinear, graded grid: three rising lists of edges. Voxel (i, j, k) lies between edges i and i+1 in x, and so
// on.

#include <array>
#include <cstddef>
#include <vector>

#include "sim/units.hpp"

namespace warmbay::sim {

struct Grid {
  std::vector<double> x_m, y_m, z_m;  // edges, strictly rising; n + 1 of them

  [[nodiscard]] const std::vector<double>& edges_m(Axis axis) const {
    return axis == Axis::x ? x_m : axis == Axis::y ? y_m : z_m;
  }
  [[nodiscard]] int nx() const { return static_cast<int>(x_m.size()) - 1; }
  [[nodiscard]] int ny() const { return static_cast<int>(y_m.size()) - 1; }
  [[nodiscard]] int nz() const { return static_cast<int>(z_m.size()) - 1; }
  [[nodiscard]] std::size_t count() const {
    return static_cast<std::size_t>(nx()) * static_cast<std::size_t>(ny()) * static_cast<std::size_t>(nz());
  }
  /// Index of voxel (i, j, k) in an array of count() values, x fastest.
  [[nodiscard]] std::size_t at(int i, int j, int k) const {
    return static_cast<std::size_t>(i) +
           static_cast<std::size_t>(nx()) *
               (static_cast<std::size_t>(j) + static_cast<std::size_t>(ny()) * static_cast<std::size_t>(k));
  }
  /// Width of the voxel layer n along an axis, m.
  [[nodiscard]] double width_m(Axis axis, int n) const {
    const std::vector<double>& edges = edges_m(axis);
    return edges[static_cast<std::size_t>(n) + 1] - edges[static_cast<std::size_t>(n)];
  }
  /// Area of the faces of voxel {i, j, k} that look along an axis, m2.
  [[nodiscard]] double face_m2(Axis normal, const std::array<int, 3>& ijk) const {
    const int a = (index_of(normal) + 1) % 3, b = (index_of(normal) + 2) % 3;
    return width_m(static_cast<Axis>(a), ijk[a]) * width_m(static_cast<Axis>(b), ijk[b]);
  }
  /// The voxel layer that holds coordinate c_m along an axis (clamped to the grid).
  [[nodiscard]] int find(Axis axis, double c_m) const;
};

struct GridRules {
  double coarse_m = 0.015;  // largest voxel edge
  double fine_m = 0.0015;   // largest voxel edge inside fine intervals
  double growth = 1.25;     // largest ratio of neighbouring edges
  friend bool operator==(const GridRules&, const GridRules&) = default;
};

struct Interval {
  double from_m;
  double to_m;
  friend bool operator==(const Interval&, const Interval&) = default;
};

/// Edges along one axis, m. planes_m: coordinates that must be edges (at least the two ends; any order; those closer
/// than limits.hpp's plane_merge_m are merged). fine: where edges are at most rules.fine_m. The edges obey `rules`
/// everywhere, except that two planes closer than the growth rule allows are kept (the planes come first).
[[nodiscard]] std::vector<double> graded_edges(std::vector<double> planes_m, const std::vector<Interval>& fine,
                                               const GridRules& rules);

}  // namespace warmbay::sim
