#pragma once
// The wall as conductances and heat capacities: what the stepper and the settled solver both work on.
//
// Finite volumes: a face between two voxels conducts G = A / (D1/2k1 + D2/2k2); a face towards surroundings
// G = A / (D/2k + 1/h). Surroundings are ghosts round the grid or voxels inside it, held at their temperature, so every
// kernel treats all faces alike.

#include <array>
#include <memory>
#include <vector>

#include "sim/air_spaces.hpp"
#include "sim/copper.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/layout.hpp"
#include "sim/material_map.hpp"
#include "sim/surfaces.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

/// A face along a cable, between two sheath voxels or a sheath voxel and what it ends in.
struct AxialFace {
  std::size_t face;
  Axis axis;
  float area_m2;
  float sheath_resistance_m2k_w;  // of the sheath's half (or both halves)
  float other_half_m;             // of the other voxel, when it is not sheath; else 0
  std::size_t other;
};

/// Conductances that depend on temperature, as they were at their last refresh. Empty where nothing varies.
struct ConductanceState {
  FaceConductances voxel_faces;
  Field half_resistivity;
  std::vector<float> surface_films;
  std::vector<float> surface_faces;
  std::vector<float> surface_taken_k;
  std::array<std::vector<float>, 2> air_couplings;  // radiant, convective
};

class Conduction {
 public:
  Conduction(std::shared_ptr<const Wall> wall, Crew& crew);
  Conduction(const Conduction&) = delete;  // its parts look at one another
  Conduction& operator=(const Conduction&) = delete;

  [[nodiscard]] const Wall& wall() const { return map_.wall(); }
  [[nodiscard]] const std::shared_ptr<const Wall>& shared_wall() const { return map_.shared_wall(); }
  [[nodiscard]] const Layout& layout() const { return map_.layout(); }
  [[nodiscard]] const CopperLayout& copper() const { return map_.copper(); }

  /// Conductance of the face from a voxel to its neighbour along +axis, W/K. layout().size values.
  [[nodiscard]] const Field& conductance(Axis axis) const { return conductance_[static_cast<std::size_t>(axis)]; }
  /// Heat capacity of a voxel, J/K; limits::held_capacity_j_k for surroundings. layout().size values.
  [[nodiscard]] const Field& capacity() const { return capacity_; }
  /// Widths of voxels and ghosts along an axis, m; ghosts are as wide as their neighbours.
  [[nodiscard]] const std::vector<float>& padded_widths_m(Axis axis) const {
    return padded_widths_m_[static_cast<std::size_t>(axis)];
  }
  [[nodiscard]] const std::vector<AxialFace>& axial_faces() const { return axial_faces_; }

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
  [[nodiscard]] bool varies() const {
    return conductivity_varies_ || !surfaces_.film_tables().empty() || !air_.empty();
  }
  [[nodiscard]] ConductanceState save() const;
  void restore(const ConductanceState& state);

  // What damage changes. Capacities count at once, conductivities from the next refresh, voids once the air is renewed.
  /// The voxel's material is on its way to what heat makes of it: level 0 (sound) to tables().levels_of(material).
  void set_level(std::size_t voxel, int material, int level) { set_code(voxel, tables().code_of(material, level)); }
  /// The voxel is as it was painted.
  void set_sound(std::size_t voxel);
  /// The voxel's foam has drawn back from it.
  void set_void(std::size_t voxel) { set_code(voxel, tables().void_code()); }
  void set_capacity_j_k(std::size_t voxel, double capacity_j_k) { capacity_[voxel] = static_cast<float>(capacity_j_k); }
  /// Finds the air spaces anew; to be called when voids have come or gone, before the next refresh. grow_air: the same
  /// where nothing but these voxels has become void since.
  void renew_air();
  void grow_air(const std::vector<std::size_t>& voxels);

  /// What radiation and moving air carry between the voxels round the wall's air spaces.
  [[nodiscard]] const AirSpaces& air() const { return air_; }
  /// What every kind of matter in the wall is like, by code.
  [[nodiscard]] const PropertyTables& tables() const { return map_.tables(); }

