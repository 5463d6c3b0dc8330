#pragma once
// Which step lengths a wall bears.

#include <functional>

#include "sim/conduction.hpp"
#include "sim/heat_state.hpp"

namespace warmbay::sim {

/// The longest step, wanted_s halved as often as it takes, at which random temperatures do not grow in this wall.
/// Frozen conductances, no current, surroundings at the datum. run: takes so many steps of a length from a state.
[[nodiscard]] double longest_stable_step_s(const Conduction& wall, double wanted_s,
                                           const std::function<void(HeatState&, double step_s, int steps)>& run);

}  // namespace warmbay::sim
