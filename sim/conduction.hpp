#pragma once
// The wall as conductances and heat capacities: what the stepper and the settled solver both work on.
//
// Finite volumes: a face between two voxels conducts G = A / (D1/2k1 + D2/2k2); a face towards surroundings
// G = A / (D/2k + 1/h). Surroundings are ghosts round the grid or voxels inside it, held at their temperature, so every
// kernel treats all faces alike.

#include <array>
#include <cmath>
#include <functional>
#include <memory>
#include <vector>

#include "sim/air_spaces.hpp"
#include "sim/copper.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/film_table.hpp"
#include "sim/layout.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

/// A face between a voxel of the wall and surroundings.
struct SurfaceFace {
  std::uint32_t solid;    // padded index of the wall's voxel
  std::uint32_t outside;  // and of the surroundings' voxel or ghost
  std::uint32_t face;     // index into conductance(axis)
  Axis axis;
  std::int16_t surroundings;
  std::int32_t film;  // index into the film tables; -1: film_w_m2k does not vary
  float area_m2;
  float half_m;      // from the voxel's centre to the surface
  float film_w_m2k;  // now; infinite for a held surface
};

/// A face along a cable, between two sheath voxels or a sheath voxel and what it ends in.
struct AxialFace {
  std::size_t face;
  Axis axis;
  float area_m2;
  float sheath_resistance_m2k_w;  // of the sheath's half (or both halves)
  float other_half_m;             // of the other voxel, when it is not sheath; else 0
  std::size_t other;
};

/// Half-resistivities 1 / 2k, m K/W, of every code at evenly spaced temperatures; a curve's corner between two of them
/// is rounded off by at most a fraction of one spacing.
namespace resistivity_table {
inline constexpr float from_rise_k = -100.0F;
inline constexpr float spacing_k = 4.0F;
inline constexpr int entries = 301;
}  // namespace resistivity_table

/// Conductances that depend on temperature, as they were at their last refresh. Empty where nothing varies.
struct ConductanceState {
  std::array<Field, 3> voxel_faces;
  Field half_resistivity;
  std::vector<float> surface_films;
  std::vector<float> surface_faces;
  std::vector<float> surface_taken_k;
  std::array<std::vector<float>, 2> air_couplings;  // radiant, convective
};

class Conduction {
 public:
  Conduction(std::shared_ptr<const Wall> wall, Crew& crew);

  [[nodiscard]] const Wall& wall() const { return *wall_; }
  [[nodiscard]] const std::shared_ptr<const Wall>& shared_wall() const { return wall_; }
  [[nodiscard]] const Layout& layout() const { return layout_; }
  [[nodiscard]] const CopperLayout& copper() const { return copper_; }
  [[nodiscard]] const std::vector<SurfaceFace>& surfaces() const { return surfaces_; }

  /// Conductance of the face from a voxel to its neighbour along +axis, W/K. layout().size values.
  [[nodiscard]] const Field& conductance(Axis axis) const { return conductance_[static_cast<std::size_t>(axis)]; }
  /// Heat capacity of a voxel, J/K; limits::held_capacity_j_k for surroundings. layout().size values.
  [[nodiscard]] const Field& capacity() const { return capacity_; }

  /// Sets the surroundings' temperatures (one per Wall::surroundings) in the field's ghosts and outside voxels.
  void set_surroundings(const std::vector<double>& temperature_k, Field& rise_k);

  /// Brings the conductances that depend on temperature up to date, but for rows of voxels in which none has changed
  /// enough to matter (limits::conductivity_change). rise_k: the whole padded field. row_drift_k: if given, per row
  /// (Layout::row_index) the most that any of its voxels can have moved since its conductances were taken, but for
  /// watched rows; brought up to date. It saves looking and changes no result.
  void refresh(const Field& rise_k, std::vector<float>* row_drift_k = nullptr);
  /// The voxel's temperature may change by other things than conduction: its row is always looked at.
  void watch_row_of(std::size_t voxel) { row_watched_[voxel / static_cast<std::size_t>(layout_.row)] = 1; }
  /// refresh(), but of every row, however little its temperatures have changed.
  void refresh_all(const Field& rise_k) {
    refreshed_ = false;
    refresh(rise_k);
  }
  /// Whether refresh() has anything to do.
  [[nodiscard]] bool varies() const { return conductivity_varies_ || !film_tables_.empty() || !air_.empty(); }

