#pragma once
// Works out in the background where the wall is heading under its present conditions.

#include <functional>
#include <memory>
#include <mutex>
#include <optional>

#include "render/background.hpp"
#include "render/panels/screen_state.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

class HeadingGuess {
 public:
  /// news: called on the background thread when there is an answer; may be empty.
  explicit HeadingGuess(std::function<void()> news) : news_(std::move(news)) {}

  /// Looks at the present picture and asks for an answer when its conditions have been the same for a moment.
  /// wall_clock_s: any steady clock. Returns what is known about exactly these conditions, if anything.
  [[nodiscard]] std::optional<Heading> look(const std::shared_ptr<const sim::Snapshot>& now, double wall_clock_s);

 private:
  struct Answer {
    std::shared_ptr<const sim::Wall> wall;
    sim::Conditions conditions;
    Heading heading;
  };

  std::function<void()> news_;
  std::shared_ptr<const sim::Wall> wall_;  // asked about, or about to be
  sim::Conditions conditions_;
  double since_s_ = 0.0;
  bool asked_ = false;
  std::mutex mutex_;
  std::optional<Answer> answer_;
  Background background_;  // last: its job uses everything above
};

}  // namespace warmbay::render
