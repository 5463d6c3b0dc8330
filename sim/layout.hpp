#pragma once
// How a padded field lies in memory: the grid's voxels with one layer of ghosts all round (the surroundings at the
// outer faces), rows padded to whole SIMD registers, x fastest. Every kernel runs over whole rows, ghosts included.

#include <array>
#include <cstddef>

#include "sim/grid.hpp"

namespace warmbay::sim {

struct Layout {
  int nx = 0, ny = 0, nz = 0;  // voxels of the grid
  std::ptrdiff_t row = 0;      // floats from a voxel to its neighbour in y
  std::ptrdiff_t plane = 0;    // and in z
  std::size_t size = 0;        // floats of a whole field

  Layout() = default;
  explicit Layout(const Grid& grid) : Layout(grid.nx(), grid.ny(), grid.nz()) {}
  Layout(int voxels_x, int voxels_y, int voxels_z)
      : nx(voxels_x),
        ny(voxels_y),
        nz(voxels_z),
        row((nx + 2 + 15) / 16 * 16),
        plane(row * (ny + 2)),
        size(static_cast<std::size_t>(plane) * (nz + 2)) {}

  /// Index of voxel (i, j, k); -1 and n are the ghosts.
  [[nodiscard]] std::size_t at(int i, int j, int k) const {
    return static_cast<std::size_t>((i + 1) + row * (j + 1) + plane * (k + 1));
  }
  /// The other way round: {i, j, k} of an index.
  [[nodiscard]] std::array<int, 3> place(std::size_t index) const {
    const auto v = static_cast<std::ptrdiff_t>(index);
    return {static_cast<int>(v % row) - 1, static_cast<int>(v % plane / row) - 1, static_cast<int>(v / plane) - 1};
  }
  /// Rows counted through the field, those of ghosts too; and how many there are.
  [[nodiscard]] std::size_t row_index(int j, int k) const {
    return static_cast<std::size_t>(j + 1) + static_cast<std::size_t>(ny + 2) * (k + 1);
  }
  [[nodiscard]] std::size_t rows() const { return static_cast<std::size_t>(ny + 2) * (nz + 2); }

  /// The first plane of the upper half: where sweeps along z from both ends meet, and what threads share out.
  [[nodiscard]] int middle() const { return nz / 2; }
  [[nodiscard]] bool in_upper_half(std::size_t index) const {
    return index >= static_cast<std::size_t>(plane) * (middle() + 1);
  }
  [[nodiscard]] std::ptrdiff_t stride(Axis axis) const { return axis == Axis::x ? 1 : axis == Axis::y ? row : plane; }
};

}  // namespace warmbay::sim
