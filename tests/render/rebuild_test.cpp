// What happens around a new wall: nothing that a person does meanwhile is lost, nothing of the old run is shown for the
// new one, and a machine without memory ends an experiment, not the program.

#include <atomic>
#include <new>

#include "render/heat_thread.hpp"
#include "sim/cpu_engine.hpp"
#include "tests/render/support.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {

HeatOptions paused() {
  HeatOptions options;
  options.threads = 1;
  options.playing = false;
  return options;
}

/// Engines that are made only while the gate is open, so that a test decides when a wall is ready.
struct Gate {
  std::atomic<bool> open{true};
  std::atomic<int> waiting{0};
  [[nodiscard]] sim::EngineFactory factory() {
    return [this](const sim::EngineParts& parts) {
      if (!open) {
        ++waiting;
        (void)testing::becomes([this] { return open.load(); });
      }
      return std::make_unique<sim::CpuEngine>(parts);
    };
  }
};

struct Rebuilding {
  Gate gate;
  testing::SmallScene small;
  HeatThread heat;
  Rebuilding() : heat(small.data, options_with(gate)) {
    REQUIRE(small.faults.empty());
    heat.open(small.scene, false);
    REQUIRE(testing::becomes([&] { return heat.now()->snapshot && !heat.now()->building; }));
  }
  static HeatOptions options_with(Gate& gate) {
    HeatOptions options = paused();
    options.engine = gate.factory();
    return options;
  }
  /// The wall of another insulation is being built from here on.
  void begin(bool carry_on) {
    gate.open = false;
    auto other = std::make_shared<scenes::Scene>(*small.scene);
    other->wall.layers[1].material = "eps";
    heat.open(other, carry_on);
    REQUIRE(testing::becomes([&] { return gate.waiting > 0; }));
  }
  void finish() {
    gate.open = true;
    REQUIRE(testing::becomes([&] { return !heat.now()->building; }));
  }
  [[nodiscard]] const sim::Conditions& conditions() const { return heat.now()->snapshot->conditions; }
};

}  // namespace

TEST_CASE("what is changed while a wall is rebuilt holds for the new wall") {
  Rebuilding run;
  run.begin(true);
  run.heat.send(scenes::Change{scenes::SetCurrent{5.0}});
  run.heat.send(scenes::Change{scenes::SetSurroundings{"room", 301.0}});
  run.heat.send(scenes::Change{scenes::SetSupply{sim::SupplyKind::branch}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() == 3; }));
  const sim::Conditions before = run.conditions();
  CHECK(before.current_a == 5.0);
  run.finish();
  CHECK(run.heat.now()->snapshot->reading.time_s == 0.0);
  CHECK(run.conditions() == before);
}

TEST_CASE("a step taken while a wall is rebuilt is the new wall's step, too") {
  Rebuilding run;
  run.begin(true);
  run.heat.send(NextStep{});
  REQUIRE(testing::becomes([&] { return run.heat.now()->step == 1; }));
  run.finish();
  CHECK(run.heat.now()->step == 1);
  CHECK(run.conditions().current_a == 30.0);
}

TEST_CASE("what is changed while another scene's wall is built holds for it") {
  Rebuilding run;
  run.heat.send(scenes::Change{scenes::SetSurroundings{"outside", 260.0}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() == 1; }));
  run.begin(false);
  run.heat.send(scenes::Change{scenes::SetCurrent{5.0}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() == 2; }));
  run.finish();
  CHECK(run.conditions().current_a == 5.0);
  CHECK(run.conditions().surroundings_k[1] == Approx(293.15));  // of before: the scene's own opening state
}

TEST_CASE("of two walls asked for one after the other, the last has what was changed while either was built") {
  Rebuilding run;
  run.begin(true);
  auto third = std::make_shared<scenes::Scene>(*run.small.scene);
  third->title = "The third";
  run.heat.open(third, false);  // waits until the second is built
  run.heat.send(scenes::Change{scenes::SetCurrent{6.0}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() == 1; }));
  run.finish();
  CHECK(run.heat.now()->scene == third);
  CHECK(run.conditions().current_a == 6.0);
}

TEST_CASE("a change that comes before the first wall is not lost") {
  Gate gate;
  gate.open = false;
  const testing::SmallScene small;
  HeatOptions options = paused();
  options.engine = gate.factory();
  HeatThread heat(small.data, options);
  heat.open(small.scene, false);
  REQUIRE(testing::becomes([&] { return gate.waiting > 0; }));
  const long long version = heat.now()->version;
  heat.send(scenes::Change{scenes::SetCurrent{7.0}});
  REQUIRE(testing::becomes([&] { return heat.now()->version > version; }));  // it has been taken
  gate.open = true;
  REQUIRE(testing::becomes([&] { return heat.now()->snapshot != nullptr; }));
  CHECK(testing::becomes([&] { return heat.now()->snapshot->conditions.current_a == 7.0; }));
}

TEST_CASE("after a rebuild the events are those of the new run, also where there are as many") {
  Rebuilding run;
  run.heat.send(SetFactor{0.0});
  run.heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return run.heat.now()->waiting; }));
  run.heat.send(Play{false});
  run.heat.send(NextStep{});
  REQUIRE(testing::becomes([&] { return run.heat.now()->step == 1; }));
  const auto old = run.heat.now();
  REQUIRE(old->events->size() == 2);  // two steps begun
  REQUIRE(old->events->back().time_s == Approx(600.0));
  run.begin(true);
  run.finish();
  const auto now = run.heat.now();
  CHECK(now->run > old->run);
  REQUIRE(now->events->size() == 2);
  for (const scenes::Event& event : *now->events) CHECK(event.time_s == 0.0);
  CHECK(now->history->time_s.size() == 1);
}

