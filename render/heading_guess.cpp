// Where it is heading.

#include "render/heading_guess.hpp"

#include "render/rating.hpp"

namespace warmbay::render {

namespace {
// Wall clock.
constexpr double still_s = 0.4;  // that conditions must rest before a solve is worth it
constexpr double again_s = 3.0;  // between two solves while the wall gives way
}  // namespace

std::optional<Heading> HeadingGuess::look(const std::shared_ptr<const sim::Snapshot>& now, double wall_clock_s) {
  if (!now || !heading_matters(*now)) {
    question_ = {};  // whatever comes after is another question
    return std::nullopt;
  }
  const Question question{now->wall, now->conditions};
  const std::lock_guard lock(mutex_);
  const bool healed = asked_ && now->reading.void_m3 < asked_void_m3_;  // the experiment has gone back
  if (healed) answer_.reset();
  if (healed || !(question == question_)) {
    question_ = question;
    since_s_ = wall_clock_s;
    asked_ = false;
  }
  const bool gave_way = asked_ && now->reading.void_m3 != asked_void_m3_ && wall_clock_s - asked_s_ >= again_s;
  if (!busy_ && (asked_ ? gave_way : wall_clock_s - since_s_ >= still_s)) {
    asked_ = true;
    asked_s_ = wall_clock_s;
    asked_void_m3_ = now->reading.void_m3;
    busy_ = true;
    ask(now);
  }
  if (!answer_ || !(answer_->question == question_)) return std::nullopt;
  return answer_->heading;
}

void HeadingGuess::ask(const std::shared_ptr<const sim::Snapshot>& now) {
  background_.ask([this, now] {
    // One thread: the transient and the drawing have more use for the others. The snapshot brings its damage along.
    Heading heading{sim::SettledOutcome::stalled, 0.0};  // also where there is no memory for it: not known
    try {
      const sim::Settled settled = sim::settle(now->wall, now->conditions, 1, now.get());
      heading.outcome = settled.outcome;
      if (settled.state) heading.hottest_k = rate(*now->wall, settled.state->reading).hottest_k;
    } catch (const std::exception&) {
      heading = {sim::SettledOutcome::stalled, 0.0};
    }
    {
      const std::lock_guard lock(mutex_);
      answer_ = Answer{{now->wall, now->conditions}, heading};
      busy_ = false;
    }
    if (news_) news_();
  });
}

}  // namespace warmbay::render
