#pragma once
// How the hottest conductor stands against what its cable is rated for.

#include "sim/snapshot.hpp"

namespace warmbay::render {

enum class RatingState { none, within, near, over };

struct Rating {
  RatingState state = RatingState::none;
  int cable = -1;          // the one that is worst off: hottest compared with its own rating
  double hottest_k = 0.0;  // its hottest conductor point
  double rated_k = 0.0;
};

/// Closer to the rated temperature than this counts as near, K. A choice for the screen, not of any standard.
inline constexpr double near_rating_k = 5.0;

[[nodiscard]] Rating rate(const sim::Wall& wall, const sim::Reading& reading);

}  // namespace warmbay::render
