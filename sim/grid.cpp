// Lays out graded edges along one axis.
//
// A size function h(x) says how large a voxel may be at x: `fine` inside fine intervals, the width of a thin gap
// between two planes, and from there growing linearly with distance, never above `coarse`. Cells that each hold one
// unit of integral of dx/h then grow by exp(slope) from one to the next, so slope = ln(growth) keeps the growth rule.
// Every gap between planes gets a whole number of cells; where that rounding breaks the rule across a plane, the
// smaller cell becomes one more limit on h and the layout is made again.

#include "sim/grid.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

/// Voxels may be at most `size_m` between from_m and to_m.
struct SizeLimit {
  double from_m;
  double to_m;
  double size_m;
};

class SizeFunction {
 public:
  SizeFunction(const GridRules& rules, std::vector<SizeLimit> limits)
      : coarse_m_(rules.coarse_m), slope_(std::log(rules.growth)), limits_(std::move(limits)) {}

  double at(double x_m) const {
    double size_m = coarse_m_;
    for (const SizeLimit& limit : limits_) {
      const double away_m = std::max({limit.from_m - x_m, x_m - limit.to_m, 0.0});
      size_m = std::min(size_m, limit.size_m + slope_ * away_m);
    }
    return size_m;
  }
  void add(const SizeLimit& limit) { limits_.push_back(limit); }

 private:
  double coarse_m_;
  double slope_;
  std::vector<SizeLimit> limits_;
};

std::vector<double> merged(std::vector<double> planes_m) {
  std::sort(planes_m.begin(), planes_m.end());
  std::vector<double> kept;
  for (const double plane_m : planes_m)
    if (kept.empty() || plane_m - kept.back() > limits::plane_merge_m) kept.push_back(plane_m);
  return kept;
}

/// Appends the inner edges and the end of the gap [from_m, to_m].
void fill_gap(double from_m, double to_m, const SizeFunction& size, std::vector<double>& edges_m) {
  constexpr int samples = 400;
  const double dx_m = (to_m - from_m) / samples;
  std::vector<double> cells(samples + 1, 0.0);  // integral of dx/h from from_m
  double smallest_m = size.at(from_m), largest_m = smallest_m;
  for (int s = 0; s < samples; ++s) {
    const double h_m = size.at(from_m + (s + 0.5) * dx_m);
    smallest_m = std::min(smallest_m, h_m);
    largest_m = std::max(largest_m, h_m);
    cells[static_cast<std::size_t>(s) + 1] = cells[static_cast<std::size_t>(s)] + dx_m / h_m;
  }
  const int count = std::max(1, static_cast<int>(std::ceil(cells.back() - 1e-6)));
  const bool uniform = largest_m - smallest_m < 1e-12;
  std::size_t s = 0;
  for (int n = 1; n < count; ++n) {
    const double share = static_cast<double>(n) / count;
    if (uniform) {
      edges_m.push_back(from_m + share * (to_m - from_m));
      continue;
    }
    const double wanted = share * cells.back();
    while (cells[s + 1] < wanted) ++s;
    edges_m.push_back(from_m + dx_m * (static_cast<double>(s) + (wanted - cells[s]) / (cells[s + 1] - cells[s])));
  }
  edges_m.push_back(to_m);
}

/// Adds a limit wherever a voxel is too large beside its neighbour; false when there was nothing to add.
bool tighten(const std::vector<double>& edges_m, const GridRules& rules, SizeFunction& size) {
  bool added = false;
  for (std::size_t i = 0; i + 2 < edges_m.size(); ++i) {
    const double left_m = edges_m[i + 1] - edges_m[i], right_m = edges_m[i + 2] - edges_m[i + 1];
    const double allowed = rules.growth * limits::growth_slack;
    if (right_m > allowed * left_m) {
      size.add({edges_m[i], edges_m[i + 1], left_m});
      added = true;
    } else if (left_m > allowed * right_m) {
      size.add({edges_m[i + 1], edges_m[i + 2], right_m});
      added = true;
    }
  }
  return added;
}

}  // namespace

int Grid::find(Axis axis, double c_m) const {
  const std::vector<double>& edges = edges_m(axis);
  const auto above = std::upper_bound(edges.begin(), edges.end(), c_m);
  const int cell = static_cast<int>(above - edges.begin()) - 1;
  return std::clamp(cell, 0, static_cast<int>(edges.size()) - 2);
}

std::vector<double> graded_edges(std::vector<double> planes_m, const std::vector<Interval>& fine,
                                 const GridRules& rules) {
  const std::vector<double> planes = merged(std::move(planes_m));
  assert(planes.size() >= 2 && rules.growth > 1.0);
  std::vector<SizeLimit> size_limits;
  for (const Interval& interval : fine) size_limits.push_back({interval.from_m, interval.to_m, rules.fine_m});
  for (std::size_t p = 0; p + 1 < planes.size(); ++p)
    if (planes[p + 1] - planes[p] < rules.coarse_m)
      size_limits.push_back({planes[p], planes[p + 1], planes[p + 1] - planes[p]});
  SizeFunction size(rules, std::move(size_limits));

  std::vector<double> edges_m;
  constexpr int most_rounds = 24;  // each only shrinks voxels; the rule is met after a few, or two planes forbid it
  for (int round = 0; round < most_rounds; ++round) {
    edges_m.assign(1, planes.front());
    for (std::size_t p = 0; p + 1 < planes.size(); ++p) fill_gap(planes[p], planes[p + 1], size, edges_m);
    if (!tighten(edges_m, rules, size)) break;
  }
  return edges_m;
}

}  // namespace warmbay::sim
