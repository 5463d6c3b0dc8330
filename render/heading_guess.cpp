// Where it is heading.

#include "render/heading_guess.hpp"

#include "render/rating.hpp"

namespace warmbay::render {

namespace {
constexpr double still_s = 0.4;  // wall clock that conditions must rest before a solve is worth it
}

std::optional<Heading> HeadingGuess::look(const std::shared_ptr<const sim::Snapshot>& now, double wall_clock_s) {
  if (!now) return std::nullopt;
  if (now->wall != wall_ || !(now->conditions == conditions_)) {
    wall_ = now->wall;
    conditions_ = now->conditions;
    since_s_ = wall_clock_s;
    asked_ = false;
  }
  if (!asked_ && wall_clock_s - since_s_ >= still_s) {
    asked_ = true;
    background_.ask([this, now] {
      // One thread: the transient and the drawing have more use for the others.
      const sim::Settled settled = sim::settle(now->wall, now->conditions, 1, now.get());
      Heading heading{settled.outcome, 0.0};
      if (settled.state) heading.hottest_k = rate(*now->wall, settled.state->reading).hottest_k;
      {
        const std::lock_guard lock(mutex_);
        answer_ = Answer{now->wall, now->conditions, heading};
      }
      if (news_) news_();
    });
  }
  const std::lock_guard lock(mutex_);
  if (!answer_ || answer_->wall != wall_ || !(answer_->conditions == conditions_)) return std::nullopt;
  return answer_->heading;
}

}  // namespace warmbay::render
