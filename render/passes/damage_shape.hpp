#pragma once
// What heat has done to the shown faces of a wall, as rectangles and outlines: hollows where foam has gone, and what is
// dried, softened, melted or charred. On the processor; made anew only when the states of voxels change.

#include <array>
#include <memory>
#include <vector>

#include "render/passes/wall_shape.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

/// A rectangle of one state on a shown face.
struct DamageMark {
  sim::Axis normal = sim::Axis::x;
  bool positive = false;
  double at_m = 0.0;
  sim::Interval u_m{};
  sim::Interval v_m{};
  sim::VoxelState state = sim::VoxelState::sound;  // gone: a hollow
};

struct DamageShape {
  std::vector<DamageMark> marks;
  std::vector<Line> rims;  // round the hollows
};

/// Narrow air spaces of a wall: beside a void they belong to its hollow, or the gap round a cable would look like
/// something solid in it.
class NarrowAir {
 public:
  explicit NarrowAir(std::shared_ptr<const sim::Wall> wall);
  /// Snapshot::states as they are shown; empty when those are (nothing is damaged).
  [[nodiscard]] std::vector<sim::VoxelState> shown(const std::vector<sim::VoxelState>& states) const;

 private:
  std::shared_ptr<const sim::Wall> wall_;
  std::vector<std::array<int, 3>> places_;
  std::vector<bool> is_narrow_;  // per voxel
};

/// shown: of NarrowAir. shape: of the same wall.
[[nodiscard]] DamageShape damage_shape(const sim::Wall& wall, const WallShape& shape,
                                       const std::vector<sim::VoxelState>& shown);

/// Which states there are anywhere in the wall: bit s is set for VoxelState s.
[[nodiscard]] unsigned states_present(const sim::Snapshot& snapshot);

/// The hollow on a close-up's cut.
struct HollowSize {
  double area_m2 = 0.0;
  double tall_m = 0.0;  // from its lowest to its highest place, the cable in it included
};
[[nodiscard]] HollowSize hollow_on(const sim::Wall& wall, const std::vector<sim::VoxelState>& shown,
                                   const CloseUp& close_up);

/// Which way a close-up is looked at: axes to the right and up, and the side that its cut looks to.
struct CloseUpAxes {
  int right;
  int up;
  bool positive;
};
/// Upright cuts have the room on their left or in front; a cut across an upright cable is seen from above.
[[nodiscard]] constexpr CloseUpAxes close_up_axes(sim::Axis normal) {
  return normal == sim::Axis::x   ? CloseUpAxes{2, 1, true}
         : normal == sim::Axis::y ? CloseUpAxes{0, 2, true}
                                  : CloseUpAxes{0, 1, false};
}

}  // namespace warmbay::render
