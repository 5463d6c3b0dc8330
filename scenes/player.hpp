#pragma once
// Plays the steps of a scene on the bench: what changes when, when a step ends, what was read, what happened.

#include <memory>
#include <string>
#include <vector>

#include "scenes/changes.hpp"
#include "scenes/scene.hpp"
#include "sim/bench.hpp"

namespace warmbay::scenes {

/// One line of events.csv. event: exactly a name of the contract ("step", "settled", "over-rating", ...).
struct Event {
  double time_s = 0.0;
  std::string event;
  std::string where;  // a cable's, thermocouple's or step's name
  double value = 0.0;
  std::string text;
};

struct PlayerOptions {
  int threads = 0;
  bool stop_between_steps = false;  // the window: wait for next() at the end of a step; `run` goes straight on
  double every_s = 5.0;             // spacing of the rows of readings(), s
};

/// Not thread-safe: one thread owns a player.
class Player {
 public:
  Player(std::shared_ptr<const Scene> scene, std::shared_ptr<const sim::Wall> wall, const PlayerOptions& options);

  [[nodiscard]] const Scene& scene() const;
  [[nodiscard]] const sim::Bench& bench() const;
  [[nodiscard]] double time_s() const;

  /// Index of the step being played; -1 when the scene has none.
  [[nodiscard]] int step() const;
  /// Seconds of simulated time since this step began, and its hold, s (0: no steps).
  [[nodiscard]] double step_elapsed_s() const;
  [[nodiscard]] double step_hold_s() const;
  /// The step has ended and the player waits for next() (only with stop_between_steps, or after the last step).
  [[nodiscard]] bool waiting() const;
  /// The event this step stopped at ("settled", "over-rating", ...), or empty.
  [[nodiscard]] const std::string& stopped_by() const;

  /// Applies a change now; it is logged, so that a save file or an undo can tell what was done when.
  void apply(const Change& change);
  [[nodiscard]] const std::vector<TimedChange>& changes() const;

  /// Runs simulated time forward to at most time_s() + seconds; returns early when a step ends and the player waits.
  void advance(double seconds);
  /// One internal step of the bench.
  void single_step();

  /// Goes on to the next step at once (its changes are applied now). At the last step: nothing.
  void next();
  /// Back to the state in which the current step began, or, when just begun (< 1 s), the step before.
  void back();
  /// The opening state, bit-identically.
  void reset();

  [[nodiscard]] const std::vector<Event>& events() const;
  /// Rows at t = 0, every_s, 2 every_s, ... up to now, interpolated linearly between internal steps.
  [[nodiscard]] const std::vector<sim::Reading>& readings() const;

 private:
  struct Impl;
  std::shared_ptr<Impl> impl_;
};

}  // namespace warmbay::scenes
