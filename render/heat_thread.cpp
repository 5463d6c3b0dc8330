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
#include "render/pace.hpp"
#include "scenes/painter.hpp"
#include "scenes/smoke.hpp"
#include "sim/crew.hpp"

namespace warmbay::render {

namespace {

using Seconds = std::chrono::duration<double>;
using WallClock = std::chrono::steady_clock;

constexpr double longest_chunk_s = 0.02;  // wall clock between two looks at the queue
constexpr double idle_look_s = 0.25;      // wall clock; nothing is due while paused, so this is only a safety net

int solver_threads(int asked) {
  if (asked > 0) return asked;
  return std::max(1, sim::usable_cores() - 1);
}

/// A player as the builder hands it over.
struct Built {
  int number = 0;  // of the request
  std::unique_ptr<scenes::Player> player;
  std::shared_ptr<const scenes::Scene> scene;
  std::string fault;
};

/// Where a rebuilt wall goes on: the same step, the same conditions, simulated time 0.
struct CarryOn {
  int step = -1;
  sim::Conditions conditions;
  std::vector<std::string> surroundings;  // names, in the order of conditions
  std::string device;                     // name; empty: none
};

void carry_on(scenes::Player& player, const CarryOn& from) {
  while (player.step() < from.step) {
    const int before = player.step();
    player.next();
    if (player.step() == before) break;
  }
  const sim::Conditions now = player.bench().conditions();
  player.apply(scenes::SetSupply{from.conditions.supply});
  player.apply(scenes::SetDevice{from.device});
  player.apply(scenes::SetTripTime{from.conditions.trip_time});
  if (now.current_a != from.conditions.current_a) player.apply(scenes::SetCurrent{from.conditions.current_a});
  const auto& surroundings = player.bench().wall().surroundings;
  for (std::size_t i = 0; i < from.surroundings.size(); ++i) {
    for (std::size_t j = 0; j < surroundings.size(); ++j) {
      const double temperature_k = from.conditions.surroundings_k[i];
      if (surroundings[j].name == from.surroundings[i] && now.surroundings_k[j] != temperature_k) {
        player.apply(scenes::SetSurroundings{surroundings[j].name, temperature_k});
      }
    }
  }
}

Built build(int number, const std::shared_ptr<const scenes::Scene>& scene, const scenes::DataFiles& data,
            const scenes::PlayerOptions& options, const std::optional<CarryOn>& from) {
  Built built{number, nullptr, scene, {}};
  try {
    built.player = std::make_unique<scenes::Player>(scene, scenes::paint(*scene, data), options);
    if (from) carry_on(*built.player, *from);
    built.player->leave_thread();
  } catch (const std::exception& error) {  // most likely: no memory for so many voxels
    built.player.reset();
    built.fault = error.what();
  }
  return built;
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
  bool stop = false;
  std::shared_ptr<const scenes::Scene> opening;

  // The heat thread's own.
  std::unique_ptr<scenes::Player> player;
  std::shared_ptr<const scenes::Scene> scene;
  std::shared_ptr<const History> history = std::make_shared<History>();
  std::shared_ptr<const std::vector<scenes::Event>> events = std::make_shared<std::vector<scenes::Event>>();
  std::string fault;
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
    thread = std::thread([this] { loop(); });
  }

  ~Impl() {
    {
      const std::lock_guard lock(mutex);
      stop = true;
    }
    wake.notify_one();
    thread.join();
  }

  [[nodiscard]] double wall_clock_s() const { return Seconds(WallClock::now() - started).count(); }
  [[nodiscard]] bool running() const { return player && playing && !player->waiting(); }

  void loop() {
    std::unique_lock lock(mutex);
    while (!stop) {
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
      if (stop || !queue.empty() || built) continue;
      const double wait_s = next_look_s();
      if (wait_s > 0.0) wake.wait_for(lock, Seconds(wait_s));
    }
  }

  [[nodiscard]] double next_look_s() const {
    if (changed) return running() && pace.factor() == 0.0 ? 0.0 : 1.0 / options.handovers_hz / 4.0;
    if (!running()) return idle_look_s;
    return std::min(pace.due_in_s(wall_clock_s(), player->time_s()), 1.0 / options.handovers_hz);
  }

