#pragma once
// The wall's air spaces as the kernels read them, rebuilt whenever voids have come or gone.

#include "render/card/kernels.hpp"
#include "sim/conduction.hpp"

namespace warmbay::render::card {

/// What the air's kernels work on beside their own lists.
struct AirField {
  const gl::Storage &rise, &change, &capacity, &codes, &resistivity, &widths, &tables;
  const gl::Storage &gx, &gy, &gz;
};

class AirOnCard {
 public:
  /// Takes the spaces as they are now. Couplings are zero until refreshed or restored.
  void take(const sim::Conduction& wall, const Kernels& kernels);

  void refresh(const Kernels& kernels, const AirField& field) const;
  /// Adds to change what the air brings, the nodes standing at the mean of their faces.
  void flow(const Kernels& kernels, const AirField& field) const;
  /// The air's factor of the split step.
  void step(const Kernels& kernels, const AirField& field) const;

  /// Couplings as the host orders its faces: radiant, convective.
  [[nodiscard]] std::array<std::vector<float>, 2> save() const;
  void restore(const std::array<std::vector<float>, 2>& couplings) const;

 private:
  void take_slabs(const sim::AirSpaces& air);
  void take_groups(const sim::AirSpaces& air);
  void take_touched(const sim::AirSpaces& air);
  void take_runs(const sim::Conduction& wall);

  std::vector<int> colour_from_;  // into order_, plus one past the last
  std::size_t face_count_ = 0, slab_count_ = 0, touched_count_ = 0, run_count_ = 0;
  gl::Storage slabs_, groups_, faces_, voxels_, by_group_, order_, touched_, touches_, runs_;
  gl::Storage couplings_, nodes_;
};

}  // namespace warmbay::render::card
