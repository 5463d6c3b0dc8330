#pragma once
// Which damage cell a voxel has. Most of a wall never has one, so a row of voxels takes up memory with its first cell.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "sim/layout.hpp"

namespace warmbay::sim {

class CellRows {
 public:
  static constexpr std::int32_t none = -1;

  CellRows() = default;
  explicit CellRows(const Layout& layout)
      : row_(static_cast<std::size_t>(layout.row)), first_of_(layout.size / row_, no_row) {}

  /// Index into DamageState::cells, or none. voxel: padded index.
  [[nodiscard]] std::int32_t operator[](std::size_t voxel) const {
    const std::uint32_t first = first_of_[voxel / row_];
    return first == no_row ? none : cells_[first + voxel % row_];
  }
  void set(std::size_t voxel, std::size_t cell) {
    std::uint32_t& first = first_of_[voxel / row_];
    if (first == no_row) {
      first = static_cast<std::uint32_t>(cells_.size());
      cells_.resize(cells_.size() + row_, none);
    }
    cells_[first + voxel % row_] = static_cast<std::int32_t>(cell);
  }
  /// No voxel has a cell any more. gone: called with every voxel that had one.
  template <class Gone>
  void clear(const Gone& gone) {
    for (std::size_t row = 0; row < first_of_.size(); ++row)
      for (std::size_t i = 0; first_of_[row] != no_row && i < row_; ++i)
        if (cells_[first_of_[row] + i] != none) gone(row * row_ + i);
    first_of_.assign(first_of_.size(), no_row);
    cells_.clear();
  }

 private:
  static constexpr std::uint32_t no_row = 0xFFFFFFFF;
  std::size_t row_ = 1;
  std::vector<std::uint32_t> first_of_;  // per row of voxels: of its stretch of cells_, or no_row
  std::vector<std::int32_t> cells_;
};

}  // namespace warmbay::sim