  void run_due() {
    const double before_s = player->time_s();
    const double begin_s = wall_clock_s();
    const double due_s = pace.due_s(begin_s, before_s, longest_chunk_s);
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
    fault = fresh.fault;
    {
      const std::lock_guard lock(mutex);
      builds_done = fresh.number;
    }
    if (!fresh.player) return;
    player = std::move(fresh.player);
    scene = fresh.scene;
    history = std::make_shared<History>(empty_history(player->bench().wall()));
    restart_pace();
  }

  void obey(const scenes::Change& change) {
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
    playing = wish.playing;
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
    if (!player) return;
    player->reset();
    restart_pace();
  }

  /// Rows and events are copied only when there are new ones; a picture shares those of the one before otherwise.
  void refresh_lists() {
    const auto& rows = player->readings();
    const std::size_t have = history->time_s.size();
    const bool went_back = rows.size() < have || (have > 0 && rows.size() >= have && other_run(rows, have));
    if (went_back || rows.size() > have) {
      auto next = std::make_shared<History>(went_back ? empty_history(player->bench().wall()) : *history);
      extend(*next, rows);
      history = std::move(next);
    }
    if (player->events().size() != events->size() || went_back) {
      events = std::make_shared<std::vector<scenes::Event>>(player->events());
    }
  }

  /// After going back and on again the last common row differs: the old rows belong to another run.
  [[nodiscard]] bool other_run(const std::vector<sim::Reading>& rows, std::size_t have) const {
    const sim::Reading& row = rows[have - 1];
    const float first = history->curves.empty() ? 0.0F : history->curves.front().value_k.back();
    const double now = !row.cables.empty()           ? row.cables.front().hottest_k
                       : !row.thermocouple_k.empty() ? row.thermocouple_k.front()
                                                     : 0.0;
    return static_cast<float>(row.time_s) != history->time_s.back() || static_cast<float>(now) != first;
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
    if (player) {
      refresh_lists();
      describe_progress(*player, *picture);
      take_temperatures(*picture);
    }
    picture->history = history;
    picture->events = events;
    picture->playing = playing;
    picture->factor = pace.factor();
    picture->reached_factor = running() ? pace.reached() : 0.0;
    picture->fault = fault;
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
};

HeatThread::HeatThread(scenes::DataFiles data, const HeatOptions& options, std::function<void()> news)
    : impl_(std::make_unique<Impl>(std::move(data), options, std::move(news))) {}

HeatThread::~HeatThread() = default;

void HeatThread::open(std::shared_ptr<const scenes::Scene> scene, bool carry) {
  std::optional<CarryOn> from;
  int number = 0;
  {
    const std::lock_guard lock(impl_->mutex);
    const HeatNow& latest = *impl_->latest;
    if (carry && latest.snapshot) {
      const sim::Wall& wall = *latest.snapshot->wall;
      from = CarryOn{latest.step, latest.snapshot->conditions, {}, {}};
      for (const auto& s : wall.surroundings) from->surroundings.push_back(s.name);
      if (from->conditions.device >= 0)
        from->device = wall.devices[static_cast<std::size_t>(from->conditions.device)].name;
    }
    number = ++impl_->builds_asked;  // walls that were not begun yet are dropped; those begun are shown for a moment
    impl_->opening = scene;
    auto picture = std::make_shared<HeatNow>(latest);
    picture->building = true;
    picture->version = latest.version + 1;
    if (!picture->scene) picture->scene = scene;
    impl_->latest = std::move(picture);
  }
  scenes::PlayerOptions options;
  options.threads = solver_threads(impl_->options.threads);
  options.stop_between_steps = true;
  options.every_s = impl_->options.every_s;
  options.text = impl_->options.text;
  options.engine = impl_->options.engine;
  impl_->builder.ask([impl = impl_.get(), number, scene = std::move(scene), options, from] {
    Built built = build(number, scene, impl->data, options, from);
    {
      const std::lock_guard lock(impl->mutex);
      impl->built = std::move(built);
    }
    impl->wake.notify_one();
  });
}

void HeatThread::send(Command command) {
  {
    const std::lock_guard lock(impl_->mutex);
    impl_->queue.push_back(std::move(command));
  }
  impl_->wake.notify_one();
}

void HeatThread::want_whole(bool whole) {
  impl_->whole_wanted = whole;
}

std::shared_ptr<const HeatNow> HeatThread::now() const {
  const std::lock_guard lock(impl_->mutex);
  return impl_->latest;
}

}  // namespace warmbay::render
