#pragma once
// The temperature and material at a point of a snapshot, on the processor: what the pointer asks for, and where labels
// go.

#include <optional>

#include "sim/snapshot.hpp"

namespace warmbay::render {

/// Temperature at a point, K: trilinear between voxel centres, as the picture shows it. Voxels of surroundings do not
/// count. Nothing where there is no wall around.
[[nodiscard]] std::optional<double> temperature_at(const sim::Snapshot& snapshot, const sim::Vec3& point_m);

/// The index of the voxel that holds a point of the grid (clamped to it).
[[nodiscard]] std::size_t index_at(const sim::Wall& wall, const sim::Vec3& point_m);

/// Where c_m lies between voxel centres along an axis: `lower` and the share of the next one (0 to 1). Beyond the outer
/// centres: the outer voxel alone.
struct Between {
  int lower = 0;
  double share = 0.0;
};
[[nodiscard]] Between between_centres(const std::vector<double>& edges_m, double c_m);

}  // namespace warmbay::render
