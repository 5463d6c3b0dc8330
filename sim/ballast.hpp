#pragma once
// The capacities that the split step works with: a wall's own, and more where a light voxel carries ballast (what that
// is, sim/stepper.hpp says).
//
// Kept for blocks of rows in which a voxel may be light; elsewhere the wall's own are used as they are.

#include <cstddef>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"

namespace warmbay::sim {

class Ballast {
 public:
  static constexpr int block_rows = 4;  // of a plane: what the z sweep takes at once

  Ballast(const Conduction& wall, Crew& crew);

  /// Voids have come or gone; or nothing but these voxels has become void. voxels: padded indices.
  void voids_changed();
  void voids_grew(const std::vector<std::size_t>& voxels);
  /// Makes room for what may be light in steps of dt_s; whether places have moved. A block too many costs time and
  /// changes nothing.
  bool prepare(double dt_s);

  [[nodiscard]] int blocks_of_rows() const { return blocks_; }
  /// Whether a row's capacities are kept here, to be set in every step.
  [[nodiscard]] bool carries(int j, int k) const { return block(j, k) >= 0; }
  /// A row's capacities, J/K, from its first ghost on; of a row that carries ballast, to be set.
  [[nodiscard]] const float* row(int j, int k) const {
    const std::ptrdiff_t place = block(j, k);
    return place < 0 ? &wall_.capacity()[wall_.layout().at(-1, j, k)] : &ballasted_j_k_[row_place(place, j)];
  }
  [[nodiscard]] float* row_to_set(int j, int k) { return &ballasted_j_k_[row_place(block(j, k), j)]; }
  /// Where a voxel's capacity is kept, until places move; -1: not here. And what it is, J/K.
  [[nodiscard]] std::ptrdiff_t place_of(std::size_t voxel) const;
  [[nodiscard]] double capacity_j_k(std::size_t voxel, std::ptrdiff_t place) const {
    return place < 0 ? wall_.capacity()[voxel] : ballasted_j_k_[static_cast<std::size_t>(place)];
  }

 private:
  [[nodiscard]] std::ptrdiff_t block(int j, int k) const {
    return first_[static_cast<std::size_t>(k) * blocks_ + j / block_rows];
  }
  [[nodiscard]] std::size_t row_place(std::ptrdiff_t block, int j) const {
    return static_cast<std::size_t>(block + j % block_rows * wall_.layout().row);
  }
  void find_quickest();

  const Conduction& wall_;
  Crew& crew_;
  int blocks_;                              // of a plane
  double known_for_s_ = 0.0;                // places are known for steps up to this one
  std::vector<float> code_quickness_s_m2_;  // per code: capacity over four times the best conductivity; infinite: heavy
  std::vector<float> quickest_s_;           // per plane and block of rows: of its voxels; empty: not known
  std::vector<std::ptrdiff_t> first_;       // per plane and block of rows: where in ballasted_j_k_, or -1
  Field ballasted_j_k_;
};

}  // namespace warmbay::sim
