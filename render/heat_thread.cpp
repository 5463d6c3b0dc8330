// The heat's thread: commands in, pictures out. The wall clock only decides how many internal steps are due; what they
// compute depends on nothing but the wall and the changes.

#include "render/heat_thread.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <deque>
#include <mutex>
#include <optional>
#include <thread>

#include "render/background.hpp"
#include "render/new_wall.hpp"
#include "render/own_threads.hpp"
#include "render/pace.hpp"
#include "scenes/play/smoke.hpp"
#include "sim/crew.hpp"

namespace warmbay::render {

namespace {

using Seconds = std::chrono::duration<double>;
using WallClock = std::chrono::steady_clock;

constexpr double longest_chunk_s = 0.02;  // wall clock between two looks at the queue
constexpr double turn_chunk_s = 0.004;    // the same between two looks at the clock, within a turn between frames
constexpr double idle_look_s = 0.25;      // wall clock; nothing is due while paused, so this is only a safety net

int solver_threads(int asked) {
  if (asked > 0) return asked;
  return std::max(1, sim::usable_cores() - 1);
}

}  // namespace

double neighbour_factor(double factor, int direction) {
  const auto found = std::find(time_factors.begin(), time_factors.end(), factor);
  const auto index = found == time_factors.end() ? 0 : found - time_factors.begin();
  const auto last = static_cast<std::ptrdiff_t>(time_factors.size()) - 1;
  return time_factors[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(index + direction, 0, last))];
}

namespace {

/// Everything but temperatures.
void describe_progress(const scenes::Player& player, HeatNow& picture) {
  picture.changes = player.changes();
  picture.step = player.step();
  picture.step_elapsed_s = player.step_elapsed_s();
  picture.step_hold_s = player.step_hold_s();
  picture.waiting = player.waiting();
  picture.step_over = player.step_over();
  picture.stopped_by = player.stopped_by();
  picture.ended = player.ended();
  picture.broken = player.broken();
  picture.alarm_s = scenes::alarm_s(player.bench().wall().damage.smoke, player.readings());
}

}  // namespace

void describe(const scenes::Player& player, HeatNow& picture) {
  picture.snapshot = player.bench().snapshot();
  describe_progress(player, picture);
}

HeatNow picture_of(const scenes::Player& player, std::shared_ptr<const scenes::Scene> scene) {
  HeatNow picture;
  describe(player, picture);
  picture.scene = std::move(scene);
  auto history = std::make_shared<History>(empty_history(player.bench().wall()));
  extend(*history, player.readings());
  picture.history = history;
  picture.events = std::make_shared<std::vector<scenes::Event>>(player.events());
  picture.playing = true;
  picture.reached_factor = picture.factor;
  return picture;
}

struct HeatThread::Impl {
  const scenes::DataFiles data;
  const HeatOptions options;
  const std::function<void()> news;

  // Shared, under the mutex.
  mutable std::mutex mutex;
  std::condition_variable wake;
  std::deque<Command> queue;
  std::optional<Built> built;
  std::shared_ptr<const HeatNow> latest = std::make_shared<HeatNow>();
  int builds_asked = 0;
  int builds_done = 0;
  int opened_at = 0;  // the latest request for a scene's opening state
  bool stop = false;
  std::shared_ptr<const scenes::Scene> opening;

  // The heat thread's own.
  std::unique_ptr<scenes::Player> player;
  std::shared_ptr<const scenes::Scene> scene;
  std::shared_ptr<const History> history = std::make_shared<History>();
  std::shared_ptr<const std::vector<scenes::Event>> events = std::make_shared<std::vector<scenes::Event>>();
  Trouble trouble;
  int shown_build = 0;                   // whose wall the player plays
  std::vector<scenes::Change> for_next;  // made while a wall is built, and lost on the present one
  std::optional<double> alarm_s;         // first found; its row may be thinned out later
  std::shared_ptr<const scenes::Report> report;
  long long run = 0;            // HeatNow::run
  long long seen_revision = 0;  // of the player, when the lists were last copied
  bool playing;
  Pace pace;
  bool changed = true;
  WallClock::time_point handed_over{};
  std::shared_ptr<const sim::Snapshot> whole;  // the latest handed over with its own field; nullptr: the next must be
  WallClock::time_point whole_at{};
  std::atomic<bool> whole_wanted = false;
  const WallClock::time_point started = WallClock::now();

