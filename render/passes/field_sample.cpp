// Sampling a snapshot on the processor, the way the shader does it.

#include "render/passes/field_sample.hpp"

#include <algorithm>
#include <array>

namespace warmbay::render {

Between between_centres(const std::vector<double>& edges_m, double c_m) {
  const int count = static_cast<int>(edges_m.size()) - 1;
  const auto centre = [&](int i) {
    return 0.5 * (edges_m[static_cast<std::size_t>(i)] + edges_m[static_cast<std::size_t>(i) + 1]);
  };
  const auto above = std::upper_bound(edges_m.begin(), edges_m.end(), c_m);
  const int cell = std::clamp(static_cast<int>(above - edges_m.begin()) - 1, 0, count - 1);
  const int lower = c_m < centre(cell) ? cell - 1 : cell;
  if (lower < 0) return {0, 0.0};
  if (lower >= count - 1) return {count - 1, 0.0};
  return {lower, std::clamp((c_m - centre(lower)) / (centre(lower + 1) - centre(lower)), 0.0, 1.0)};
}

std::optional<double> temperature_at(const sim::Snapshot& snapshot, const sim::Vec3& point_m) {
  const sim::Grid& grid = snapshot.wall->grid;
  const Between x = between_centres(grid.x_m, point_m[0]);
  const Between y = between_centres(grid.y_m, point_m[1]);
  const Between z = between_centres(grid.z_m, point_m[2]);
  double sum_k = 0.0;
  double weights = 0.0;
  for (int corner = 0; corner < 8; ++corner) {
    const int dx = corner & 1;
    const int dy = (corner >> 1) & 1;
    const int dz = corner >> 2;
    const double weight =
        (dx != 0 ? x.share : 1.0 - x.share) * (dy != 0 ? y.share : 1.0 - y.share) * (dz != 0 ? z.share : 1.0 - z.share);
    if (weight <= 0.0) continue;
    const std::size_t at = grid.at(x.lower + dx, y.lower + dy, z.lower + dz);
    if (snapshot.wall->voxels[at].outside) continue;
    sum_k += weight * static_cast<double>(snapshot.temperature_k[at]);
    weights += weight;
  }
  if (weights < 1e-9) return std::nullopt;
  return sum_k / weights;
}

std::size_t index_at(const sim::Wall& wall, const sim::Vec3& point_m) {
  const sim::Grid& grid = wall.grid;
  return grid.at(grid.find(sim::Axis::x, point_m[0]), grid.find(sim::Axis::y, point_m[1]),
                 grid.find(sim::Axis::z, point_m[2]));
}

}  // namespace warmbay::render
