// What the window does with wishes, without a window: undo of the supply's controls; where the wall is heading.

#include "render/app.hpp"

#include <chrono>
#include <cmath>
#include <functional>
#include <thread>

#include "render/heading_guess.hpp"
#include "render/rating.hpp"
#include "scenes/paint/painter.hpp"
#include "tests/render/support.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {

struct Opened {
  testing::SmallScene small;
  App app;
  Opened() : app(small.data, {}, {}, options(), {}) {
    app.open(small.scene);
    REQUIRE(testing::becomes([&] { return look().wall != nullptr; }));
  }
  static HeatOptions options() {
    HeatOptions o;
    o.threads = 1;
    o.playing = false;
    return o;
  }
  const sim::Snapshot& look() {
    static const sim::Snapshot none;
    now = app.look(0.0);
    return now->snapshot ? *now->snapshot : none;
  }
  void change(const scenes::Change& change) { app.grant(Wishes{Wish{change}}, 0); }
  std::shared_ptr<const HeatNow> now;
};

}  // namespace

TEST_CASE("changes of the supply are taken back and done again, one by one") {
  Opened opened;
  const std::string device = opened.small.data.devices.front().name;
  opened.change(scenes::SetSupply{sim::SupplyKind::branch});
  REQUIRE(testing::becomes([&] { return opened.look().conditions.supply == sim::SupplyKind::branch; }));
  opened.change(scenes::SetDevice{device});
  REQUIRE(testing::becomes([&] { return opened.look().conditions.device == 0; }));
  opened.change(scenes::SetTripTime{sim::TripTime::earliest});
  REQUIRE(testing::becomes([&] { return opened.look().conditions.trip_time == sim::TripTime::earliest; }));

  opened.app.obey(KeyCommand::undo);
  CHECK(testing::becomes([&] { return opened.look().conditions.trip_time == sim::TripTime::typical; }));
  CHECK(opened.look().conditions.device == 0);
  opened.app.obey(KeyCommand::undo);
  CHECK(testing::becomes([&] { return opened.look().conditions.device == -1; }));
  opened.app.obey(KeyCommand::undo);
  CHECK(testing::becomes([&] { return opened.look().conditions.supply == sim::SupplyKind::bench; }));
  opened.app.obey(KeyCommand::redo);
  opened.app.obey(KeyCommand::redo);
  CHECK(testing::becomes([&] { return opened.look().conditions.device == 0; }));
  CHECK(opened.look().conditions.supply == sim::SupplyKind::branch);
}

TEST_CASE("a current set while another insulation is built is the new wall's, and undo takes back first the one") {
  Opened opened;
  const scenes::Insulation before = opened.app.state().insulation;
  scenes::Insulation other = before;
  other.layer_material[1] = "eps";
  const auto wall = opened.look().wall;
  opened.app.grant(Wishes{Wish{Insulate{other}}}, 0);
  opened.change(scenes::SetCurrent{5.0});
  REQUIRE(testing::becomes([&] { return opened.look().wall != wall && !opened.now->building; }));
  CHECK(testing::becomes([&] { return opened.look().conditions.current_a == 5.0; }));
  opened.app.obey(KeyCommand::undo);
  CHECK(testing::becomes([&] { return opened.look().conditions.current_a == 20.0; }));
  CHECK(opened.app.state().insulation == other);
  opened.app.obey(KeyCommand::undo);
  CHECK(opened.app.state().insulation == before);
  CHECK(testing::becomes([&] { return !opened.look().wall->cables.empty() && !opened.now->building; }));
  CHECK(opened.look().conditions.current_a == 20.0);
}

TEST_CASE("a key pressed while a number is typed waits for what was typed, Escape does not") {
  Opened opened;
  opened.app.press(KeyCommand::blank, true);
  CHECK(opened.app.state().leave_field);
  CHECK_FALSE(opened.app.state().blank);
  opened.change(scenes::SetCurrent{6.0});  // the frame in which the field is left
  CHECK(opened.app.state().blank);
  opened.app.state().leave_field = false;
  opened.app.press(KeyCommand::blank, false);
  CHECK_FALSE(opened.app.state().blank);
  CHECK_FALSE(opened.app.state().leave_field);
  opened.app.press(KeyCommand::leave, true);
  CHECK_FALSE(opened.app.state().leave_field);  // Esc gives up what was typed
}

TEST_CASE("where the wall is heading is worked out for the wall as damaged as it is") {
  const testing::SmallScene small;
  auto scene = *small.scene;
  scene.wall.layers[1].material = "eps";
  const auto wall = scenes::paint(scene, small.data);
  sim::Bench bench(wall, {1, 5.0, {}});
  sim::Conditions conditions = bench.conditions();
  conditions.current_a = 32.0;
  bench.set_conditions(conditions);
  bench.advance_to(60.0);
  const auto sound = bench.snapshot();
  REQUIRE(sound->reading.void_m3 == 0.0);
  while (bench.reading().void_m3 < 5e-6 && bench.time_s() < 7200.0) bench.advance_to(bench.time_s() + 60.0);
  const auto damaged = bench.snapshot();
  REQUIRE(damaged->reading.void_m3 >= 5e-6);
  REQUIRE(heading_matters(*damaged));

  HeadingGuess guess({});
  double clock_s = 0.0;
  std::optional<Heading> heading;
  const auto ask = [&](const std::shared_ptr<const sim::Snapshot>& of) {
    clock_s += 0.1;
    heading = guess.look(of, clock_s);
  };
  const auto settled_k = [&](const sim::Snapshot& from) {
    const sim::Settled settled = sim::settle(wall, conditions, 1, &from);
    REQUIRE(settled.state);
    return rate(*wall, settled.state->reading).hottest_k;
  };
  const double sound_k = settled_k(*sound);
  const double damaged_k = settled_k(*damaged);
  REQUIRE(std::abs(sound_k - damaged_k) > 1.0);  // or this would show nothing

  ask(sound);
  CHECK_FALSE(heading);  // conditions may still be changing
  REQUIRE(testing::becomes([&] {
    ask(sound);
    return heading.has_value();
  }));
  CHECK(heading->hottest_k == Approx(sound_k).margin(0.01));
  // The same conditions: it is asked again because the wall has given way.
  CHECK(testing::becomes([&] {
    ask(damaged);
    return heading && std::abs(heading->hottest_k - damaged_k) < 0.01;
  }));
  // Back at the start the damaged wall's answer is not told.
  ask(sound);
  CHECK_FALSE(heading);
  CHECK(testing::becomes([&] {
    ask(sound);
    return heading && std::abs(heading->hottest_k - sound_k) < 0.01;
  }));
}

}  // namespace warmbay::render
