#pragma once
// What hangs on voxels of one multigrid level without being a voxel: copper nodes and the air spaces' radiant and
// convective nodes. A hub is linked to voxels by conductances and, along a cable, to the next hub.
//
// Left out of the preconditioner they cost as many iterations as all the rest: an air space exchanges more heat through
// its nodes than its voxels conduct, and copper carries heat along a cable fifty times better than the wall takes it
// up.

#include <algorithm>
#include <array>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/large_field.hpp"
#include "sim/layout.hpp"

namespace warmbay::sim {

struct Hubs {
  struct Link {
    std::size_t voxel;
    int hub;
    float w_k;
  };
  std::vector<Link> links;         // sorted by hub
  std::vector<int> first_link;     // per hub, plus one past the last
  std::vector<int> by_voxel;       // indices into links: those of one voxel one after the other
  std::vector<int> first_of;       // per linked voxel: index into by_voxel, plus one past the last
  std::vector<float> to_next_w_k;  // per hub, 0 at the end of a line
  std::vector<int> line;           // per hub: hubs of one line and axis may be joined
  std::vector<Axis> along;         // per hub: the axis of its line
  std::vector<int> place;          // per hub: index of its voxels along it
  std::vector<int> parent;         // per hub: index on the next level
  std::vector<float> value, right, change;
  std::vector<float> pivot, upper;  // factors of the lines

  [[nodiscard]] int size() const { return static_cast<int>(along.size()); }
};

/// The hubs of a wall as its conductances are now: all copper nodes, line by line, then the air's radiant and
/// convective nodes, slab by slab.
[[nodiscard]] Hubs hubs_of(const Conduction& wall);

/// Joins the hubs of one line whose places join; parent_place: per axis, index on the coarser level. Fills in
/// fine.parent. scratch: as many values as the coarse layout has, all -1; left so.
[[nodiscard]] Hubs coarser(Hubs& fine, const Layout& fine_layout, const Layout& coarse_layout,
                           const std::array<std::vector<int>, 3>& parent_place, std::vector<int>& scratch);

/// Adds the links' conductances to what their voxels lose to_outside.
void add_links(const Hubs& hubs, LargeField& to_outside);

/// Prepares relax(): factors the lines, orders the links by voxel. scratch: as for coarser().
void finish(Hubs& hubs, std::vector<int>& scratch);

/// Solves every hub exactly for the voxels' values as they are, and adds what its change sends to their right sides.
void relax(Hubs& hubs, const LargeField& value, LargeField& right, Crew& crew);

/// Adds the coarser level's values, and what they send to the voxels' right sides.
void take_over(Hubs& hubs, const Hubs& coarse, LargeField& right, Crew& crew);

/// The conductance of a coarse face from that of a fine one and those inside the two coarse voxels. before, after: 1
/// where fine voxels are joined there, else 0.
///
/// From middle to middle lies the face's own resistance and half of each voxel's inner one: exact where the material is
/// the same. Beyond twice the face's own it stays behind a thin layer of insulation, whose resistance would count again
/// on every level.
[[nodiscard]] inline float coarse_w_k(float face_w_k, float before, float before_w_k, float after, float after_w_k) {
  constexpr float least = 1e-30F;  // no resistance is infinite
  const float times = 1.0F + 0.5F * face_w_k * (before / (before_w_k + least) + after / (after_w_k + least));
  return face_w_k / (times < 2.0F ? times : 2.0F);
}

}  // namespace warmbay::sim
