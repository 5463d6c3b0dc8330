#pragma once
// Where a scene's grid must have planes, and where it must be fine.

#include <array>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// Along one axis, m.
struct GridLines {
  std::vector<double> planes_m;
  std::vector<sim::Interval> fine;
};

/// By axis. Planes: the wall's ends, layers, studs, boxes, the outsides of cables, the corners and ends of routes.
/// Fine: across every leg of a cable but not along it (a route's length needs no detail), and in boxes marked fine, but
/// not along axes which they span from end to end, nor along a cable that runs through them (a channel stays coarse
/// along its length).
[[nodiscard]] std::array<GridLines, 3> grid_lines(const Scene& scene, const DataFiles& data);

/// About how many edges graded_edges will lay along an axis; rather too many than too few. Costs nothing.
[[nodiscard]] double expected_edges(const GridLines& lines, const sim::GridRules& rules);

[[nodiscard]] sim::Grid lay_grid(const std::array<GridLines, 3>& lines, const sim::GridRules& rules);

}  // namespace warmbay::scenes
