#pragma once
// Plays the steps of a scene on the bench: what changes when, when a step ends, what was read, what happened.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenes/play/changes.hpp"
#include "scenes/play/event.hpp"
#include "scenes/scene.hpp"
#include "scenes/text/text.hpp"
#include "sim/bench.hpp"

namespace warmbay::scenes {

/// How a step ended.
struct StepEnd {
  int step = -1;
  double start_s = 0.0;
  double end_s = 0.0;
  std::string ended_by;  // "settled", "channel > 90", ...; empty: its hold or the run was over, or someone went on.
                         // "ignition-risk": the model ended, whatever the step waited for
  sim::Reading reading;  // at its end
};

struct PlayerOptions {
  int threads = 0;
  sim::EngineFactory engine = {};    // what computes the heat; empty: the processor
  bool stop_between_steps = false;   // the window: wait for next() at the end of a step; `run` goes straight on
  std::optional<double> step_s;      // every internal step, split and not mended; default: as the bench lays them out
  double every_s = 5.0;              // spacing of the rows of readings(), s
  std::size_t most_rows = 0;         // of readings(); beyond, every second is dropped (readings_log.hpp). 0: any number
  std::optional<double> end_s;       // simulated time at which everything ends; default: with the last step
  std::shared_ptr<const Text> text;  // sentences for Event::text; without it they stay empty
};

/// Not thread-safe: one thread owns a player.
class Player {
 public:
  Player(std::shared_ptr<const Scene> scene, std::shared_ptr<const sim::Wall> wall, const PlayerOptions& options);

  [[nodiscard]] const Scene& scene() const;
  [[nodiscard]] const sim::Bench& bench() const;
  /// The next call comes from another thread.
  void leave_thread();
  /// The bench's clock: the end of the last internal step, s.
  [[nodiscard]] double time_s() const;

  /// Index of the step being played; -1 when the scene has none.
  [[nodiscard]] int step() const;
  /// Seconds of simulated time since this step began, and its hold, s (0: no steps).
  [[nodiscard]] double step_elapsed_s() const;
  [[nodiscard]] double step_hold_s() const;
  /// The player waits for next() or go_on(): the step has ended (with stop_between_steps, or the last one), something
  /// named in its stop_at happened, options.end_s is reached, or the model has ended.
  [[nodiscard]] bool waiting() const;
  /// What this step stopped at ("settled", "over-rating", "channel > 90", ...), or empty.
  [[nodiscard]] const std::string& stopped_by() const;
  /// While waiting: the step itself is over (else it was stopped on its way, and go_on() plays the rest of its hold).
  [[nodiscard]] bool step_over() const;
  /// A surface has passed its ignition temperature: the experiment is over. advance(), next(), go_on() and apply() do
  /// nothing any more; back() and reset() lead out of it.
  [[nodiscard]] bool ended() const;
  /// A temperature is not a number: the bench keeps its last good state and moves no more (sim::Bench::broken).
  [[nodiscard]] bool broken() const;

  /// Applies a change now; it is logged, so that a save file or an undo can tell what was done when. It holds until a
  /// step names the same quantity. A name that the wall does not have is ignored, and so is closing a device that is
  /// not open.
  void apply(const Change& change);
  [[nodiscard]] const std::vector<TimedChange>& changes() const;

  /// Runs simulated time forward by `seconds`, in whole internal steps: the player keeps the time asked for so far, and
  /// the bench is less than one internal step ahead of it. So the temperatures do not depend on how the calls are cut
  /// up. Returns early when the player waits.
  void advance(double seconds);
  /// One internal step of the bench.
  void single_step();

  /// Goes on to the next step at once (its changes are applied now). At the last step: nothing.
  void next();
  /// Goes on in the same step: after a stop on its way, with the rest of its hold; after its end, without an end.
  void go_on();
  /// Back to the state in which the current step began, or, when just begun (< 1 s), the step before.
  void back();
  /// The opening state, bit-identically.
  void reset();

  /// Counts up whenever anything logged is taken back: while it stays, events, readings and changes only grow.
  [[nodiscard]] long long revision() const;
  [[nodiscard]] const std::vector<Event>& events() const;
  /// Rows at t = 0, every_s, 2 every_s, ... up to now (twice as far apart each time that they were too many),
  /// interpolated linearly between internal steps. A row that falls on the moment of a change shows the moment before
  /// it (but the first row shows the first step begun).
  [[nodiscard]] const std::vector<sim::Reading>& readings() const;
  /// The steps that have ended, in the order they were played.
  [[nodiscard]] const std::vector<StepEnd>& step_ends() const;

 private:
  struct Impl;
  std::shared_ptr<Impl> impl_;
};

}  // namespace warmbay::scenes
