#pragma once
// The heat on the processor, all threads of a crew: always there, and the reference for every other engine.

#include "sim/heat_engine.hpp"
#include "sim/whole_step.hpp"

namespace warmbay::sim {

/// The host's state is the only one: fetch() and take_over() have nothing to do.
class CpuEngine : public HeatEngine {
 public:
  explicit CpuEngine(const EngineParts& parts)
      : parts_(parts), stepper_(parts.conduction, parts.crew), whole_(parts.conduction, parts.crew) {}

  [[nodiscard]] double longest_stable_step_s(double wanted_s) override;
  void take_over(const HeatState&, const DamageState&) override {
    stepper_.taken_over();
    leaving_known_ = false;
  }
  void fetch(HeatState&, DamageState&) override {}
  void refresh(const HeatState& heat) override;
  [[nodiscard]] ConductanceState save_conductances() override { return parts_.conduction.save(); }
  void restore(HeatState& heat, const DamageState& damage, const ConductanceState& conductances) override;
  Outcome step(HeatState& heat, double dt_s, const Feed& feed, const Bound& bound) override;
  Outcome step_whole(HeatState& heat, double dt_s, const Feed& feed, const Bound& bound) override;
  void damage(HeatState& heat, double dt_s, double time_s, DamageState& state, std::vector<Occurrence>& seen) override;
  bool shape(HeatState& heat, double time_s, DamageState& state, std::vector<Occurrence>& seen) override;
  [[nodiscard]] std::vector<SurroundingsReading> surroundings(const HeatState& heat) override;
  [[nodiscard]] std::string name() const override;

 private:
  [[nodiscard]] static bool accounted_for(const Outcome& outcome, const Bound& bound);
  [[nodiscard]] double splitting_of(const HeatState& heat, double dt_s, const Outcome& outcome) const;

  EngineParts parts_;
  Stepper stepper_;
  WholeStep whole_;
  double leaving_w_ = 0.0;  // after the last step, while its conductances hold
  bool leaving_known_ = false;
};

}  // namespace warmbay::sim
