#pragma once
// What heat does to the voxels of the wall. Foam collapses and draws back: its place becomes a void, its plastic a
// denser skin on the foam behind. Other materials dry, soften, fume and char where they are. Nothing ever heals.

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/crew.hpp"
#include "sim/damage/cell_rows.hpp"
#include "sim/damage/kinetics.hpp"
#include "sim/damage/state.hpp"
#include "sim/stepper.hpp"

namespace warmbay::sim {

class WallDamage {
 public:
  WallDamage(Conduction& wall, Crew& crew);

  /// Whether anything in this wall can be damaged.
  [[nodiscard]] bool possible() const { return possible_; }
  /// Lowest temperature at which something may begin, K above the datum.
  [[nodiscard]] double quiet_below_rise_k() const { return quiet_below_rise_k_; }

  /// Takes in the voxels that have become hot enough since the last look.
  void look(const Field& rise_k, DamageState& state);
  /// Runs what goes on in all cells for dt_s: temperatures fall by the heat taken up, capacities by the mass lost.
  void step(HeatState& heat, double dt_s, DamageState& state);
  /// Turns collapsed foam into void and moves its plastic on. The new void voxels: the air spaces must take them in.
  [[nodiscard]] std::vector<std::size_t> draw_back(Field& rise_k, double time_s, DamageState& state,
                                                   std::vector<Occurrence>& seen);
  /// Tells what has happened for the first time: softening, charring, an ignition risk.
  void tell(const Field& rise_k, double time_s, DamageState& state, std::vector<Occurrence>& seen) const;

  // For an engine that keeps the cells elsewhere: it runs step(), and finds what look() would.
  /// Processes of a material of the wall; nullptr: nothing happens to it.
  [[nodiscard]] const Kinetics* kinetics_of(int material) const {
    const auto& of = kinetics_[static_cast<std::size_t>(material)];
    return of ? &*of : nullptr;
  }
  /// Below it nothing begins, K above the datum: per code of the wall's voxels.
  [[nodiscard]] const std::vector<float>& quiet_rise_k() const { return quiet_rise_k_; }
  /// What look() does with voxels once it has found them; voxels: in rising order.
  void take_in(const std::vector<std::uint32_t>& voxels, DamageState& state) {
    for (const std::uint32_t voxel : voxels) cell_at(voxel, state);
  }
  /// Tells as tell() does, of every cell there is.
  void tell_of_all(const Field& rise_k, double time_s, DamageState& state, std::vector<Occurrence>& seen);
  /// Capacities and conductivities follow cells that have been changed elsewhere; which: indices, not all of them.
  void renew(const DamageState& state);
  void renew(const DamageState& state, const std::vector<std::uint32_t>& which);
  /// A voxel's index into DamageState::cells, or -1.
  [[nodiscard]] int cell_of(std::size_t voxel) const { return cell_of_[voxel]; }
  /// The two halves of draw_back(). going: indices of the cells that have collapsed, in rising order; of all others the
  /// state may be an older one. Which voxels the melt will come to (a voxel may be there twice): their cells and
  /// temperatures have to be present before the second half.
  [[nodiscard]] const std::vector<std::size_t>& find_melts_ways(const std::vector<std::uint32_t>& going,
                                                                const DamageState& state);
  [[nodiscard]] std::vector<std::size_t> draw_back(const std::vector<std::uint32_t>& going, Field& rise_k,
                                                   double time_s, DamageState& state, std::vector<Occurrence>& seen);
  /// The cells that the last draw_back has changed, in rising order: indices into DamageState::cells.
  [[nodiscard]] const std::vector<std::uint32_t>& changed_cells() const { return changed_cells_; }

  /// Makes the wall what a state says, undoing what it is now. The air spaces must be renewed afterwards.
  void adopt(const DamageState& state);

  /// Void in the cross-section of the wall, across the cable, that a voxel of a sheath lies in, m2.
  [[nodiscard]] double void_across_m2(const DamageState& state, std::size_t sheath_voxel) const;

 private:
  [[nodiscard]] double specific_j_kgk(const DamageCell& cell) const {
    return wall_.wall().materials[cell.material].heat_capacity_j_kgk;
  }
  [[nodiscard]] bool has_news(const DamageCell& cell, double temperature_k, const DamageState& state) const;
  [[nodiscard]] bool exposed(std::size_t voxel) const;
  [[nodiscard]] bool stands(std::size_t voxel, int material, const DamageState& state) const;
  /// Heat capacity of what is left of a cell, J/K.
  [[nodiscard]] double capacity_j_k(const DamageCell& cell) const;
  struct Books {
    Kinetics::Change change;
    double with_gas_j = 0.0;
  };
  Books step_cell(DamageCell& cell, HeatState& heat, double dt_s);
  void mark(DamageCell& cell, double temperature_k) const;
  DamageCell& cell_at(std::size_t voxel, DamageState& state);
  void show(const DamageCell& cell);
  void find_way(std::size_t from, const DamageState& state);
  void move_melt(std::size_t from, std::span<const std::size_t> to, Field& rise_k, DamageState& state);
  void receive(std::size_t voxel, double melt_kg, double rise_k_of_melt, Field& rise_k, DamageState& state);

  Conduction& wall_;
  Crew& crew_;
  std::vector<std::optional<Kinetics>> kinetics_;    // per material of the wall
  std::vector<float> quiet_rise_k_;                  // per code of the wall's voxels: below it nothing begins
  CellRows cell_of_;                                 // per voxel: index into DamageState::cells
  std::vector<std::vector<std::uint32_t>> notable_;  // per share of the cells: those that tell() has to look at
  std::vector<std::vector<std::uint32_t>> shifted_;  // the same: those whose level of conductivity has changed
  std::vector<std::vector<std::uint32_t>> cooled_;   // the same: those that have taken heat up
  std::vector<std::uint32_t> changed_cells_;
  std::vector<std::size_t> melt_to_;    // the melt's ways, of one cell after the other
  std::vector<std::size_t> melt_from_;  // per cell that goes: where its ways begin in melt_to_; plus where all end
  bool possible_ = false;
  double quiet_below_rise_k_ = 0.0;
};

}  // namespace warmbay::sim
