// The heat's thread: what it hands over is whole, what it is told happens once, and the clock on the wall changes
// nothing.

#include "render/heat_thread.hpp"

#include <algorithm>
#include <chrono>
#include <functional>
#include <thread>

#include "render/pace.hpp"
#include "scenes/paint/painter.hpp"
#include "tests/render/support.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {

HeatOptions paused_at(double factor) {
  HeatOptions options;
  options.threads = 1;
  options.playing = false;
  options.factor = factor;
  return options;
}

struct Running {
  testing::SmallScene small;
  HeatThread heat;
  explicit Running(const HeatOptions& options) : heat(small.data, options) {
    REQUIRE(small.faults.empty());
    heat.open(small.scene, false);
    REQUIRE(testing::becomes([&] { return heat.now()->snapshot && !heat.now()->building; }));
  }
  [[nodiscard]] double time_s() const { return heat.now()->snapshot->reading.time_s; }
};

}  // namespace

TEST_CASE("the screen has a state to show before there is a wall") {
  testing::SmallScene small;
  HeatThread heat(small.data, paused_at(60.0));
  CHECK(heat.now() != nullptr);
  CHECK_FALSE(heat.now()->snapshot);
  heat.open(small.scene, false);
  CHECK(heat.now()->scene == small.scene);
  REQUIRE(testing::becomes([&] { return heat.now()->snapshot != nullptr; }));
  CHECK(heat.now()->snapshot->reading.current_a == Approx(20.0));  // of the first step
}

TEST_CASE("paused means that every temperature stays as it is, to the last bit") {
  Running run(paused_at(300.0));
  run.heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return run.time_s() > 30.0; }));
  run.heat.send(Play{false});
  REQUIRE(testing::becomes([&] { return !run.heat.now()->playing; }));
  const auto before = run.heat.now();
  // A command that changes nothing of the wall makes the thread hand over a new picture.
  run.heat.send(SetFactor{1.0});
  REQUIRE(testing::becomes([&] { return run.heat.now()->version > before->version; }));
  const auto after = run.heat.now();
  CHECK(after->snapshot->reading.time_s == before->snapshot->reading.time_s);
  CHECK(after->snapshot->temperature_k == before->snapshot->temperature_k);
  CHECK(after->snapshot->lines[0].conductor_k == before->snapshot->lines[0].conductor_k);
}

TEST_CASE("a change is applied once and logged once") {
  Running run(paused_at(60.0));
  run.heat.send(scenes::Change{scenes::SetCurrent{12.5}});
  run.heat.send(scenes::Change{scenes::SetCurrent{12.5}});  // a slider at rest says it again
  run.heat.send(scenes::Change{scenes::SetSurroundings{"outside", 300.0}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() >= 2; }));
  const auto now = run.heat.now();
  REQUIRE(now->changes.size() == 2);
  CHECK(std::get<scenes::SetCurrent>(now->changes[0].change).current_a == 12.5);
  CHECK(std::get<scenes::SetSurroundings>(now->changes[1].change).temperature_k == 300.0);
  CHECK(now->snapshot->conditions.current_a == 12.5);
  CHECK(now->snapshot->reading.time_s == 0.0);
}

TEST_CASE("every time factor runs the same experiment") {
  const double factor = GENERATE(30.0, 120.0, 0.0);
  CAPTURE(factor);
  Running run(paused_at(factor));
  run.heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return run.time_s() >= 20.0; }));
  run.heat.send(Play{false});
  REQUIRE(testing::becomes([&] { return !run.heat.now()->playing; }));
  const auto now = run.heat.now();

  // The same scene without a thread, brought to the same moment at once.
  scenes::PlayerOptions options;
  options.threads = 1;
  options.stop_between_steps = true;
  scenes::Player player(run.small.scene, scenes::paint(*run.small.scene, run.small.data), options);
  player.advance(now->snapshot->reading.time_s);
  REQUIRE(player.time_s() == now->snapshot->reading.time_s);
  CHECK(player.bench().snapshot()->temperature_k == now->snapshot->temperature_k);
}

TEST_CASE("it stops at the end of a step and goes on when told") {
  Running run(paused_at(0.0));
  run.heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return run.heat.now()->waiting; }));
  CHECK(run.time_s() == Approx(600.0));
  CHECK(run.heat.now()->step == 0);
  run.heat.send(NextStep{});
  REQUIRE(testing::becomes([&] { return run.heat.now()->step == 1; }));
  CHECK(run.heat.now()->snapshot->conditions.current_a == 30.0);
  run.heat.send(Play{false});
  run.heat.send(ResetExperiment{});
  REQUIRE(testing::becomes([&] { return run.heat.now()->step == 0 && run.time_s() == 0.0; }));
  CHECK(run.heat.now()->history->time_s.size() == 1);
}

TEST_CASE("moving a control while a step's end is shown goes on, so that its effect is seen") {
  Running run(paused_at(0.0));
  run.heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return run.heat.now()->waiting; }));
  run.heat.send(scenes::Change{scenes::SetCurrent{25.0}});
  CHECK(testing::becomes([&] { return run.time_s() > 700.0; }));
}