  // What a voxel is made of now (sim/material_map.hpp).
  [[nodiscard]] std::uint16_t code(std::size_t voxel) const { return map_.code(voxel); }
  [[nodiscard]] const std::vector<std::uint16_t>& codes_field() const { return map_.codes(); }
  [[nodiscard]] bool is_solid(std::size_t voxel) const { return map_.is_solid(voxel); }
  [[nodiscard]] bool is_air(std::size_t voxel) const { return map_.is_air(voxel); }
  [[nodiscard]] int outside_index(std::size_t voxel) const { return map_.outside_index(voxel); }
  [[nodiscard]] int material_of(std::size_t voxel) const { return map_.material_of(voxel); }
  [[nodiscard]] const SheathVoxel* sheath_of(std::size_t voxel) const { return map_.sheath_of(voxel); }
  [[nodiscard]] double volume_m3(std::size_t voxel) const { return map_.volume_m3(voxel); }
  [[nodiscard]] double sound_capacity_j_k(std::size_t voxel) const { return map_.sound_capacity_j_k(voxel); }
  [[nodiscard]] double void_capacity_j_k(std::size_t voxel) const { return map_.void_capacity_j_k(voxel); }
  /// As the conductances see it, W/(m K): along an axis, at its present temperature.
  [[nodiscard]] double conductivity_w_mk(std::size_t voxel, Axis axis, float rise_k) const {
    return map_.conductivity_w_mk(voxel, axis, rise_k);
  }

  // The wall's surfaces, with the conductances as they are (sim/surfaces.hpp).
  [[nodiscard]] const std::vector<SurfaceFace>& surfaces() const { return surfaces_.faces(); }
  [[nodiscard]] const std::vector<FilmTable>& film_tables() const { return surfaces_.film_tables(); }
  [[nodiscard]] const std::vector<double>& surroundings_k() const { return surfaces_.surroundings_k(); }
  void set_surroundings(const std::vector<double>& temperature_k, Field& rise_k) {
    surfaces_.set_surroundings(temperature_k, rise_k);
  }
  /// What an engine elsewhere found for a surface, so that instruments beside it read with it.
  void set_film(std::size_t surface, float film_w_m2k) { surfaces_.set_film(surface, film_w_m2k); }
  [[nodiscard]] double film_beside_w_m2k(std::size_t outside_voxel) const {
    return surfaces_.film_beside_w_m2k(outside_voxel);
  }
  template <class Temperatures>
  [[nodiscard]] double surface_rise(const SurfaceFace& face, const Temperatures& rise_k) const {
    return Surfaces::surface_rise(face, conductance_, rise_k);
  }
  template <class Temperatures>
  [[nodiscard]] double leaving_by_w(const SurfaceFace& face, const Temperatures& rise_k) const {
    return Surfaces::leaving_by_w(face, conductance_, rise_k);
  }
  [[nodiscard]] double leaving_w(const Field& rise_k) const { return surfaces_.leaving_w(conductance_, rise_k); }
  template <class Work>
  void each_surface(const Work& work) const {
    surfaces_.each(work);
  }

 private:
  void set_code(std::size_t voxel, int code);
  void find_row_reaches();
  void set_capacities();
  void watch_air();
  void find_axial_faces();
  bool refresh_row(const Field& rise_k, int j, int k, float* drift_k);
  void refresh_voxel_faces(const Field& rise_k, std::vector<float>* row_drift_k);
  void refresh_axial_faces();
  void refresh_air(const Field& rise_k);
  void refresh_run(const AirRun& run, double extra_w_mk);

  MaterialMap map_;
  Crew& crew_;
  Layout layout_;  // the map's own: nearer to the loops
  std::array<std::vector<float>, 3> padded_widths_m_;
  FaceConductances conductance_;
  Field capacity_;
  Field half_resistivity_;          // 1 / 2k as the faces have it, infinite outside
  Field taken_rise_k_;              // of each voxel when half_resistivity_ was taken; infinite: look again
  std::vector<float> row_reach_k_;  // per row of voxels and ghosts: no conductivity changes enough within it
  std::vector<char> row_moved_;     // per row of voxels and ghosts: refreshed last time
  std::vector<char> row_watched_;   // per row of voxels and ghosts: drift says nothing
  bool conductivity_varies_;
  bool refreshed_ = false;
  bool restored_ = false;  // since the last refresh
  std::vector<AxialFace> axial_faces_;
  Surfaces surfaces_;
  AirSpaces air_;
};

}  // namespace warmbay::sim
