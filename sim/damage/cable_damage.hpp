#pragma once
// What heat does to the cables: plastics soften, fume and char, the insulation between two conductors creeps until they
// touch, and copper that is hot enough melts through. A cable's stretches are its copper nodes. Where several cables
// share a voxel, the damage of all of them counts, the same in whatever order they are listed.

#include <optional>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/damage/kinetics.hpp"
#include "sim/damage/state.hpp"
#include "sim/stepper.hpp"

namespace warmbay::sim {

class CablesDamage {
 public:
  explicit CablesDamage(Conduction& wall);

  [[nodiscard]] bool possible() const { return possible_; }
  /// The state of cables that nothing has happened to.
  [[nodiscard]] std::vector<CableDamage> sound() const;

  /// Runs everything for dt_s: fumes and heat taken up, wear, shorts, openings. Heat is taken from the sheath's voxels.
  void step(HeatState& heat, double dt_s, double time_s, DamageState& state, std::vector<Occurrence>& seen);

  /// Makes the sheaths' capacities what a state says.
  void adopt(const DamageState& state);
  /// Mass of plastics that is left, kg.
  [[nodiscard]] double plastics_kg(const DamageState& state) const;

 private:
  struct Plastic {
    std::optional<Kinetics> kinetics;
    double kg_m = 0.0;
    double specific_j_kgk = 0.0;
  };
  struct Sharer {
    std::size_t line, node;
    double share;  // of the node's sheath that the voxel is
  };
  struct Shared {
    std::size_t voxel;
    std::vector<Sharer> by;
    std::vector<double> colder_k;  // by each plastic of each of them, in the step that is being made
  };
  struct OfLine {
    Plastic insulation, sheath;
    std::vector<double> pressure;   // per node, against none at all
    std::vector<double> sound_j_k;  // per link: its voxel's heat capacity as painted
  };

  void step_plastic(std::size_t line, std::size_t node, const Plastic& plastic, PlasticDamage& damage, double at_k,
                    HeatState& heat, double dt_s, DamageState& state);
  void step_plastics(HeatState& heat, const std::vector<std::vector<double>>& sheath_k, double dt_s,
                     DamageState& state);
  void find_shared();
  [[nodiscard]] Shared* shared_at(std::size_t voxel);
  [[nodiscard]] double gone_j_k(std::size_t line, std::size_t node, const DamageState& state) const;
  [[nodiscard]] double shared_capacity_j_k(const Shared& shared, const DamageState& state) const;
  void set_capacities(std::size_t line, std::size_t node, const DamageState& state);
  void wear(std::size_t line, const std::vector<double>& rise_k, double dt_s, double time_s, DamageState& state,
            std::vector<Occurrence>& seen);
  void tell(std::size_t line, const HeatState& heat, const std::vector<double>& sheath_k, double time_s,
            DamageState& state, std::vector<Occurrence>& seen) const;

  Conduction& wall_;
  std::vector<OfLine> lines_;
  std::vector<Shared> shared_;  // sorted by voxel
  bool possible_ = false;
};

}  // namespace warmbay::sim
