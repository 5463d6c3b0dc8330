#pragma once
// What of the damage the screen tells: which states there are, and where across a cable it is seen best. Kept between
// frames: it is worked out anew only when the states of voxels change.

#include <memory>
#include <optional>
#include <vector>

#include "render/passes/damage_shape.hpp"
#include "render/view_state.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

/// The place of a close-up: a cut across a cable.
struct CloseUpPlace {
  CloseUp cut;
  int cable = 0;
  double along_m = 0.0;  // from the start of its route
  HollowSize hollow;     // on it
};

class DamageSeen {
 public:
  void look(const std::shared_ptr<const sim::Snapshot>& snapshot);
  /// Bit s is set for VoxelState s.
  [[nodiscard]] unsigned present() const { return present_; }
  [[nodiscard]] bool has(sim::VoxelState state) const { return (present_ >> static_cast<unsigned>(state) & 1U) != 0; }
  /// Where most has drawn back from a cable, or the hottest place of one; nothing while everything is sound.
  [[nodiscard]] const std::optional<CloseUpPlace>& place() const { return place_; }

 private:
  void find_place(const sim::Snapshot& snapshot, const std::vector<sim::VoxelState>& shown);

  std::shared_ptr<const sim::Snapshot> of_;
  std::optional<NarrowAir> narrow_;
  std::vector<sim::VoxelState> states_;
  unsigned present_ = 0;
  std::optional<CloseUpPlace> place_;
};

/// The cut across a cable at a place of its route; side_m: of the square.
[[nodiscard]] CloseUp cut_across(const sim::Cable& cable, double along_m, double side_m);

}  // namespace warmbay::render
