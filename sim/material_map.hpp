#pragma once
// What every voxel of a wall is made of now: as painted, a cable's sheath, or what damage has made of it. All that the
// air spaces and the surfaces ask of a wall; it knows neither of them.

#include <cstdint>
#include <memory>
#include <vector>

#include "sim/copper.hpp"
#include "sim/layout.hpp"
#include "sim/property_tables.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

/// Voxels are padded indices (sim/layout.hpp) throughout.
class MaterialMap {
 public:
  explicit MaterialMap(std::shared_ptr<const Wall> wall);

  [[nodiscard]] const Wall& wall() const { return *wall_; }
  [[nodiscard]] const std::shared_ptr<const Wall>& shared_wall() const { return wall_; }
  [[nodiscard]] const Grid& grid() const { return wall_->grid; }
  [[nodiscard]] const Layout& layout() const { return layout_; }
  [[nodiscard]] const CopperLayout& copper() const { return copper_; }
  [[nodiscard]] const PropertyTables& tables() const { return tables_; }

  /// The row of the tables that a voxel follows; 0: not of the wall.
  [[nodiscard]] std::uint16_t code(std::size_t voxel) const { return code_[voxel]; }
  [[nodiscard]] const std::vector<std::uint16_t>& codes() const { return code_; }
  void set_code(std::size_t voxel, int code) { code_[voxel] = static_cast<std::uint16_t>(code); }
  /// Its code before anything happened to it. voxel: of the wall.
  [[nodiscard]] int painted_code(std::size_t voxel) const;

  [[nodiscard]] bool is_solid(std::size_t voxel) const { return code_[voxel] != 0; }
  [[nodiscard]] bool is_air(std::size_t voxel) const { return tables_.is_air(code_[voxel]); }
  /// Beyond an insulated outer face, where the modelled part of the wall ends.
  [[nodiscard]] bool is_cut(std::size_t voxel) const { return code_[voxel] == 0 && outside_[voxel] < 0; }
  /// Surroundings index of an outside voxel or ghost; -1 for the wall's own voxels and for insulated ghosts.
  [[nodiscard]] int outside_index(std::size_t voxel) const { return outside_[voxel]; }
  /// Material of the wall that a voxel is made of, damaged or not; -1: surroundings, sheath or void.
  [[nodiscard]] int material_of(std::size_t voxel) const { return tables_.material_of(code_[voxel]); }
  /// The sheath that a voxel belongs to; nullptr: none.
  [[nodiscard]] const SheathVoxel* sheath_of(std::size_t voxel) const;

  [[nodiscard]] double volume_m3(std::size_t voxel) const;
  /// Emissivity of a solid voxel's surface, 1.
  [[nodiscard]] double emissivity(std::size_t voxel) const { return tables_.emissivity(code_[voxel]); }
  /// 1 / 2k, m K/W, across a sheath.
  [[nodiscard]] float half_resistivity(std::size_t voxel, float rise_k) const {
    return tables_.half_resistivity(code_[voxel], rise_k);
  }
  /// Conductivity along an axis, W/(m K), at a temperature.
  [[nodiscard]] double conductivity_w_mk(std::size_t voxel, Axis axis, float rise_k) const {
    Axis along{};
    const double axial_w_mk = tables_.sheath_axial_w_mk(code_[voxel], along);
    if (axial_w_mk > 0.0 && along == axis) return axial_w_mk;
    return code_[voxel] == 0 ? 0.0 : 0.5 / half_resistivity(voxel, rise_k);
  }
  /// Whether any voxel's conductivity depends on temperature, or may come to by damage.
  [[nodiscard]] bool conductivity_varies() const;

  /// A voxel's capacity as painted, and what a void of its size has, J/K.
  [[nodiscard]] double sound_capacity_j_k(std::size_t voxel) const {
    return tables_.sound_j_m3k(static_cast<std::size_t>(painted_code(voxel))) * volume_m3(voxel);
  }
  [[nodiscard]] double void_capacity_j_k(std::size_t voxel) const {
    return tables_.sound_j_m3k(static_cast<std::size_t>(tables_.void_code())) * volume_m3(voxel);
  }

 private:
  void paint();
  void find_outside();

  std::shared_ptr<const Wall> wall_;
  Layout layout_;
  CopperLayout copper_;
  PropertyTables tables_;
  std::vector<std::uint16_t> code_;
  std::vector<std::int16_t> outside_;  // surroundings index, or -1
};

}  // namespace warmbay::sim
