// Planes and fine intervals of a scene; sim/grid lays the edges.

#include "scenes/paint/grid_lines.hpp"

#include <algorithm>
#include <cmath>

#include "scenes/paint/cable_fit.hpp"
#include "scenes/paint/regions.hpp"
#include "sim/limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double slack_m = sim::limits::plane_merge_m;

void add_plane(GridLines& lines, double plane_m, double end_m) {
  if (plane_m > slack_m && plane_m < end_m - slack_m) lines.planes_m.push_back(plane_m);
}

void add_cable(std::array<GridLines, 3>& lines, const sim::Cable& cable, const sim::Vec3& size_m) {
  for (int leg = 0; leg < static_cast<int>(cable.flat.size()); ++leg) {
    const auto box = sim::leg_box(cable, leg);
    const auto along = static_cast<std::size_t>(box.along);
    add_plane(lines[along], cable.route_m[static_cast<std::size_t>(leg)][along], size_m[along]);
    add_plane(lines[along], cable.route_m[static_cast<std::size_t>(leg) + 1][along], size_m[along]);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      add_plane(lines[axis], box.from_m[axis], size_m[axis]);
      add_plane(lines[axis], box.to_m[axis], size_m[axis]);
      if (static_cast<sim::Axis>(axis) == box.along) continue;
      lines[axis].fine.push_back({std::max(box.from_m[axis], 0.0), std::min(box.to_m[axis], size_m[axis])});
    }
  }
}

bool spans(const Box& box, std::size_t axis, double end_m) {
  return box.from_m[axis] <= slack_m && box.to_m[axis] >= end_m - slack_m;
}

/// A leg of the cable runs through the box from end to end along an axis, as in a channel.
bool runs_through(const sim::Cable& cable, const Box& box, std::size_t axis) {
  for (int leg = 0; leg < static_cast<int>(cable.flat.size()); ++leg) {
    const auto sheath = sim::leg_box(cable, leg);
    if (static_cast<std::size_t>(sheath.along) != axis) continue;
    bool through = sheath.from_m[axis] <= box.from_m[axis] + slack_m && sheath.to_m[axis] >= box.to_m[axis] - slack_m;
    for (std::size_t across = 0; across < 3; ++across) {
      if (across == axis) continue;
      through = through && sheath.from_m[across] < box.to_m[across] && sheath.to_m[across] > box.from_m[across];
    }
    if (through) return true;
  }
  return false;
}

/// Where a box that is marked fine needs no fine voxels: along what it spans, and along the cable it is a channel for.
bool coarse_along(const Box& box, std::size_t axis, double end_m, const std::vector<sim::Cable>& cables) {
  const auto through = [&](const sim::Cable& cable) { return runs_through(cable, box, axis); };
  return spans(box, axis, end_m) || std::any_of(cables.begin(), cables.end(), through);
}

}  // namespace

std::array<GridLines, 3> grid_lines(const Scene& scene, const DataFiles& data) {
  const auto size_m = wall_size_m(scene.wall);
  std::array<GridLines, 3> lines;
  std::vector<sim::Cable> cables;
  for (const auto& run : scene.cables) cables.push_back(fit_cable(scene, data, run));
  for (std::size_t axis = 0; axis < 3; ++axis) {
    lines[axis].planes_m = boundaries_m(scene, static_cast<sim::Axis>(axis));
    for (const auto& box : scene.boxes) {
      if (!box.fine || coarse_along(box, axis, size_m[axis], cables)) continue;
      lines[axis].fine.push_back({box.from_m[axis], box.to_m[axis]});
    }
  }
  for (const auto& cable : cables) add_cable(lines, cable, size_m);
  for (auto& axis : lines) {
    std::sort(axis.planes_m.begin(), axis.planes_m.end());
    axis.planes_m.erase(
        std::unique(axis.planes_m.begin(), axis.planes_m.end(), [](double a, double b) { return b - a <= slack_m; }),
        axis.planes_m.end());
  }
  return lines;
}

double expected_edges(const GridLines& lines, const sim::GridRules& rules) {
  const double length_m = lines.planes_m.back() - lines.planes_m.front();
  double smallest_m = rules.coarse_m;
  double changes = 2.0 * static_cast<double>(lines.fine.size());
  for (std::size_t i = 0; i + 1 < lines.planes_m.size(); ++i) {
    const double gap_m = lines.planes_m[i + 1] - lines.planes_m[i];
    if (gap_m < rules.coarse_m) changes += 2.0;
    smallest_m = std::min(smallest_m, gap_m);
  }
  if (!lines.fine.empty()) smallest_m = std::min(smallest_m, rules.fine_m);
  double fine_m = 0.0;
  for (const auto& interval : lines.fine) fine_m += interval.to_m - interval.from_m;
  const double graded = changes * std::log(rules.coarse_m / smallest_m) / std::log(rules.growth);
  const double most = length_m / smallest_m + static_cast<double>(lines.planes_m.size());
  const double planned = length_m / rules.coarse_m + std::min(fine_m, length_m) / rules.fine_m + graded;
  return std::min(most, planned + static_cast<double>(lines.planes_m.size()));
}

sim::Grid lay_grid(const std::array<GridLines, 3>& lines, const sim::GridRules& rules) {
  sim::Grid grid;
  grid.x_m = sim::graded_edges(lines[0].planes_m, lines[0].fine, rules);
  grid.y_m = sim::graded_edges(lines[1].planes_m, lines[1].fine, rules);
  grid.z_m = sim::graded_edges(lines[2].planes_m, lines[2].fine, rules);
  return grid;
}

}  // namespace warmbay::scenes