  Background builder;
  std::thread thread;

  Impl(scenes::DataFiles data_files, const HeatOptions& o, std::function<void()> on_news)
      : data(std::move(data_files)), options(o), news(std::move(on_news)), playing(o.playing), pace(o.factor) {
    if constexpr (own_threads) thread = std::thread([this] { loop(); });
  }

  ~Impl() {
    {
      const std::lock_guard lock(mutex);
      stop = true;
    }
    wake.notify_one();
    if (thread.joinable()) thread.join();
  }

  [[nodiscard]] double wall_clock_s() const { return Seconds(WallClock::now() - started).count(); }
  [[nodiscard]] bool running() const { return player && playing && !player->waiting(); }

  /// Whatever a turn throws ends the experiment, not the program.
  bool guarded_turn() {
    try {
      return turn();
    } catch (const std::exception& error) {
      give_up(reason_of(error));
      return false;
    }
  }

  void loop() {
    while (!guarded_turn()) {
    }
  }

  void take_turns(double longest_s) {
    if constexpr (own_threads) return;
    builder.take_turn();
    const double until_s = wall_clock_s() + longest_s;
    do {
      guarded_turn();
    } while (running() && wall_clock_s() < until_s && pace.due_in_s(wall_clock_s(), player->time_s()) <= 0.0);
  }

  /// Takes what has come in, does it, runs what is due, and waits for more. True: the thread is to end.
  bool turn() {
    std::unique_lock lock(mutex);
    if (stop) return true;
    std::deque<Command> commands;
    commands.swap(queue);
    std::optional<Built> fresh;
    fresh.swap(built);
    lock.unlock();

    if (fresh) take_over(std::move(*fresh));
    for (const Command& command : commands) std::visit([this](const auto& c) { obey(c); }, command);
    if (running()) run_due();
    // A command's effect is shown at once; mere running at most so many times a second.
    const bool at_once = fresh.has_value() || !commands.empty();
    const double since_s = Seconds(WallClock::now() - handed_over).count();
    if (at_once) whole.reset();
    if (at_once || (changed && since_s >= 1.0 / options.handovers_hz)) hand_over();

    lock.lock();
    if (stop || !queue.empty() || built) return stop;
    if constexpr (own_threads) {
      const double wait_s = next_look_s();
      if (wait_s > 0.0) wake.wait_for(lock, Seconds(wait_s));
    }
    return stop;
  }

  /// The player may be in the middle of anything, and what it holds is wanted back: it goes. The last picture stays.
  void give_up(Reason reason) {
    player.reset();
    whole.reset();
    playing = false;
    trouble = {Trouble::What::stopped, std::move(reason)};
    changed = true;
    // Where even the picture of that found no room, it is tried again, but not in a hurry.
    if constexpr (!own_threads) return;
    std::unique_lock lock(mutex);
    if (!stop) wake.wait_for(lock, Seconds(1.0 / options.handovers_hz));
  }

  [[nodiscard]] double next_look_s() const {
    if (changed) return running() && pace.factor() == 0.0 ? 0.0 : 1.0 / options.handovers_hz / 4.0;
    if (!running()) return idle_look_s;
    return std::min(pace.due_in_s(wall_clock_s(), player->time_s()), 1.0 / options.handovers_hz);
  }

  void run_due() {
    const double before_s = player->time_s();
    const double begin_s = wall_clock_s();
    const double due_s = pace.due_s(begin_s, before_s, own_threads ? longest_chunk_s : turn_chunk_s);
    if (due_s <= 0.0) return;
    player->advance(due_s);
    const double ran_s = player->time_s() - before_s;
    pace.ran(ran_s, wall_clock_s() - begin_s, wall_clock_s(), player->time_s());
    if (ran_s > 0.0 || player->waiting()) changed = true;
  }

  void restart_pace() {
    if (player) pace.restart(wall_clock_s(), player->time_s());
    changed = true;
  }

