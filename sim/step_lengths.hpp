#pragma once
// How long split steps may be, from what became of those before.

#include "sim/heat_engine.hpp"

namespace warmbay::sim {

/// All lengths in s. A plain value: part of the bench's state.
class StepLengths {
 public:
  StepLengths() = default;
  /// stable_s: what the wall bears (sim/stability_trial.hpp); shortest_s: below it a step is done whole instead.
  StepLengths(double stable_s, double shortest_s) : stable_s_(stable_s), shortest_s_(shortest_s), limit_s_(stable_s) {}

  /// Not even short split steps hold in this wall: every step is done whole.
  [[nodiscard]] bool splits() const { return stable_s_ >= shortest_s_; }
  /// The next step is done whole.
  [[nodiscard]] bool whole() const { return !splits() || whole_left_ > 0; }
  /// No split step is longer.
  [[nodiscard]] double limit_s() const { return limit_s_; }
  /// A split step of dt_s is looked at (HeatEngine::Bound::looks): the first of a length, then ever fewer.
  [[nodiscard]] bool looks(double dt_s) const { return dt_s > looked_s_ || since_look_ >= gap_; }

  /// Conditions have changed: what was found out about lengths no longer holds.
  void restart();
  /// A split step was taken, looked at or not.
  void took(double dt_s, bool looked, const HeatEngine::Outcome& outcome, long long step_in_segment);
  /// A split step was refused. True: it is to be tried again no longer than limit_s(). False: it is done whole, and so
  /// are others for a while, longer each time that shorter ones were no good either.
  [[nodiscard]] bool refused(double dt_s, const HeatEngine::Outcome& outcome, long long step_in_segment);
  void took_whole() { whole_left_ -= whole_left_ > 0 ? 1 : 0; }

 private:
  double stable_s_ = 0.0, shortest_s_ = 0.0;
  double limit_s_ = 0.0;
  double looked_s_ = 0.0;                // the longest whose splitting was measured since conditions changed
  int since_look_ = 0, gap_ = 1;         // steps since the last look, and until the next
  int whole_left_ = 0, whole_span_ = 0;  // steps still to be done whole; how many they were the last time
};

}  // namespace warmbay::sim
