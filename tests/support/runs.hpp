#pragma once
// Running a bench to given times, and settling a wall, as tests want it.

#include <memory>
#include <vector>

#include "sim/bench.hpp"
#include "sim/conduction.hpp"
#include "sim/heat_state.hpp"
#include "sim/settled.hpp"

namespace warmbay::tests {

/// A bench that starts at start_c everywhere.
[[nodiscard]] sim::Bench bench_at(std::shared_ptr<const sim::Wall> wall, double start_c, double step_s,
                                  int threads = 1);
/// Runs to time_s exactly (a step ends there) and reads.
sim::Reading read_at(sim::Bench& bench, double time_s);
/// Reading of thermocouple n, °C.
[[nodiscard]] double celsius(const sim::Reading& reading, int n);
/// The wall's own conditions with a current.
[[nodiscard]] sim::Conditions with_current(const sim::Wall& wall, double current_a);

/// The settled reading of a wall; fails the test (throws) when it does not settle to a balance of 1e-5.
[[nodiscard]] sim::Reading settled_reading(const std::shared_ptr<const sim::Wall>& wall, double current_a = 0.0);

/// Everything as warm as that, K above the datum: voxels, surroundings, padding and copper. No step was taken yet.
[[nodiscard]] sim::HeatState even_heat(const sim::Conduction& conduction, double rise_k);

}  // namespace warmbay::tests