  void take_over(Built fresh) {
    {
      const std::lock_guard lock(mutex);
      builds_done = fresh.number;
    }
    if (fresh.player) {
      try {
        bring_there(fresh);
      } catch (const std::exception& error) {
        fresh.player.reset();
        fresh.reason = reason_of(error);
      }
    }
    changed = true;
    if (!fresh.player) {
      trouble = {Trouble::What::not_built, std::move(fresh.reason)};
      return;
    }
    trouble = {};
    player = std::move(fresh.player);
    scene = fresh.scene;
    shown_build = fresh.number;
    if (!another_scene_comes()) for_next.clear();
    alarm_s.reset();
    begin_run();
    restart_pace();
  }

  /// The conditions of this moment, not those when the wall was asked for: people go on changing things meanwhile.
  void bring_there(const Built& fresh) {
    if (shown_build >= fresh.opens_at) {
      if (player) {
        carry_on(*fresh.player, handed_on(player->step(), player->bench().wall(), player->bench().conditions()));
      } else if (const auto last = picture_now(); last->snapshot) {
        carry_on(*fresh.player, handed_on(last->step, *last->snapshot->wall, last->snapshot->conditions));
      }
    }
    for (const scenes::Change& change : for_next) fresh.player->apply(change);
  }

  [[nodiscard]] std::shared_ptr<const HeatNow> picture_now() const {
    const std::lock_guard lock(mutex);
    return latest;
  }

  /// Its opening state will not be this player's: what is changed must be kept for it.
  [[nodiscard]] bool another_scene_comes() const {
    const std::lock_guard lock(mutex);
    return opened_at > shown_build;
  }

  /// While a wall is built: changes that the present player would not hand on to it.
  [[nodiscard]] bool lost_on_present() const {
    const std::lock_guard lock(mutex);
    if (builds_done >= builds_asked) return false;
    return !player || player->ended() || opened_at > shown_build;
  }

  void obey(const scenes::Change& change) {
    if (lost_on_present())
      for_next.push_back(change);
    else
      for_next.clear();  // the present conditions are the newer ones
    if (!player) return;
    player->apply(change);
    // Whoever moves a control while a step's end is on the screen wants to see what it does.
    if (playing && player->waiting()) go_on();
    changed = true;
  }
  void go_on() {
    player->go_on();
    restart_pace();
  }
  void obey(const Play& wish) {
    playing = wish.playing && trouble.what != Trouble::What::stopped;
    if (player && playing && player->waiting()) player->go_on();
    restart_pace();
  }
  void obey(const SetFactor& wish) {
    pace.set_factor(wish.factor);
    restart_pace();
  }
  void obey(const SingleStep&) {
    playing = false;
    if (player && player->waiting()) player->go_on();
    if (player) player->single_step();
    changed = true;
  }
  void obey(const NextStep&) {
    if (!player) return;
    player->next();
    restart_pace();
  }
  void obey(const PreviousStep&) {
    if (!player) return;
    player->back();
    restart_pace();
  }
  void obey(const ResetExperiment&) {
    if (!player) {
      if (scene) ask(scene, false);  // the experiment was given up: its wall is built again
      return;
    }
    player->reset();
    restart_pace();
  }

  void obey(const MakeReport& wish) {
    if (!player || !scene || !options.text) return;
    report = std::make_shared<const scenes::Report>(
        scenes::make_report({*scene, data, *options.text, *wish.palette, player->readings(), player->events(),
                             player->step_ends(), player->bench().snapshot(), player->bench().energy()}));
    changed = true;
  }

  /// Nothing that was listed of the run before is of this one.
  void begin_run() {
    ++run;
    seen_revision = player->revision();
    history = std::make_shared<History>(empty_history(player->bench().wall()));
    events = std::make_shared<std::vector<scenes::Event>>();
  }

  /// Rows and events are copied only when there are new ones; a picture shares those of the one before otherwise.
  void refresh_lists() {
    if (player->revision() != seen_revision) begin_run();
    const auto& rows = player->readings();
    if (rows.size() > history->time_s.size()) {
      auto next = std::make_shared<History>(*history);
      extend(*next, rows);
      history = std::move(next);
    }
    if (player->events().size() != events->size())
      events = std::make_shared<std::vector<scenes::Event>>(player->events());
  }

