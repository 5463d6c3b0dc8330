#pragma once
// A cable's loaded conductors as one line of nodes, each coupled to the sheath voxels of the slab it crosses.

#include <vector>

#include "sim/cross_section.hpp"
#include "sim/layout.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

/// One voxel of a cable's sheath, coupled to one node. Sorted by node, then voxel.
struct SheathLink {
  std::size_t voxel;   // padded index
  float coupling_w_k;  // to its node
  float share;         // of its node's sheath cross-section; the shares of a node add up to 1
  int node;
};

struct CopperLine {
  int cable = 0;
  CrossSection section{};
  std::vector<double> along_m;       // node's middle from the start of the route
  std::vector<double> length_m;      // of conductor in the node's slab
  std::vector<double> capacity_j_k;  // per node
  std::vector<double> axial_w_k;     // to the next node; the last is 0
  std::vector<SheathLink> links;
  std::vector<int> first_link;  // per node, plus one past the last

  [[nodiscard]] int nodes() const { return static_cast<int>(along_m.size()); }
};

/// A sheath voxel: which cable it belongs to and along which axis that cable runs there.
struct SheathVoxel {
  std::size_t voxel;  // padded index
  int cable;
  Axis along;
  double section_m2;   // of all voxels that stand for the sheath there
  double staircase_m;  // length of those voxels' outline
  double outline_m;    // and of the sheath's own
};

struct CopperLayout {
  std::vector<CopperLine> lines;    // one per Wall::cables
  std::vector<SheathVoxel> sheath;  // every voxel of every sheath, once, sorted by voxel
};

/// Finds the voxels that each cable's sheath fills and lays out the nodes. A voxel belongs to the sheath when more than
/// half of its cross-section lies inside the sheath's outline. At a corner the leg that comes first keeps the voxels.
[[nodiscard]] CopperLayout lay_out_copper(const Wall& wall, const Layout& layout);

}  // namespace warmbay::sim
