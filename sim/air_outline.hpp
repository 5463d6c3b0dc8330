#pragma once
// How large the sides of a space of air are, where their voxels only stand for a slanting or round surface.
//
// A staircase of voxels is up to 27 % longer than the circle, 41 % longer than the slope that it stands for, on however
// fine a grid. So the outline of every slab is smoothed: where a step one voxel high (or wide) joins two runs of faces,
// the line goes straight from the middle of a run to the middle of the step. Corners between longer runs stay, so that
// boxes keep their size. Limits: an outline whose radius is less than some five voxels is not known better than to
// several percent; a real ledge one voxel high counts as a slope, at most one voxel too short.

#include <cstddef>
#include <vector>

#include "sim/grid.hpp"

namespace warmbay::sim {

class MaterialMap;

/// A face of a voxel of air towards a solid one that is no cable.
struct SideFace {
  std::size_t air;  // padded index
  Axis normal;
  int sign;            // the solid voxel lies at air + sign along normal
  double share = 1.0;  // of the face's area that the surface behind it has
};

/// Whether a voxel's neighbour is such a side.
[[nodiscard]] bool is_side(const MaterialMap& wall, std::size_t air, Axis normal, int sign);

/// If the face is the first of a run of faces in line, adds all of the run, with their shares. along: across the
/// section.
void add_run_of_sides(const MaterialMap& wall, Axis along, const SideFace& first, std::vector<SideFace>& sides);

}  // namespace warmbay::sim