  /// Where the drawing has the field from the card, the host's is fetched now and then only, and when all stands still.
  void take_temperatures(HeatNow& picture) {
    const sim::Bench& bench = player->bench();
    picture.field = std::dynamic_pointer_cast<const card::SharedField>(bench.share_field());
    const bool due = Seconds(WallClock::now() - whole_at).count() >= 1.0 / options.whole_hz;
    if (picture.field && whole && !due && running() && !whole_wanted) {
      picture.snapshot = bench.snapshot_beside(*whole);
      return;
    }
    picture.snapshot = whole = bench.snapshot();
    whole_at = WallClock::now();
  }

  void hand_over() {
    auto picture = std::make_shared<HeatNow>();
    if (!player) {  // what was on the screen stays; the card's field has gone with its engine
      *picture = *picture_now();
      picture->field.reset();
    } else {
      refresh_lists();
      describe_progress(*player, *picture);
      if (alarm_s && *alarm_s <= player->time_s()) picture->alarm_s = alarm_s;
      alarm_s = picture->alarm_s;
      take_temperatures(*picture);
    }
    picture->history = history;
    picture->events = events;
    picture->playing = playing;
    picture->factor = pace.factor();
    picture->reached_factor = running() ? pace.reached() : 0.0;
    picture->trouble = trouble;
    picture->run = run;
    picture->report = report;
    {
      const std::lock_guard lock(mutex);
      picture->scene = scene ? scene : opening;
      picture->building = builds_done < builds_asked;
      picture->version = latest->version + 1;
      latest = std::move(picture);
    }
    changed = false;
    handed_over = WallClock::now();
    if (news) news();
  }

  /// Has a wall built; from any thread.
  void ask(std::shared_ptr<const scenes::Scene> asked, bool carry) {
    int number = 0;
    int opens_at = 0;
    {
      const std::lock_guard lock(mutex);
      number = ++builds_asked;  // walls that were not begun yet are dropped; those begun are shown for a moment
      if (!carry) opened_at = number;
      opens_at = opened_at;
      opening = asked;
      auto picture = std::make_shared<HeatNow>(*latest);
      picture->building = true;
      picture->version = latest->version + 1;
      if (!picture->scene) picture->scene = asked;
      latest = std::move(picture);
    }
    builder.ask([this, number, opens_at, asked = std::move(asked)] {
      Built done = build_wall(asked, data, player_options());
      done.number = number;
      done.opens_at = opens_at;
      {
        const std::lock_guard lock(mutex);
        built = std::move(done);
      }
      wake.notify_one();
    });
  }

  [[nodiscard]] scenes::PlayerOptions player_options() const {
    scenes::PlayerOptions of_player;
    of_player.threads = solver_threads(options.threads);
    of_player.stop_between_steps = true;
    of_player.every_s = options.every_s;
    of_player.most_rows = options.most_rows;
    of_player.text = options.text;
    of_player.engine = options.engine;
    return of_player;
  }
};

HeatThread::HeatThread(scenes::DataFiles data, const HeatOptions& options, std::function<void()> news)
    : impl_(std::make_unique<Impl>(std::move(data), options, std::move(news))) {}

HeatThread::~HeatThread() = default;

void HeatThread::open(std::shared_ptr<const scenes::Scene> scene, bool carry_on) {
  impl_->ask(std::move(scene), carry_on);
}

void HeatThread::send(Command command) {
  {
    const std::lock_guard lock(impl_->mutex);
    impl_->queue.push_back(std::move(command));
  }
  impl_->wake.notify_one();
}

void HeatThread::take_turn(double longest_s) {
  impl_->take_turns(longest_s);
}

void HeatThread::want_whole(bool whole) {
  impl_->whole_wanted = whole;
}

std::shared_ptr<const HeatNow> HeatThread::now() const {
  const std::lock_guard lock(impl_->mutex);
  return impl_->latest;
}

}  // namespace warmbay::render
