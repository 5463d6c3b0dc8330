#pragma once
// The JSON objects that the commands print: keys and their order as the contract of the commands has them.

#include <string>
#include <vector>

#include "scenes/play/event.hpp"
#include "sim/bench.hpp"
#include "sim/settled.hpp"

namespace warmbay::scenes {

/// The state of a wall in °C and W, as `settle --json` prints it. seconds: wall clock. balance: see heat_balance().
struct StateOutput {
  std::string title;
  const sim::Wall& wall;
  const sim::Conditions& conditions;
  const sim::Reading& reading;
  double seconds = 0.0;
  double balance = 0.0;
};

/// What `run` adds to it.
struct RunOutput {
  double simulated_s = 0.0;
  double wall_clock_s = 0.0;
  sim::Bench::Energy energy{};
  const std::vector<Event>& events;
};

/// |sources - heat out| / max(|sources|, largest |heat_w|), or 0 when no heat flows at all.
[[nodiscard]] double heat_balance(const sim::Reading& reading);

/// Every number of a reading is finite: what may be printed.
[[nodiscard]] bool all_finite(const sim::Reading& reading);

[[nodiscard]] std::string state_json(const StateOutput& state);
[[nodiscard]] std::string run_json(const StateOutput& state, const RunOutput& run);
[[nodiscard]] std::string limit_json(const sim::Wall& wall, int cable, double limit_k, const sim::Limit& limit);

}  // namespace warmbay::scenes
