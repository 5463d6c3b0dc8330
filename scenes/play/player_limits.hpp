#pragma once
// What the player calls settled, over its rating, and the same moment. Each number: unit, why this one, what changing
// it does.

namespace warmbay::scenes::player_limits {

/// K/s. A wall is called settled when nothing in it changes faster than 1 K per hour: the steadiness that
/// temperature-rise tests of electrical assemblies ask for (IEC 61439-1, from memory). With a time constant of 20 min
/// the rest of the way is then 0.3 K. Larger: called settled too early; much smaller: lost in float rounding (2e-6
/// K/s).
inline constexpr double settled_k_s = 1.0 / 3600.0;

/// s. Nothing is called settled sooner after a change: a slow wall hardly moves at first.
inline constexpr double settled_earliest_s = 60.0;

/// K. A conductor that passed its rating must cool this far below it before passing it again is told again.
inline constexpr double over_rating_rearm_k = 1.0;

/// s. Times closer than this are the same moment: sums of frame times round differently from their product.
inline constexpr double same_moment_s = 1e-6;

/// s. back() within this time after a step began goes to the step before.
inline constexpr double just_begun_s = 1.0;

}  // namespace warmbay::scenes::player_limits
