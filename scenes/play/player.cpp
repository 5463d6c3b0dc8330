// Plays the steps of a scene on the bench.
//
// The bench runs in whole internal steps and is the only clock that counts: changes, events and the ends of steps all
// lie on ends of internal steps, so nothing depends on how the calls to advance() are cut up. A checkpoint is kept of
// the moment each step began; going back is restoring one and forgetting what was logged after it.

#include "scenes/play/player.hpp"

#include <algorithm>
#include <cassert>
#include <limits>

#include "scenes/play/conditions.hpp"
#include "scenes/play/player_limits.hpp"
#include "scenes/play/readings_log.hpp"
#include "scenes/play/watch.hpp"
#include "scenes/read/by_name.hpp"
#include "scenes/text/text_fill.hpp"

namespace warmbay::scenes {

namespace {

constexpr double forever_s = std::numeric_limits<double>::infinity();
using player_limits::same_moment_s;

sim::BenchOptions bench_options(const Scene& scene, const PlayerOptions& options) {
  sim::BenchOptions bench;
  bench.threads = options.threads;
  bench.engine = options.engine;
  bench.start_k = scene.wall.start_k;
  if (options.step_s) {
    bench.step_s = bench.longest_step_s = *options.step_s;
    bench.mends = false;  // whoever asks for such steps measures the split step's own error
  }
  return bench;
}

}  // namespace

struct Player::Impl {
  struct Checkpoint {
    sim::BenchState bench;
    sim::Reading reading;
    Watch watch;
    std::size_t events, changes, step_ends;
  };

  std::shared_ptr<const Scene> scene;
  std::shared_ptr<const sim::Wall> wall;
  PlayerOptions options;
  sim::Bench bench;
  Watch watch;
  ReadingsLog log;
  sim::Reading last;  // at the end of the last internal step, or just after the last change
  std::vector<Event> events;
  std::vector<TimedChange> changes;
  std::vector<StepEnd> step_ends;
  std::vector<Checkpoint> checkpoints;  // of step i (or, with no steps, of the opening state)

  double asked_s = 0.0;  // the time that the calls to advance() have asked for so far
  int step = -1;
  double step_start_s = 0.0;
  double hold_end_s = forever_s;
  bool waiting = false;
  bool step_over = false;
  std::string stopped_by;
  long long revision = 0;

  Impl(std::shared_ptr<const Scene> the_scene, std::shared_ptr<const sim::Wall> the_wall, const PlayerOptions& opts)
      : scene(std::move(the_scene)),
        wall(std::move(the_wall)),
        options(opts),
        bench(wall, bench_options(*scene, options)),
        watch(wall, options.text),
        log(options.every_s, options.most_rows) {
    if (scene->steps.empty()) {
      set_conditions(first_conditions(*scene, *wall));
      log.start(last);
      checkpoint();
    } else {
      begin_step(0);
    }
  }

  [[nodiscard]] bool has_next() const { return step >= 0 && step + 1 < static_cast<int>(scene->steps.size()); }
  [[nodiscard]] double end_s() const { return options.end_s.value_or(forever_s); }
  [[nodiscard]] bool at_end() const { return bench.time_s() >= end_s() - same_moment_s; }
  [[nodiscard]] const Step* current_step() const {
    return step < 0 ? nullptr : &scene->steps[static_cast<std::size_t>(step)];
  }

  void lay_segment_end() { bench.set_segment_end(std::min(hold_end_s, end_s())); }

  void set_conditions(const sim::Conditions& conditions) {
    bench.set_conditions(conditions);
    begin_segment();
  }

  // What a person changes: one function for each type of Change, so that a type without one does not compile. Each says
  // whether anything has changed; a name that the wall does not have changes nothing.

  bool carry_out(const SetSupply& change) {
    sim::Conditions next = bench.conditions();
    next.supply = change.kind;
    return change_to(next);
  }
  bool carry_out(const SetDevice& change) {
    const int i = index_by_name(wall->devices, change.name);
    if (i < 0 && !change.name.empty()) return false;
    sim::Conditions next = bench.conditions();
    next.device = i;
    return change_to(next);
  }
  bool carry_out(const SetTripTime& change) {
    sim::Conditions next = bench.conditions();
    next.trip_time = change.where;
    return change_to(next);
  }
  bool carry_out(const SetCurrent& change) {
    sim::Conditions next = bench.conditions();
    next.current_a = change.current_a;
    return change_to(next);
  }
  bool carry_out(const SetSurroundings& change) {
    const int i = index_by_name(wall->surroundings, change.name);
    if (i < 0) return false;
    sim::Conditions next = bench.conditions();
    next.surroundings_k[static_cast<std::size_t>(i)] = change.temperature_k;
    return change_to(next);
  }
  bool carry_out(const ResetDevice&) {
    if (!last.device_open) return false;
    bench.reset_device();
    begin_segment();
    return true;
  }
  /// A slider at rest sends the same value again: that must not start a new ladder of internal steps.
  bool change_to(const sim::Conditions& next) {
    if (next == bench.conditions()) return false;
    set_conditions(next);
    return true;
  }

