// What splitting adds grows with the square of a step's length: from what was measured follows the length at which it
// stays within what is allowed.

#include "sim/step_lengths.hpp"

#include <algorithm>
#include <cmath>

#include "sim/limits.hpp"

namespace warmbay::sim {

void StepLengths::restart() {
  looked_s_ = 0.0;
  gap_ = 1;
  limit_s_ = stable_s_;
}

void StepLengths::took(double dt_s, bool looked, const HeatEngine::Outcome& outcome, long long step_in_segment) {
  if (whole_span_ > 0 && step_in_segment % limits::most_whole_steps == 0) whole_span_ /= 2;
  since_look_ = looked ? 0 : since_look_ + 1;
  if (dt_s > looked_s_) {
    looked_s_ = dt_s;
    gap_ = 1;
  } else if (looked) {
    gap_ = std::min(2 * gap_, limits::splitting_look_steps);
  }
  if (dt_s < limit_s_ || limit_s_ >= stable_s_) return;
  // With damage under way nobody looks: what was too long once is tried again after some steps.
  double times = since_look_ > 2 * limits::splitting_look_steps ? 2.0 : 1.0;
  if (looked && gap_ > 4) times = std::sqrt(limits::splitting_wanted / std::max(outcome.splitting, 1e-3));
  if (times < limits::least_growth) return;
  limit_s_ = std::min(std::min(times, 2.0) * limit_s_, stable_s_);
  since_look_ = 0;
}

bool StepLengths::refused(double dt_s, const HeatEngine::Outcome& outcome, long long step_in_segment) {
  looked_s_ = 0.0;
  gap_ = 1;
  const double before_s = std::min(limit_s_, dt_s);
  if (before_s > shortest_s_ && (outcome.too_long || step_in_segment > limits::ladder_halvings)) {
    const double times = outcome.splitting > 1.0 ? std::sqrt(limits::splitting_wanted / outcome.splitting) : 0.5;
    limit_s_ = std::max(std::max(times, 0.5) * before_s, shortest_s_);
    if (outcome.too_long) return true;
    whole_left_ = 1;
    return false;
  }
  whole_span_ = std::clamp(2 * whole_span_, limits::least_whole_steps, limits::most_whole_steps);
  whole_left_ = whole_span_;
  return false;
}

}  // namespace warmbay::sim
