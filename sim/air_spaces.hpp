#pragma once
// Air inside the wall: what radiation and moving air carry across it, on top of what its voxels conduct.
//
// A space without a cable is crossed by runs of voxels between two solid sides: along every run the air conducts
// k Nu + h_r d more than still air does, d being the run's own length. A space round a cable is cut into slabs along
// the cable: in every slab the cable and the sides exchange heat through two nodes, one for radiation, one for moving
// air. A cable is small beside its space, and its own surface limits what it radiates: runs of voxels would overstate
// that.
//
// Sources: radiant exchange with a mean radiant temperature, Carroll (1980), ASHRAE Trans. 86(1); h_r of a layer of
// finite width, ISO 6946:2017 annex D; moving air, sim/film.hpp. An insulated outer face is a cut, where the modelled
// part of the wall ends, and a mirror: a space that reaches it goes on beyond it, above and below, too, whatever the
// storey's height may be. Limits: sides are grey; air does not flow from slab to slab; radiation and moving air each
// have the half voxel of their face for themselves.
//
// A wall and its mirror image agree to rounding, not to the bit: sums run in the order of memory.

#include <array>
#include <cstdint>
#include <utility>
#include <vector>

#include "sim/air_outline.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/layout.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

class MaterialMap;

/// A face of a solid voxel towards the air of a slab, as coupled to that slab's nodes.
struct AirFace {
  std::size_t voxel;  // padded index of the solid voxel
  float area_m2;      // of the surface that it stands for (sim/air_outline.hpp)
  float half_m;       // from its middle to the face
  int group;          // index into the slab's groups
  int slab;
};

/// The faces of one side of a slab: one cable, or everything that looks one way.
struct AirGroup {
  int cable = -1;  // or -1: a side of the space
  Axis normal = Axis::x;
  bool looks_up = false;  // towards +normal
  double area_m2 = 0.0;
  double emissivity = 0.9;
  double view = 1.0;  // Carroll's factor
};

struct AirSlab {
  std::size_t first_face = 0, last_face = 0;  // [first, last) of faces()
  std::size_t middle_face = 0;                // the first of a voxel in the upper half (Layout::middle)
  std::size_t first_group = 0, last_group = 0;
  Axis along = Axis::x;
  double length_m = 0.0;     // along the cable
  double thickness_m = 0.0;  // of the space between its upright sides, beyond a cut, too
  double height_m = 0.0;     // likewise
  double cable_m = 0.0;      // diameter of a circle as long as the cables' outlines
  double enclosure_m = 0.0;  // hydraulic diameter of the space, cables counted in
  int colour = 0;            // slabs of one colour share no voxel and may be worked on side by side

  /// So many faces and groups come before its own.
  void shift(std::size_t faces, std::size_t groups) {
    first_face += faces;
    middle_face += faces;
    last_face += faces;
    first_group += groups;
    last_group += groups;
  }
};

/// A run of air voxels between two solid sides.
struct AirRun {
  std::size_t first;  // first air voxel
  int count;
  Axis axis;
  std::size_t side[2];  // the solid voxels at its ends; at a cut: that of the other end, whose mirror image it is
  float half_m[2];      // from their middles to the run
  float length_m;       // beyond a cut, too
  float across_m;       // the smaller width of the space across the run, likewise
  float height_m;
  float emissivity[2];
};

class AirSpaces {
 public:
  /// How far a space goes on between two cuts: as good as for ever.
  static constexpr double unlimited_m = 1000.0;
  /// Rounds in which the temperatures of surfaces and nodes settle. Across 180 K and 2 mm of foam two rounds leave 0.8
  /// % (one 7 %, three 0.1 %, and a slab's refresh then takes a sixth longer), nothing where half a voxel hardly
  /// resists.
  static constexpr int radiant_rounds = 2, run_rounds = 2;
  /// How many times as wide as its cables, 1, a space must be for air to move round them: narrower ones have no room.
  static constexpr double narrowest_annulus = 1.01;

  AirSpaces(const MaterialMap& wall, Crew& crew);
  /// Finds the spaces anew: voids have come or gone.
  void renew();
  /// The same where these voxels have become air since, and nothing else has changed; only the spaces that they join
  /// are worked out again. voxels: padded indices.
  [[nodiscard]] bool grow(const std::vector<std::size_t>& voxels);