  // What damage changes. Capacities count at once, conductivities from the next refresh, voids once the air is renewed.
  /// The voxel's material is on its way to what heat makes of it: level 0 (sound) to levels_of(material).
  void set_level(std::size_t voxel, int material, int level) { set_code(voxel, code_of(material, level)); }
  /// Number of levels of a material of the wall; 0: its conductivity never changes for good.
  [[nodiscard]] int levels_of(int material) const { return levels_[static_cast<std::size_t>(material)]; }
  [[nodiscard]] int code_of(int material, int level) const;
  /// The voxel is as it was painted.
  void set_sound(std::size_t voxel);
  /// The voxel's foam has drawn back from it.
  void set_void(std::size_t voxel) { set_code(voxel, void_code_); }
  void set_capacity_j_k(std::size_t voxel, double capacity_j_k) { capacity_[voxel] = static_cast<float>(capacity_j_k); }
  /// A voxel's capacity as painted, and what a void of its size has, J/K.
  [[nodiscard]] double sound_capacity_j_k(std::size_t voxel) const;
  [[nodiscard]] double void_capacity_j_k(std::size_t voxel) const;
  [[nodiscard]] double volume_m3(std::size_t voxel) const;
  /// Finds the air spaces anew; to be called when voids have come or gone, before the next refresh. grow_air: the same
  /// where nothing but these voxels has become void since.
  void renew_air();
  void grow_air(const std::vector<std::size_t>& voxels);
  /// Material of the wall that a voxel is made of, damaged or not; -1: surroundings, sheath or void.
  [[nodiscard]] int material_of(std::size_t voxel) const { return code_material_[code_[voxel]]; }
  /// The row of conductivities that a voxel follows, how many there are, and the material of one.
  [[nodiscard]] std::uint16_t code(std::size_t voxel) const { return code_[voxel]; }
  [[nodiscard]] std::size_t codes() const { return code_material_.size(); }
  [[nodiscard]] int material_of_code(std::size_t code) const { return code_material_[code]; }
  [[nodiscard]] bool is_air_code(std::size_t code) const { return code_is_air_[code]; }
  /// Heat capacity of what a code stands for before anything happens to it, J/(m3 K). code: not 0.
  [[nodiscard]] double sound_j_m3k(std::size_t code) const;

  /// What radiation and moving air carry between the voxels round the wall's air spaces.
  [[nodiscard]] const AirSpaces& air() const { return air_; }

  // What refresh() works from, for an engine that does the same elsewhere.
  [[nodiscard]] const std::vector<std::uint16_t>& codes_field() const { return code_; }
  [[nodiscard]] const std::vector<float>& half_resistivities() const { return resistivity_table_; }
  [[nodiscard]] const std::vector<float>& padded_widths_m(Axis axis) const {
    return padded_widths_m_[static_cast<std::size_t>(axis)];
  }
  [[nodiscard]] const std::vector<AxialFace>& axial_faces() const { return axial_faces_; }
  [[nodiscard]] const std::vector<FilmTable>& film_tables() const { return film_tables_; }
  /// Conductivity along the cable of the sheath that a code stands for, W/(m K), and which way that is; 0: no sheath.
  [[nodiscard]] double sheath_axial_w_mk(std::size_t code, Axis& along) const;
  /// What such an engine found for a surface, so that instruments beside it read with it.
  void set_film(std::size_t surface, float film_w_m2k) { surfaces_[surface].film_w_m2k = film_w_m2k; }

  [[nodiscard]] ConductanceState save() const;
  void restore(const ConductanceState& state);

  /// Surface temperature of a face, K above the datum: where the half voxel and the film share one flow. rise_k:
  /// padded, single or double precision.
  template <class Temperatures>
  [[nodiscard]] double surface_rise(const SurfaceFace& face, const Temperatures& rise_k) const {
    const double outside_k = rise_k[face.outside];
    if (std::isinf(face.film_w_m2k)) return outside_k;
    return outside_k + leaving_by_w(face, rise_k) / (static_cast<double>(face.film_w_m2k) * face.area_m2);
  }
  /// Calls work(share, face) for every surface, shared out among the crew; within a share one after the other. How
  /// many shares there are does not depend on the number of threads, so that sums by share do not, either.
  static constexpr int surface_shares = 16;
  template <class Work>
  void each_surface(const Work& work) const {
    crew_.each(surface_shares, [&](int share) {
      const std::size_t from = surfaces_.size() * share / surface_shares;
      const std::size_t to = surfaces_.size() * (share + 1) / surface_shares;
      for (std::size_t n = from; n < to; ++n) work(static_cast<std::size_t>(share), surfaces_[n]);
    });
  }
  /// Heat from the wall into the surroundings of one surface, W. rise_k: padded, single or double precision.
  template <class Temperatures>
  [[nodiscard]] double leaving_by_w(const SurfaceFace& face, const Temperatures& rise_k) const {
    const double w_k = conductance_[static_cast<std::size_t>(face.axis)][face.face];
    return w_k * (static_cast<double>(rise_k[face.solid]) - rise_k[face.outside]);
  }
  /// Heat from the wall into all surroundings together, W; for every step, so shared out among the crew.
  [[nodiscard]] double leaving_w(const Field& rise_k) const;