  /// After whatever changed by hand or by a step: the bench goes on from here.
  void begin_segment() {
    lay_segment_end();
    watch.conditions_changed(bench.time_s(), bench.conditions());
    last = bench.reading();
  }

  void resume() {
    waiting = false;
    step_over = false;
    stopped_by.clear();
    asked_s = bench.time_s();
  }

  void checkpoint() {
    checkpoints.push_back({bench.save(), last, watch, events.size(), changes.size(), step_ends.size()});
  }

  /// A step that names its device begins with it closed, also when it is the one that has opened.
  void close_device() {
    bench.reset_device();
    last = bench.reading();
  }

  void begin_step(int index) {
    resume();
    step = index;
    const Step& now = *current_step();
    step_start_s = bench.time_s();
    hold_end_s = step_start_s + now.hold_s;
    set_conditions(conditions_of_step(*scene, *wall, step, bench.conditions()));
    if (now.device) close_device();
    if (log.rows().empty()) log.start(last);
    const std::string text = !options.text
                                 ? ""
                                 : fill((*options.text)("event.step"), fmt::arg("number", step + 1),
                                        fmt::arg("current_a", last.current_a), fmt::arg("hold_min", now.hold_s / 60.0));
    events.push_back({step_start_s, "step", now.title, static_cast<double>(step + 1), text});
    checkpoint();
  }

  void record_step_end(const std::string& ended_by) {
    if (step < 0) return;
    // Going on after the end of a step, and then to the next, must not end it twice.
    if (!step_ends.empty() && step_ends.back().step == step) return;
    step_ends.push_back({step, step_start_s, bench.time_s(), ended_by, last});
  }

  void wait(const std::string& why, bool over) {
    waiting = true;
    step_over = over;
    stopped_by = why;
    asked_s = bench.time_s();
  }

  void end_step(const std::string& ended_by) {
    record_step_end(ended_by);
    if (at_end()) return wait(ended_by, true);
    if (options.stop_between_steps) return wait(ended_by, true);
    if (has_next()) return begin_next_running();
    if (options.end_s) return run_over();
    wait(ended_by, true);
  }

  /// The model ends here: whatever the step or the run still had before it.
  void end_experiment() {
    const std::string why(event_name(sim::Happening::ignition_risk));
    record_step_end(why);
    wait(why, true);
  }

  /// Straight on to the next step, without losing time that advance() still has to run.
  void begin_next_running() {
    const double asked = asked_s;
    begin_step(step + 1);
    asked_s = asked;
  }

  /// Holds the last conditions beyond the end of the step. A new segment: the last one may have ended in a cut step.
  void run_over() {
    hold_end_s = forever_s;
    set_conditions(bench.conditions());
  }

  /// One internal step and everything that follows from it.
  void run_one() {
    const double length_s = bench.step();
    if (length_s > 0.0) {
      const sim::Reading now = bench.reading();
      if (log.add(last, now)) ++revision;
      last = now;
    }
    const std::vector<Event> seen = watch.look(last, bench.fastest_change_k_s(), bench.occurrences());
    events.insert(events.end(), seen.begin(), seen.end());
    if (bench.ended()) return end_experiment();
    if (bench.broken()) return wait("", false);

    const std::string ended_by = until_reached(seen);
    const double segment_end_s = std::min(hold_end_s, end_s());
    if (!ended_by.empty()) {
      end_step(ended_by);
    } else if (length_s <= 0.0 || bench.time_s() >= segment_end_s - same_moment_s) {
      end_step("");
    } else if (const std::string stop = stop_reached(seen); !stop.empty()) {
      wait(stop, false);
    }
  }

