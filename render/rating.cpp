// The hottest conductor against its rating.

#include "render/rating.hpp"

namespace warmbay::render {

Rating rate(const sim::Wall& wall, const sim::Reading& reading) {
  Rating rating;
  for (std::size_t i = 0; i < wall.cables.size() && i < reading.cables.size(); ++i) {
    const double hottest_k = reading.cables[i].hottest_k;
    const double rated_k = wall.cables[i].type.rated_k;
    if (rating.cable >= 0 && hottest_k - rated_k <= rating.hottest_k - rating.rated_k) continue;
    rating.cable = static_cast<int>(i);
    rating.hottest_k = hottest_k;
    rating.rated_k = rated_k;
  }
  if (rating.cable < 0) return rating;
  const double above_k = rating.hottest_k - rating.rated_k;
  rating.state = above_k > 0.0 ? RatingState::over : above_k > -near_rating_k ? RatingState::near : RatingState::within;
  return rating;
}

}  // namespace warmbay::render
