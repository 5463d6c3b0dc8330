// The processor's engine: the split step, conductances and damage of sim, one after the other.

#include "sim/cpu_engine.hpp"

#include "sim/instrument.hpp"

namespace warmbay::sim {

double CpuEngine::longest_stable_step_s(double wanted_s) {
  return sim::longest_stable_step_s(parts_.conduction, wanted_s, [&](HeatState& state, double step_s, int steps) {
    const Feed none = steady_feed(parts_.conduction.copper(), 0.0);
    for (int n = 0; n < steps; ++n) stepper_.step(state, step_s, none);
  });
}

void CpuEngine::refresh(const HeatState& heat) {
  parts_.conduction.refresh(heat.rise_k, &stepper_.row_drift_k());
  leaving_known_ = false;
}

void CpuEngine::restore(HeatState&, const DamageState&, const ConductanceState& conductances) {
  stepper_.air_changed();
  parts_.conduction.restore(conductances);
  leaving_known_ = false;
}

HeatEngine::Outcome CpuEngine::step(HeatState& heat, double dt_s, const Feed& feed) {
  const double before_w = leaving_known_ ? leaving_w_ : parts_.conduction.leaving_w(heat.rise_k);
  Outcome outcome;
  outcome.wall = stepper_.step(heat, dt_s, feed);
  leaving_w_ = parts_.conduction.leaving_w(heat.rise_k);
  leaving_known_ = true;
  outcome.left_j = 0.5 * dt_s * (before_w + leaving_w_);
  return outcome;
}

void CpuEngine::damage(HeatState& heat, double dt_s, double time_s, DamageState& state, std::vector<Occurrence>& seen) {
  if (!state.cells.empty()) {
    parts_.wall_damage.step(heat, dt_s, state);
    parts_.wall_damage.tell(heat.rise_k, time_s, state, seen);
  }
  if (parts_.cables_damage.possible()) parts_.cables_damage.step(heat, dt_s, time_s, state, seen);
}

bool CpuEngine::shape(HeatState& heat, double time_s, DamageState& state, std::vector<Occurrence>& seen) {
  parts_.wall_damage.look(heat.rise_k, state);
  const std::vector<std::size_t> gone = parts_.wall_damage.draw_back(heat.rise_k, time_s, state, seen);
  if (gone.empty()) return false;
  for (const std::size_t voxel : gone) heat.change_k[voxel] = 0.0F;  // a void's ballast has not moved yet
  parts_.conduction.grow_air(gone);
  stepper_.air_grew(gone);
  return true;
}

std::vector<SurroundingsReading> CpuEngine::surroundings(const HeatState& heat) {
  return read_surroundings(parts_.conduction, heat.rise_k);
}

std::string CpuEngine::name() const {
  return std::to_string(parts_.crew.size()) + (parts_.crew.size() == 1 ? " thread" : " threads");
}

}  // namespace warmbay::sim
