#pragma once
// A voxel's six faces, for solvers that go through the wall voxel by voxel.

#include <cstddef>

#include "sim/conduction.hpp"

namespace warmbay::sim {

struct VoxelFaces {
  explicit VoxelFaces(const Conduction& wall)
      : gx(wall.conductance(Axis::x).data()),
        gy(wall.conductance(Axis::y).data()),
        gz(wall.conductance(Axis::z).data()),
        row(wall.layout().row),
        plane(wall.layout().plane) {}
  /// Heat from a voxel through its six faces, W, at temperatures t (padded field; K above any datum).
  template <class Value>
  [[nodiscard]] Value leaving_w(const Value* t, std::size_t v) const {
    return gx[v] * (t[v] - t[v + 1]) + gx[v - 1] * (t[v] - t[v - 1]) + gy[v] * (t[v] - t[v + row]) +
           gy[v - row] * (t[v] - t[v - row]) + gz[v] * (t[v] - t[v + plane]) + gz[v - plane] * (t[v] - t[v - plane]);
  }
  /// Conductance to all six neighbours, W/K.
  [[nodiscard]] double all_w_k(std::size_t v) const {
    return static_cast<double>(gx[v]) + gx[v - 1] + gy[v] + gy[v - row] + gz[v] + gz[v - plane];
  }
  const float *gx, *gy, *gz;
  std::ptrdiff_t row, plane;
};

}  // namespace warmbay::sim
