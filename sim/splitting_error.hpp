#pragma once
// How far a split step (sim/stepper.hpp) is from the trapezoidal rule that it approximates.

#include <algorithm>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/crew.hpp"
#include "sim/heat_state.hpp"

namespace warmbay::sim {

/// With T the temperatures half way through a step, d what it changed, C the capacities and R(T) the heat that then
/// flows into a voxel, the trapezoidal rule solved whole has C d / dt = R(T). Splitting and ballast leave
/// s = C d / dt - R(T), a source of heat that is not there.
struct SplittingError {
  double off_k = 0.0;     // largest |s| / (C / dt + G), G being all of a voxel's conductances
  double astray_w = 0.0;  // sum of |s|
  void include(const SplittingError& other) {
    off_k = std::max(off_k, other.off_k);
    astray_w += other.astray_w;
  }
};

/// Of the step of state.change_s that has led to `state`; where every temperature was rounded to is no error.
/// copper_before: K above the datum before it, per cable and node. The same for any number of threads.
[[nodiscard]] SplittingError splitting_error(const Conduction& wall, Crew& crew, const HeatState& state,
                                             const std::vector<std::vector<double>>& copper_before);

}  // namespace warmbay::sim