  /// What of the step's `until` has come true, or empty.
  [[nodiscard]] std::string until_reached(const std::vector<Event>& seen) const {
    const Step* now = current_step();
    if (now == nullptr || hold_end_s == forever_s) return "";
    if (const auto& above = now->until_reading) {
      const int i = index_by_name(wall->thermocouples, above->reading);
      if (i >= 0 && last.thermocouple_k[static_cast<std::size_t>(i)] > above->above_k)
        return fmt::format("{} > {:g}", above->reading, sim::celsius_from_kelvin(above->above_k));
      return "";
    }
    const bool happened = std::any_of(seen.begin(), seen.end(), [&](const Event& e) { return e.event == now->until; });
    return happened ? now->until : "";
  }

  [[nodiscard]] std::string stop_reached(const std::vector<Event>& seen) const {
    const Step* now = current_step();
    if (now == nullptr || !options.stop_between_steps) return "";
    for (const Event& e : seen)
      if (std::find(now->stop_at.begin(), now->stop_at.end(), e.event) != now->stop_at.end()) return e.event;
    return "";
  }

  void restore(std::size_t index) {
    ++revision;
    checkpoints.resize(index + 1);
    const Checkpoint& from = checkpoints.back();
    bench.restore(from.bench);
    last = from.reading;
    watch = from.watch;
    log.forget_after(bench.time_s());
    events.resize(from.events);
    changes.resize(from.changes);
    step_ends.resize(from.step_ends);
    step = scene->steps.empty() ? -1 : static_cast<int>(index);
    step_start_s = bench.time_s();
    hold_end_s = step < 0 ? forever_s : step_start_s + current_step()->hold_s;
    lay_segment_end();
    resume();
  }
};

Player::Player(std::shared_ptr<const Scene> scene, std::shared_ptr<const sim::Wall> wall, const PlayerOptions& options)
    : impl_(std::make_shared<Impl>(std::move(scene), std::move(wall), options)) {
  assert(options.every_s > 0.0);
}

const Scene& Player::scene() const {
  return *impl_->scene;
}
void Player::leave_thread() {
  impl_->bench.leave_thread();
}
const sim::Bench& Player::bench() const {
  return impl_->bench;
}
double Player::time_s() const {
  return impl_->bench.time_s();
}
int Player::step() const {
  return impl_->step;
}
double Player::step_elapsed_s() const {
  return impl_->bench.time_s() - impl_->step_start_s;
}
double Player::step_hold_s() const {
  return impl_->step < 0 ? 0.0 : impl_->current_step()->hold_s;
}
bool Player::waiting() const {
  return impl_->waiting;
}
bool Player::step_over() const {
  return impl_->step_over;
}
bool Player::ended() const {
  return impl_->bench.ended();
}
bool Player::broken() const {
  return impl_->bench.broken();
}
const std::string& Player::stopped_by() const {
  return impl_->stopped_by;
}
const std::vector<TimedChange>& Player::changes() const {
  return impl_->changes;
}
long long Player::revision() const {
  return impl_->revision;
}
const std::vector<Event>& Player::events() const {
  return impl_->events;
}
const std::vector<sim::Reading>& Player::readings() const {
  return impl_->log.rows();
}
const std::vector<StepEnd>& Player::step_ends() const {
  return impl_->step_ends;
}

void Player::apply(const Change& change) {
  if (ended()) return;
  if (std::visit([&](const auto& one) { return impl_->carry_out(one); }, change))
    impl_->changes.push_back({time_s(), change});
}

void Player::advance(double seconds) {
  if (impl_->waiting) return;
  impl_->asked_s += seconds;
  while (!impl_->waiting && impl_->bench.time_s() < impl_->asked_s - same_moment_s) impl_->run_one();
}

void Player::single_step() {
  if (impl_->waiting) return;
  impl_->run_one();
  impl_->asked_s = impl_->bench.time_s();
}

void Player::next() {
  if (!impl_->has_next() || impl_->at_end() || ended() || broken()) return;
  impl_->record_step_end("");
  impl_->begin_step(impl_->step + 1);
}

void Player::go_on() {
  if (!impl_->waiting || impl_->at_end() || ended() || broken()) return;
  const bool over = impl_->step_over;
  impl_->resume();
  if (over) impl_->run_over();
}

void Player::back() {
  const std::size_t here = impl_->checkpoints.size() - 1;
  const bool just_begun = step_elapsed_s() < player_limits::just_begun_s;
  impl_->restore(just_begun && here > 0 ? here - 1 : here);
}

void Player::reset() {
  impl_->restore(0);
}

}  // namespace warmbay::scenes
