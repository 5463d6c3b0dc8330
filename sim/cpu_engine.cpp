// The processor's engine: the split step, conductances and damage of sim, one after the other.

#include "sim/cpu_engine.hpp"

#include <algorithm>
#include <cmath>

#include "sim/instrument.hpp"
#include "sim/limits.hpp"
#include "sim/splitting_error.hpp"
#include "sim/stability_trial.hpp"

namespace warmbay::sim {

double CpuEngine::longest_stable_step_s(double wanted_s) {
  return sim::longest_stable_step_s(parts_.conduction, wanted_s, [&](HeatState& state, double step_s, int steps) {
    const Feed none = steady_feed(parts_.conduction.copper(), 0.0);
    for (int n = 0; n < steps; ++n) static_cast<void>(stepper_.step(state, step_s, none));
  });
}

void CpuEngine::refresh(const HeatState& heat) {
  parts_.conduction.refresh(heat.rise_k, &stepper_.row_drift_k());
  leaving_known_ = false;
}

void CpuEngine::restore(HeatState&, const DamageState&, const ConductanceState& conductances) {
  stepper_.air_changed();
  stepper_.taken_over();
  parts_.conduction.restore(conductances);
  leaving_known_ = false;
}

/// Whether the heat adds up, in what is stored, generated and left: over all steps, or at least in this one. False for
/// what is not a number.
bool CpuEngine::accounted_for(const Outcome& outcome, const Bound& bound) {
  const double off_j = outcome.generated_j - outcome.left_j - outcome.stored_j;
  const double moved_j = outcome.generated_j + std::abs(outcome.left_j) + std::abs(outcome.stored_j);
  return std::abs(bound.off_j + off_j) <= bound.allowed_j ||
         std::abs(off_j) <= limits::unaccounted_step_share * moved_j + limits::unaccounted_j;
}

/// What splitting adds to the heat of a step, for the worst voxel and against all that moves, which matters the more,
/// the further temperatures are apart; 1 is what is allowed.
double CpuEngine::splitting_of(const HeatState& heat, double dt_s, const Outcome& outcome) const {
  const SplittingError error = splitting_error(parts_.conduction, parts_.crew, heat, stepper_.copper_before_k());
  const double moved_w = (outcome.generated_j + std::abs(outcome.left_j) + std::abs(outcome.stored_j)) / dt_s;
  const double span_k = outcome.range.highest_k - outcome.range.lowest_k;
  const double share = error.astray_w / std::max(moved_w, 1e-30);
  const double allowed_k = share > limits::splitting_spread ? limits::splitting_spread_off_k : limits::splitting_off_k;
  return std::max(error.off_k / allowed_k, share * span_k / limits::splitting_astray_k);
}

HeatEngine::Outcome CpuEngine::step(HeatState& heat, double dt_s, const Feed& feed, const Bound& bound) {
  const double before_w = leaving_known_ ? leaving_w_ : parts_.conduction.leaving_w(heat.rise_k);
  const Stepper::Outcome wall = stepper_.step(heat, dt_s, feed, static_cast<float>(bound.restless_k));
  Outcome outcome;
  outcome.refused = wall.restless;
  if (outcome.refused) return outcome;
  leaving_w_ = parts_.conduction.leaving_w(heat.rise_k);
  leaving_known_ = true;
  outcome.generated_j = wall.generated_j;
  outcome.stored_j = wall.stored_j;
  outcome.left_j = 0.5 * dt_s * (before_w + leaving_w_);
  outcome.fastest_k_s = wall.fastest_k_s;
  outcome.range = wall.voxels;
  outcome.range.include(wall.copper);
  outcome.copper = wall.copper;
  if (bound.looks) outcome.splitting = splitting_of(heat, dt_s, outcome) / bound.splitting_share;
  const bool inside = bound.rises.holds(wall.voxels, wall.copper);
  outcome.too_long = inside && (outcome.splitting > 1.0 || !accounted_for(outcome, bound) ||
                                wall.fastest_k_s * dt_s > bound.moves_most_k);
  outcome.refused = outcome.too_long || !inside;
  if (outcome.refused) {
    stepper_.undo(heat);
    leaving_known_ = false;
  }
  return outcome;
}

HeatEngine::Outcome CpuEngine::step_whole(HeatState& heat, double dt_s, const Feed& feed, const Bound& bound) {
  const WholeStep::Outcome whole = whole_.advance(heat, dt_s, feed, bound.rises);
  leaving_known_ = false;
  std::fill(stepper_.row_drift_k().begin(), stepper_.row_drift_k().end(), Stepper::endless_k);
  return outcome_of(whole);
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
