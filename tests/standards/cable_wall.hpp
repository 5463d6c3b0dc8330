#pragma once
// The wall that independent libraries solve beside ours.

#include "sim/wall.hpp"

namespace warmbay::tests {

/// Gypsum board on 60 mm of foam with a channel of (still) air and a flat cable of two 14 AWG conductors in it, over
/// half of its length in mortar instead, so that the copper carries heat along. varies false: constant conductivities
/// and given films; true: foam that conducts better when warm, natural films on both sides. Surroundings 24 °C and 30
/// °C.
[[nodiscard]] sim::Wall cable_wall(bool varies, double coarse_m, double fine_m);

}  // namespace warmbay::tests
