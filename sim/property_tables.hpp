#pragma once
// What every kind of matter in a wall is like, by code. A code is a row of these tables; every voxel follows one
// (sim/material_map.hpp). 0: not of the wall. Then the materials as painted, the sheaths of cables by the way that they
// run, what damage makes of the materials in so many levels, and last the air of a void.

#include <cstdint>
#include <functional>
#include <vector>

#include "sim/copper.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

/// Half-resistivities 1 / 2k, m K/W, of every code at evenly spaced temperatures; a curve's corner between two of them
/// is rounded off by at most a fraction of one spacing.
namespace resistivity_table {
inline constexpr float from_rise_k = -100.0F;
inline constexpr float spacing_k = 4.0F;
inline constexpr int entries = 301;
/// The furthest place in a row, counted in entries: so little before the last one that there is always a next one.
inline constexpr float last_place = entries - 1.001F;
}  // namespace resistivity_table

/// Where a code's half-resistivity at a temperature lies: an entry, and how far on the way to the next one.
struct TableEntry {
  TableEntry(int code, float rise_k) {
    const float wanted = (rise_k - resistivity_table::from_rise_k) / resistivity_table::spacing_k;
    constexpr float top = resistivity_table::last_place;
    const float capped = wanted < top ? wanted : top;  // a NaN, too, ends at an entry of the table
    const float place = capped > 0.0F ? capped : 0.0F;
    const int n = static_cast<int>(place);
    entry = code * resistivity_table::entries + n;
    share = place - static_cast<float>(n);
  }
  [[nodiscard]] float of(const float* table, const float* step) const { return table[entry] + share * step[entry]; }
  int entry;
  float share;
};

class PropertyTables {
 public:
  /// copper: laid out in that wall; its sheaths have codes of their own.
  PropertyTables(const Wall& wall, const CopperLayout& copper);

  [[nodiscard]] std::size_t codes() const { return material_.size(); }
  /// The code of a material of the wall: level 0 (sound) to levels_of(material), its last one beyond that.
  [[nodiscard]] int code_of(int material, int level) const;
  /// Number of levels of a material; 0: its conductivity never changes for good.
  [[nodiscard]] int levels_of(int material) const { return levels_[static_cast<std::size_t>(material)]; }
  [[nodiscard]] int void_code() const { return void_code_; }
  [[nodiscard]] int sheath_code(int cable, Axis along) const;

  /// Material of the wall that a code stands for, damaged or not; -1: none, sheath or void.
  [[nodiscard]] int material_of(std::size_t code) const { return material_[code]; }
  [[nodiscard]] bool is_air(std::size_t code) const { return is_air_[code]; }
  [[nodiscard]] bool is_sheath(std::size_t code) const {
    return static_cast<int>(code) >= first_sheath_code_ && static_cast<int>(code) < after_sheath_codes_;
  }
  /// Its conductivity depends on temperature, or is what damage makes of one.
  [[nodiscard]] bool varies(std::size_t code) const { return varies_[code]; }
  [[nodiscard]] bool any_levels() const;
  /// Emissivity of its surface, 1.
  [[nodiscard]] double emissivity(std::size_t code) const { return emissivity_[code]; }
  /// Heat capacity of what a code stands for before anything happens to it, J/(m3 K); 0 outside the wall.
  [[nodiscard]] double sound_j_m3k(std::size_t code) const { return capacity_j_m3k_[code]; }
  /// Conductivity along the cable of the sheath that a code stands for, W/(m K), and which way that is; 0: no sheath.
  [[nodiscard]] double sheath_axial_w_mk(std::size_t code, Axis& along) const {
    if (!is_sheath(code)) return 0.0;
    const Sheath& sheath = sheaths_[code - static_cast<std::size_t>(first_sheath_code_)];
    along = sheath.along;
    return sheath.axial_w_mk;
  }

  /// All half-resistivities: resistivity_table::entries a code.
  [[nodiscard]] const std::vector<float>& half_resistivities() const { return resistivity_; }
  /// 1 / 2k, m K/W, of a code at a temperature; across a sheath.
  [[nodiscard]] float half_resistivity(int code, float rise_k) const {
    return TableEntry(code, rise_k).of(resistivity_.data(), resistivity_step_.data());
  }
  /// The same of n voxels side by side.
  void half_resistivities_of(const std::uint16_t* code, const float* rise_k, int n, float* __restrict into) const;
  /// How far a temperature may move before a code's conductivity can have changed by limits::conductivity_change, K.
  [[nodiscard]] float reach_k(std::size_t code) const { return reach_k_[code]; }

 private:
  struct Sheath {
    int cable;
    Axis along;
    double axial_w_mk;  // along the cable: plastics and earth conductor
  };
  struct Properties {
    bool varies, air;
    int material;
    double emissivity, capacity_j_m3k;
  };
  int add(const std::function<double(double)>& conductivity_w_mk, const Properties& properties);
  void add_sheaths(const Wall& wall, const CopperLayout& copper);
  void add_levels(const Wall& wall);
  void find_steps();
  void find_reaches();

  std::vector<float> resistivity_;       // per code: 1 / 2k at evenly spaced temperatures
  std::vector<float> resistivity_step_;  // to its next entry; 0 outside the wall
  std::vector<float> reach_k_;           // this and all that follow: per code
  std::vector<char> varies_;
  std::vector<char> is_air_;
  std::vector<int> material_;
  std::vector<double> emissivity_;
  std::vector<double> capacity_j_m3k_;
  std::vector<int> levels_;            // per material
  std::vector<int> first_level_code_;  // per material: of level 1
  int void_code_ = 0;
  std::vector<Sheath> sheaths_;  // codes from first_sheath_code_ on
  int first_sheath_code_ = 0, after_sheath_codes_ = 0;
};

}  // namespace warmbay::sim