  [[nodiscard]] bool empty() const { return slabs_.empty() && runs_.empty(); }
  [[nodiscard]] const std::vector<AirFace>& faces() const { return faces_; }
  [[nodiscard]] const std::vector<AirGroup>& groups() const { return groups_; }
  [[nodiscard]] const std::vector<AirSlab>& slabs() const { return slabs_; }
  [[nodiscard]] const std::vector<AirRun>& runs() const { return runs_; }
  /// Indices into slabs(), by colour.
  [[nodiscard]] const std::vector<std::vector<int>>& colours() const { return colours_; }

  /// Conductance of a face to its slab's radiant and convective node, W/K. One per face; a voxel's first face in a slab
  /// carries what all of its faces there do, so that a step may take face by face and keep the heat balance.
  [[nodiscard]] const std::vector<float>& radiant_w_k() const { return coupling_w_k_[0]; }
  [[nodiscard]] const std::vector<float>& convective_w_k() const { return coupling_w_k_[1]; }

  /// A slab's faces of voxels in one half of the wall (0: below Layout::middle): [first, last).
  [[nodiscard]] static std::pair<std::size_t, std::size_t> faces_of_half(const AirSlab& slab, int half) {
    return half == 0 ? std::pair{slab.first_face, slab.middle_face} : std::pair{slab.middle_face, slab.last_face};
  }

  /// Brings the slabs' couplings up to date with the temperatures. rise_k: the whole padded field.
  void refresh_slab(std::size_t slab, const Field& rise_k);
  /// What a run carries beyond still air, as a conductivity along it, W/(m K). Its sides' surfaces are not as warm as
  /// the middles of their voxels: heat crosses half of each on its way.
  [[nodiscard]] double run_extra_w_mk(const AirRun& run, const Field& rise_k) const;

  [[nodiscard]] const std::vector<float>& save(int node) const { return coupling_w_k_[node]; }
  void restore(int node, const std::vector<float>& couplings) { coupling_w_k_[node] = couplings; }

 private:
  /// What is known of some voxels without going through them again; nothing of it depends on their order.
  struct Section {
    std::vector<std::uint32_t> rim;  // those beside something else than air, in the order of memory
    std::int64_t area = 0;           // across the space, in parts of a m2 (air_spaces.cpp)
    std::array<int, 3> low{1 << 30, 1 << 30, 1 << 30}, high{-1, -1, -1};  // places along x, y, z
    std::array<bool, 3> cut_low{}, cut_high{};                            // whether one of them lies at a cut
  };
  /// A connected space of air, with what it is made up of; indices count from 0 within it.
  struct Space {
    std::vector<std::uint32_t> voxels;         // in the order of memory
    std::array<std::int64_t, 3> cable_area{};  // of cable surface seen, by the cable's axis
    Axis along = Axis::x;                      // of its slabs, if it has any
    std::vector<Section> sections;             // by place along; empty: none
    std::vector<AirFace> faces;
    std::vector<AirGroup> groups;
    std::vector<AirSlab> slabs;
    std::vector<AirRun> runs;
  };
  /// A slab being worked out, beside others.
  struct Part {
    AirSlab slab;
    std::vector<AirFace> faces;
    std::vector<AirGroup> groups;
    std::vector<SideFace> sides;  // scratch
  };
  void find_spaces();
  /// Index into spaces_, or -1.
  [[nodiscard]] int space_of(std::size_t voxel) const;
  void work_out(Space& space);
  void take_in(Space& space, const std::vector<std::uint32_t>& fresh);
  void see_cables(Space& space, const std::vector<std::uint32_t>& voxels) const;
  void add_to_sections(Space& space, const std::vector<std::uint32_t>& voxels) const;
  void lay_out(Space& space);
  void put_together();
  void add_slabs(const Space& space);
  void append(const Part& part);
  void add_faces(std::size_t voxel, Part& part) const;
  void add_face(Part& part, const SideFace& side, int cable) const;
  void finish_slab(Part& part, const Section& section) const;
  [[nodiscard]] bool may_share_voxels() const;
  void colour_slabs();
  void add_runs(const std::vector<std::uint32_t>& space);
  [[nodiscard]] static int group_of(Part& part, int cable, Axis normal, bool looks_up, double emissivity);

  const MaterialMap& wall_;
  Crew& crew_;
  std::vector<Space> spaces_;  // by their first voxel
  std::vector<AirFace> faces_;
  std::vector<AirGroup> groups_;
  std::vector<AirSlab> slabs_;
  std::vector<AirRun> runs_;
  std::vector<std::vector<int>> colours_;
  std::vector<float> coupling_w_k_[2];
  std::vector<Part> parts_;  // kept between calls: no allocation
};

}  // namespace warmbay::sim
