#pragma once
// An engine whose temperatures turn into what is not a number, for tests of what is then said and kept.

#include "sim/cpu_engine.hpp"

namespace warmbay::tests {

/// The processor's engine, until so many steps have been taken; from then on neither way of stepping leads anywhere.
class Failing : public sim::CpuEngine {
 public:
  using CpuEngine::CpuEngine;
  static constexpr int good_steps = 20;
  Outcome step(sim::HeatState& heat, double dt_s, const sim::Feed& feed, const Bound& bound) override {
    return ++steps_ > good_steps ? refused() : CpuEngine::step(heat, dt_s, feed, bound);
  }
  Outcome step_whole(sim::HeatState& heat, double dt_s, const sim::Feed& feed, const Bound& bound) override {
    return steps_ > good_steps ? refused() : CpuEngine::step_whole(heat, dt_s, feed, bound);
  }

 private:
  static Outcome refused() {
    Outcome outcome;
    outcome.refused = true;
    return outcome;
  }
  int steps_ = 0;
};

}  // namespace warmbay::tests