  /// Conductivity of a voxel as the conductances see it, W/(m K): along an axis, at its present temperature.
  [[nodiscard]] double conductivity_w_mk(std::size_t voxel, Axis axis, float rise_k) const;
  /// Film coefficient, W/(m2 K), at a surface that touches an outside voxel or ghost; 0 when none does.
  [[nodiscard]] double film_beside_w_m2k(std::size_t outside_voxel) const;
  /// The surroundings' temperatures now, K.
  [[nodiscard]] const std::vector<double>& surroundings_k() const { return surroundings_k_; }
  [[nodiscard]] bool is_solid(std::size_t voxel) const { return code_[voxel] != 0; }
  [[nodiscard]] bool is_air(std::size_t voxel) const { return code_is_air_[code_[voxel]]; }
  /// Beyond an insulated outer face, where the modelled part of the wall ends.
  [[nodiscard]] bool is_cut(std::size_t voxel) const { return code_[voxel] == 0 && outside_[voxel] < 0; }
  /// The sheath that a voxel belongs to; nullptr: none.
  [[nodiscard]] const SheathVoxel* sheath_of(std::size_t voxel) const;
  /// Emissivity of a solid voxel's surface, 1.
  [[nodiscard]] double emissivity(std::size_t voxel) const;
  /// Surroundings index of an outside voxel or ghost; -1 for the wall's own voxels and for insulated ghosts.
  [[nodiscard]] int outside_index(std::size_t voxel) const { return outside_[voxel]; }

 private:
  void assign_codes();
  int add_code(const std::function<double(double)>& conductivity_w_mk, bool varies, bool air, int material,
               double emissivity);
  void add_levels();
  void set_code(std::size_t voxel, int code);
  void find_reaches();
  void set_capacities();
  void watch_air();
  void find_axial_faces();
  void find_surfaces();
  void add_surface(std::array<int, 3> ijk, Axis normal, bool towards_positive);
  int film_for(int surroundings, Facing facing, double length_m, double emissivity);
  [[nodiscard]] double run_length_m(std::array<int, 3> ijk, Axis normal, bool towards_positive, Axis along) const;
  [[nodiscard]] const SurfaceFace* find_surface(std::size_t solid, std::size_t outside) const;
  [[nodiscard]] float half_resistivity(std::size_t voxel, float rise_k) const;  // 1 / 2k, across a sheath
  void half_resistivities_of(const std::uint16_t* code, const float* rise_k, float* __restrict into) const;
  bool refresh_row(const Field& rise_k, int j, int k, float* drift_k);
  void refresh_voxel_faces(const Field& rise_k, std::vector<float>* row_drift_k);
  void refresh_surfaces(const Field& rise_k);
  void refresh_air(const Field& rise_k);

  std::shared_ptr<const Wall> wall_;
  Crew& crew_;
  Layout layout_;
  CopperLayout copper_;
  std::array<std::vector<float>, 3> padded_widths_m_;  // of voxels and ghosts along each axis
  std::array<Field, 3> conductance_;
  Field capacity_;
  Field half_resistivity_;                // 1 / 2k as the faces have it, infinite outside
  Field taken_rise_k_;                    // of each voxel when half_resistivity_ was taken; infinite: look again
  std::vector<float> row_reach_k_;        // per row of voxels and ghosts: no conductivity changes enough within it
  std::vector<float> code_reach_k_;       // the same per code
  std::vector<char> row_moved_;           // per row of voxels and ghosts: refreshed last time
  std::vector<char> row_watched_;         // per row of voxels and ghosts: drift says nothing
  std::vector<std::uint16_t> code_;       // row of resistivity_table_; 0: not of the wall
  std::vector<std::int16_t> outside_;     // surroundings index, or -1
  std::vector<float> resistivity_step_;   // to the next entry of resistivity_table_; 0 outside the wall
  std::vector<float> resistivity_table_;  // per code: 1 / 2k at evenly spaced temperatures
  std::vector<char> code_varies_;         // per code
  std::vector<char> code_is_air_;         // per code
  std::vector<int> code_material_;        // per code: index into Wall::materials, or -1
  std::vector<double> code_emissivity_;   // per code
  std::vector<int> levels_;               // per material
  std::vector<int> first_level_code_;     // per material: of level 1
  int void_code_ = 0;
  struct SheathCode {
    int cable;
    Axis along;
    double axial_w_mk;  // along the cable: plastics and earth conductor
    double capacity_j_m3k;
  };
  std::vector<SheathCode> sheath_codes_;  // rows of resistivity_table_ from first_sheath_code_ on
  int first_sheath_code_ = 0, after_sheath_codes_ = 0;
  bool conductivity_varies_ = false;
  bool refreshed_ = false;
  bool restored_ = false;  // since the last refresh
  std::vector<AxialFace> axial_faces_;
  std::vector<SurfaceFace> surfaces_;
  std::vector<float> surface_taken_k_;  // per surface: its voxel's rise when the film was taken; NaN: look again
  std::vector<FilmTable> film_tables_;
  std::vector<double> surroundings_k_;
  AirSpaces air_;
};

}  // namespace warmbay::sim
