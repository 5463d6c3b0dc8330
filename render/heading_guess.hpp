#pragma once
// Works out in the background where the wall is heading under its present conditions, damaged as it is.

#include <functional>
#include <memory>
#include <mutex>
#include <optional>

#include "render/background.hpp"
#include "render/heading_told.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

class HeadingGuess {
 public:
  /// news: called on the background thread when there is an answer; may be empty.
  explicit HeadingGuess(std::function<void()> news) : news_(std::move(news)) {}

  /// Looks at the present picture and asks for an answer when its conditions have been the same for a moment; again
  /// when the wall has given way since. Nothing is asked where it would mean nothing (heading_matters).
  /// wall_clock_s: any steady clock. Returns what is known about these conditions, if anything.
  [[nodiscard]] std::optional<Heading> look(const std::shared_ptr<const sim::Snapshot>& now, double wall_clock_s);

  /// Where there are no threads: answers what was asked, if anything.
  void take_turn() { background_.take_turn(); }

 private:
  struct Question {
    std::shared_ptr<const sim::Wall> wall;
    sim::Conditions conditions;
    friend bool operator==(const Question&, const Question&) = default;
  };
  struct Answer {
    Question question;
    Heading heading;
  };
  void ask(const std::shared_ptr<const sim::Snapshot>& now);

  std::function<void()> news_;
  Question question_;  // asked, or about to be
  double since_s_ = 0.0;
  bool asked_ = false;
  double asked_void_m3_ = 0.0;  // how much had gone when it was asked
  double asked_s_ = 0.0;
  std::mutex mutex_;
  bool busy_ = false;
  std::optional<Answer> answer_;
  Background background_;  // last: its job uses everything above
};

}  // namespace warmbay::render