TEST_CASE("a single step is one step and then it stands still") {
  Running run(paused_at(60.0));
  run.heat.send(SingleStep{});
  REQUIRE(testing::becomes([&] { return run.time_s() > 0.0; }));
  const double once_s = run.time_s();
  CHECK(once_s <= 2.0);
  CHECK_FALSE(run.heat.now()->playing);
}

TEST_CASE("another insulation goes on under the same conditions, and the old wall is shown meanwhile") {
  Running run(paused_at(60.0));
  run.heat.send(NextStep{});
  run.heat.send(scenes::Change{scenes::SetSurroundings{"room", 305.0}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() == 1 && run.heat.now()->step == 1; }));
  const auto old_wall = run.heat.now()->snapshot->wall;
  auto other = std::make_shared<scenes::Scene>(*run.small.scene);
  other->wall.layers[1].material = "eps";
  run.heat.open(other, true);
  CHECK(run.heat.now()->building);
  CHECK(run.heat.now()->snapshot->wall == old_wall);
  REQUIRE(testing::becomes([&] { return !run.heat.now()->building; }));
  const auto now = run.heat.now();
  CHECK(now->snapshot->wall != old_wall);
  CHECK(now->step == 1);
  CHECK(now->snapshot->conditions.current_a == 30.0);
  CHECK(now->snapshot->conditions.surroundings_k[0] == 305.0);
  CHECK(now->snapshot->reading.time_s == 0.0);
}

TEST_CASE("the supply, its device and where in its band that opens are changed, and go over to a new insulation") {
  Running run(paused_at(60.0));
  const auto& devices = run.small.data.devices;
  REQUIRE(devices.size() > 2);
  run.heat.send(scenes::Change{scenes::SetSupply{sim::SupplyKind::branch}});
  run.heat.send(scenes::Change{scenes::SetDevice{devices[2].name}});
  run.heat.send(scenes::Change{scenes::SetTripTime{sim::TripTime::latest}});
  REQUIRE(testing::becomes([&] { return run.heat.now()->changes.size() == 3; }));
  const sim::Conditions before = run.heat.now()->snapshot->conditions;
  CHECK(before.supply == sim::SupplyKind::branch);
  CHECK(before.device == 2);
  CHECK(before.trip_time == sim::TripTime::latest);
  auto other = std::make_shared<scenes::Scene>(*run.small.scene);
  other->wall.layers[1].material = "eps";
  run.heat.open(other, true);
  REQUIRE(testing::becomes([&] { return !run.heat.now()->building; }));
  CHECK(run.heat.now()->snapshot->conditions == before);
}

TEST_CASE("a device that has opened is closed again by asking, cold") {
  Running run(paused_at(0.0));
  run.heat.send(scenes::Change{scenes::SetSupply{sim::SupplyKind::branch}});
  run.heat.send(scenes::Change{scenes::SetDevice{run.small.data.devices.front().name}});
  run.heat.send(scenes::Change{scenes::SetCurrent{100.0}});
  run.heat.send(Play{true});
  REQUIRE(testing::becomes([&] { return run.heat.now()->snapshot->reading.device_open; }));
  run.heat.send(Play{false});
  REQUIRE(testing::becomes([&] { return !run.heat.now()->playing; }));
  CHECK(run.heat.now()->snapshot->reading.current_a == 0.0);
  const auto tripped = std::find_if(run.heat.now()->events->begin(), run.heat.now()->events->end(),
                                    [](const scenes::Event& event) { return event.event == "trip"; });
  CHECK(tripped != run.heat.now()->events->end());
  run.heat.send(scenes::Change{scenes::ResetDevice{}});
  REQUIRE(testing::becomes([&] { return !run.heat.now()->snapshot->reading.device_open; }));
  CHECK(run.heat.now()->snapshot->reading.device_progress == 0.0);
  CHECK(run.heat.now()->snapshot->reading.current_a == 100.0);
}

TEST_CASE("time factors are picked from a ladder with two ends") {
  CHECK(neighbour_factor(60.0, +1) == 120.0);
  CHECK(neighbour_factor(60.0, -1) == 30.0);
  CHECK(neighbour_factor(1.0, -1) == 1.0);
  CHECK(neighbour_factor(300.0, +1) == 0.0);  // as fast as it goes
  CHECK(neighbour_factor(0.0, +1) == 0.0);
}

TEST_CASE("simulated time follows the wall clock by the factor, and a debt is given up") {
  Pace pace(60.0);
  pace.restart(100.0, 0.0);
  pace.ran(100.0, 0.01, 100.0, 0.0);  // a fast machine: 10,000 simulated s per s
  CHECK(pace.due_s(100.5, 0.0, 0.02) == Approx(30.0));
  CHECK(pace.due_s(100.5, 30.0, 0.02) == Approx(0.0));
  CHECK(pace.due_in_s(100.5, 30.0) == Approx(2.0 / 60.0));
  // The machine slept for an hour: it does not race through what it missed.
  const double due = pace.due_s(3700.0, 30.0, 0.02);
  CHECK(due <= 200.0);
  CHECK(pace.due_s(3700.0, 30.0 + due, 0.02) <= 0.0);
}

}  // namespace warmbay::render
