#pragma once
// What moves the heat: the processor (sim/cpu_engine.hpp), or a device of its own that whoever makes a bench hands in.
//
// The host keeps the whole state (HeatState, DamageState, Conduction). An engine may keep its own copy elsewhere; the
// host's copper, and those voxels that an instrument or the damage of cables reads, are brought up to date by every
// call that moves them, all the rest only by fetch(). So nothing but readings crosses over in a step.

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "sim/damage/cable_damage.hpp"
#include "sim/damage/wall_damage.hpp"
#include "sim/stepper.hpp"
#include "sim/whole_step.hpp"

namespace warmbay::sim {

/// Temperatures of one moment, kept where whoever draws them need not ask the host: what it is, the engine and the
/// drawing know. Never changed while anyone holds it.
struct SharedField {
  SharedField() = default;
  virtual ~SharedField() = default;
  SharedField(const SharedField&) = delete;
  SharedField& operator=(const SharedField&) = delete;
};

class HeatEngine {
 public:
  struct Outcome {
    bool refused = false;                      // the state is as it was before
    bool too_long = false;                     // but nothing worse: a shorter split step will do
    double generated_j = 0.0, stored_j = 0.0;  // by the copper; in the wall and the copper
    double left_j = 0.0;                       // by the wall's surfaces
    double fastest_k_s = 0.0;                  // of any voxel or node
    RiseRange range, copper;                   // after the step: of everything, and of the copper
    double splitting = 0.0;                    // what splitting adds, where it was measured: 1 is what is allowed
  };
  /// Of a step that was done whole.
  [[nodiscard]] static Outcome outcome_of(const WholeStep::Outcome& whole) {
    return {!whole.finite,
            false,
            whole.generated_j,
            whole.generated_j - whole.left_j,
            whole.left_j,
            whole.fastest_k_s,
            whole.range,
            whole.copper,
            0.0};
  }
  /// What a step is held to: no temperature outside its bound, every voxel at rest (Stepper::step), the heat accounted
  /// for, and now and then what splitting makes of it.
  struct Bound {
    RiseBound rises;
    double restless_k = Stepper::endless_k;
    double off_j = 0.0;                        // heat that steps so far have not accounted for, signed
    double allowed_j = 1e30;                   // and how much it may come to
    double moves_most_k = Stepper::endless_k;  // any voxel or node in one step
    bool looks = false;                        // the splitting's own error is measured, too (sim/splitting_error.hpp)
    double splitting_share = 1.0;              // and may be so much of what is allowed
  };

  HeatEngine() = default;
  virtual ~HeatEngine() = default;
  HeatEngine(const HeatEngine&) = delete;
  HeatEngine& operator=(const HeatEngine&) = delete;

  /// The longest step, wanted_s halved as often as it takes, at which random temperatures do not grow in this wall.
  [[nodiscard]] virtual double longest_stable_step_s(double wanted_s) = 0;

  /// The host's state has been changed from outside (start, new surroundings): take it over. Conductances stay.
  virtual void take_over(const HeatState& heat, const DamageState& damage) = 0;
  /// Brings all of the host's state up to date.
  virtual void fetch(HeatState& heat, DamageState& damage) = 0;

  /// Conductances follow the temperatures.
  virtual void refresh(const HeatState& heat) = 0;
  [[nodiscard]] virtual ConductanceState save_conductances() = 0;
  /// The host's state and these conductances: everything as it was when they were saved.
  virtual void restore(HeatState& heat, const DamageState& damage, const ConductanceState& conductances) = 0;

  /// Advances the heat by dt_s while the feed flows, by the split step; refused where its result breaks the bound.
  virtual Outcome step(HeatState& heat, double dt_s, const Feed& feed, const Bound& bound) = 0;
  /// The same by the step that cannot fail (sim/whole_step.hpp), many times slower. Refused only where a temperature
  /// or a conductance is not a number.
  virtual Outcome step_whole(HeatState& heat, double dt_s, const Feed& feed, const Bound& bound) = 0;
  /// What the same dt_s did to the wall and its cables; tells what has happened for the first time.
  virtual void damage(HeatState& heat, double dt_s, double time_s, DamageState& state,
                      std::vector<Occurrence>& seen) = 0;
  /// Takes in what has become hot, turns collapsed foam into void. True when the air spaces have changed.
  virtual bool shape(HeatState& heat, double time_s, DamageState& state, std::vector<Occurrence>& seen) = 0;

  /// What the surroundings receive, and the temperatures of the surfaces beside them.
  [[nodiscard]] virtual std::vector<SurroundingsReading> surroundings(const HeatState& heat) = 0;

  /// The present temperatures for the drawing; nullptr: only the host has them for others.
  [[nodiscard]] virtual std::shared_ptr<const SharedField> share_field() { return nullptr; }

  /// The next call comes from another thread.
  virtual void leave_thread() {}
  /// What computes, for people: "2 threads", or the name of a card.
  [[nodiscard]] virtual std::string name() const = 0;
};

/// What an engine works on; all of it outlives the engine.
struct EngineParts {
  Conduction& conduction;
  WallDamage& wall_damage;
  CablesDamage& cables_damage;
  Crew& crew;
};

/// Makes an engine for a wall; nullptr: this wall is none for it, and the processor does it.
using EngineFactory = std::function<std::unique_ptr<HeatEngine>(const EngineParts&)>;

}  // namespace warmbay::sim