TEST_CASE("going back begins another run, going on does not") {
  Rebuilding run;
  const long long first = run.heat.now()->run;
  run.heat.send(SingleStep{});
  REQUIRE(testing::becomes([&] { return run.heat.now()->snapshot->reading.time_s > 0.0; }));
  CHECK(run.heat.now()->run == first);
  run.heat.send(ResetExperiment{});
  REQUIRE(testing::becomes([&] { return run.heat.now()->snapshot->reading.time_s == 0.0; }));
  CHECK(run.heat.now()->run == first + 1);
}

TEST_CASE("a run without an end keeps no more rows than it may, and its chart goes on") {
  const testing::SmallScene small;
  HeatOptions options = paused();
  options.most_rows = 16;
  options.factor = 0.0;
  HeatThread heat(small.data, options);
  heat.open(small.scene, false);
  heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return heat.now()->waiting; }));
  heat.send(Play{true});  // on, without an end
  REQUIRE(testing::becomes([&] { return heat.now()->snapshot->reading.time_s > 2000.0; }));
  heat.send(Play{false});
  REQUIRE(testing::becomes([&] { return !heat.now()->playing; }));
  const auto now = heat.now();
  CHECK(now->history->time_s.size() <= 16);
  CHECK(now->history->time_s.size() > 8);
  CHECK(now->history->time_s.front() == 0.0F);
  const float spacing_s = now->history->time_s[1];
  CHECK(static_cast<double>(now->history->time_s.back() + spacing_s) > now->snapshot->reading.time_s);
  for (std::size_t row = 0; row < now->history->time_s.size(); ++row)
    CHECK(now->history->time_s[row] == static_cast<float>(row) * spacing_s);
}

namespace {

/// The processor's engine, in whose steps the memory runs out while `out` says so.
class Starved : public sim::CpuEngine {
 public:
  Starved(const sim::EngineParts& parts, const std::atomic<bool>& out) : CpuEngine(parts), out_(out) {}
  Outcome step(sim::HeatState& heat, double dt_s, const sim::Feed& feed, const Bound& bound) override {
    if (out_) throw std::bad_alloc();
    return CpuEngine::step(heat, dt_s, feed, bound);
  }

 private:
  const std::atomic<bool>& out_;
};

}  // namespace

TEST_CASE("memory that runs out stops the experiment with its last picture, and another scene goes on") {
  std::atomic<bool> out = false;
  const testing::SmallScene small;
  HeatOptions options = paused();
  options.factor = 0.0;
  options.engine = [&](const sim::EngineParts& parts) { return std::make_unique<Starved>(parts, out); };
  HeatThread heat(small.data, options);
  heat.open(small.scene, false);
  REQUIRE(testing::becomes([&] { return heat.now()->snapshot != nullptr; }));
  heat.send(scenes::Change{scenes::SetCurrent{12.0}});
  heat.send(SingleStep{});
  REQUIRE(testing::becomes([&] { return heat.now()->snapshot->reading.time_s > 0.0; }));
  const auto last = heat.now();

  out = true;
  heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return heat.now()->trouble.what == Trouble::What::stopped; }));
  const auto stopped = heat.now();
  CHECK(stopped->trouble.reason.memory);
  CHECK_FALSE(stopped->playing);
  CHECK(stopped->snapshot == last->snapshot);
  CHECK(stopped->history->time_s == last->history->time_s);
  CHECK(stopped->events == last->events);

  out = false;
  const bool same = GENERATE(false, true);
  CAPTURE(same);
  if (same) {  // its insulation changed: on under the conditions that are on the screen
    heat.open(std::make_shared<scenes::Scene>(*small.scene), true);
  } else {
    heat.send(ResetExperiment{});
  }
  REQUIRE(testing::becomes([&] { return heat.now()->trouble.what == Trouble::What::none; }));
  CHECK(heat.now()->snapshot->reading.time_s == 0.0);
  CHECK(heat.now()->snapshot->conditions.current_a == (same ? 12.0 : 20.0));
  heat.send(SingleStep{});
  CHECK(testing::becomes([&] { return heat.now()->snapshot->reading.time_s > 0.0; }));
}

TEST_CASE("a wall that cannot be built says why, and the one before goes on") {
  std::atomic<bool> fails = false;
  const testing::SmallScene small;
  HeatOptions options = paused();
  options.engine = [&](const sim::EngineParts& parts) -> std::unique_ptr<sim::HeatEngine> {
    if (fails) throw std::bad_alloc();
    return std::make_unique<sim::CpuEngine>(parts);
  };
  HeatThread heat(small.data, options);
  heat.open(small.scene, false);
  REQUIRE(testing::becomes([&] { return heat.now()->snapshot != nullptr; }));
  const auto wall = heat.now()->snapshot->wall;
  fails = true;
  heat.open(small.scene, true);
  REQUIRE(testing::becomes([&] { return heat.now()->trouble.what == Trouble::What::not_built; }));
  CHECK(heat.now()->snapshot->wall == wall);
  heat.send(SingleStep{});
  CHECK(testing::becomes([&] { return heat.now()->snapshot->reading.time_s > 0.0; }));
}

}  // namespace warmbay::render
