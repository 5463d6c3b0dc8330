#pragma once
// What has become of the wall and its cables: everything irreversible, as plain data that can be copied and put back.

#include <array>
#include <cstdint>
#include <vector>

#include "sim/damage/kinetics.hpp"
#include "sim/damage/rules.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::sim {

/// A voxel that has been hot enough for something to happen to it.
struct DamageCell {
  std::uint32_t voxel = 0;     // padded index
  std::uint16_t material = 0;  // index into Wall::materials
  VoxelState state = VoxelState::sound;
  std::uint8_t level = 0;  // of its conductivity, between sound (0) and changed (PropertyTables::code_of)
  float mass_kg = 0.0F;    // of it when nothing had left yet, with the melt that has come to it
  float collapsed = 0.0F;  // 0 to 1
  float sound_kg = 0.0F;   // its own mass at the start
  std::array<float, damage_processes> extent{};
};

/// One plastic of one stretch of cable.
struct PlasticDamage {
  std::array<float, damage_processes> extent{};
};

/// A cable's stretches are its copper nodes.
struct CableDamage {
  std::vector<PlasticDamage> insulation, sheath;  // per node
  std::vector<double> worn;                       // share of the life of the insulation between conductors, per node
  int short_node = -1;                            // the first from the start whose conductors touch
  int open_node = -1;
  double told_short_m = 0.0;  // along the route: where the last short was that was told
};

/// What stands for it among the things told.
[[nodiscard]] constexpr std::uint8_t told_bit(Happening what) {
  return static_cast<std::uint8_t>(1U << static_cast<unsigned>(what));
}
/// Whether something is told for the first time; notes that it is. told: told_bit() of all that has been.
[[nodiscard]] inline bool tell_once(std::uint8_t& told, Happening what) {
  const std::uint8_t bit = told_bit(what);
  const bool first = !(told & bit);
  told = static_cast<std::uint8_t>(told | bit);
  return first;
}

struct DamageState {
  std::vector<DamageCell> cells;  // in the order in which they came
  std::vector<CableDamage> cables;
  double smoke_kg_s = 0.0;  // of the last step
  double smoke_kg = 0.0;
  double gas_kg = 0.0;  // left as gas, smoke included
  double void_m3 = 0.0;
  double taken_up_j = 0.0;
  double with_gas_j = 0.0;
  // Told already, so that each is told once: per material of the wall, per cable.
  std::vector<std::uint8_t> told_material, told_cable;  // bits by Happening
  bool smoke_told = false;

  /// Enters what dt_s did to some material.
  void book(const Kinetics::Change& change, double dt_s) {
    taken_up_j += change.heat_j;
    gas_kg += change.lost_kg;
    smoke_kg += change.smoke_kg;
    smoke_kg_s += change.smoke_kg / dt_s;
  }
};

}  // namespace warmbay::sim
