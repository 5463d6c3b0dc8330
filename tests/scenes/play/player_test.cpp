// The player: nothing depends on how time is cut up; going back is going back bit by bit; events come once, at their
// time.

#include "scenes/play/player.hpp"

#include <algorithm>
#include <cstring>

#include "scenes/play/player_limits.hpp"
#include "scenes/play/readings_log.hpp"
#include "sim/settled.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using scenes::Player;
using scenes::PlayerOptions;

namespace {

bool same_bits(double a, double b) {
  return std::memcmp(&a, &b, sizeof a) == 0;
}

bool same_reading(const sim::Reading& a, const sim::Reading& b) {
  bool same = same_bits(a.time_s, b.time_s) && same_bits(a.current_a, b.current_a) &&
              same_bits(a.voltage_v, b.voltage_v) && same_bits(a.power_w, b.power_w) &&
              a.thermocouple_k.size() == b.thermocouple_k.size() && a.cables.size() == b.cables.size();
  for (std::size_t i = 0; same && i < a.thermocouple_k.size(); ++i)
    same = same_bits(a.thermocouple_k[i], b.thermocouple_k[i]);
  for (std::size_t i = 0; same && i < a.cables.size(); ++i)
    same = same_bits(a.cables[i].hottest_k, b.cables[i].hottest_k) &&
           same_bits(a.cables[i].hottest_at_m, b.cables[i].hottest_at_m);
  return same;
}

/// Every temperature of the wall and of its copper, bit by bit.
bool same_wall(const Player& a, const Player& b) {
  const auto left = a.bench().snapshot();
  const auto right = b.bench().snapshot();
  bool same = left->temperature_k == right->temperature_k && left->lines.size() == right->lines.size();
  for (std::size_t i = 0; same && i < left->lines.size(); ++i)
    same = left->lines[i].conductor_k == right->lines[i].conductor_k;
  return same && same_reading(left->reading, right->reading);
}

bool same_logs(const Player& a, const Player& b) {
  const auto same_event = [](const scenes::Event& x, const scenes::Event& y) {
    return same_bits(x.time_s, y.time_s) && x.event == y.event && x.where == y.where && same_bits(x.value, y.value);
  };
  return std::equal(a.readings().begin(), a.readings().end(), b.readings().begin(), b.readings().end(), same_reading) &&
         std::equal(a.events().begin(), a.events().end(), b.events().begin(), b.events().end(), same_event);
}

Player player_of(const std::string& steps, bool stop_between_steps, int threads = 1) {
  const tests::SmallScene small = tests::read_small(steps);
  PlayerOptions options;
  options.threads = threads;
  options.stop_between_steps = stop_between_steps;
  return Player(small.scene, small.wall, options);
}

std::vector<std::string> names_of(const Player& player) {
  std::vector<std::string> names;
  for (const scenes::Event& e : player.events()) names.push_back(e.event);
  return names;
}

}  // namespace

TEST_CASE("a run is the same bit by bit however time is cut up and for any number of threads") {
  Player whole = player_of(tests::two_steps, false, 1);
  whole.advance(3600.0);
  REQUIRE(whole.waiting());

  Player frames = player_of(tests::two_steps, false, 2);
  while (!frames.waiting()) frames.advance(0.016);
  CHECK(same_wall(whole, frames));
  CHECK(same_logs(whole, frames));

  Player uneven = player_of(tests::two_steps, false, 1);
  for (double seconds = 0.3; !uneven.waiting(); seconds = seconds * 1.7 + 0.01) uneven.advance(seconds);
  CHECK(same_wall(whole, uneven));
  CHECK(same_logs(whole, uneven));
}

TEST_CASE("half way, frames and one go have come equally far") {
  Player whole = player_of(tests::two_steps, false);
  Player frames = player_of(tests::two_steps, false);
  whole.advance(0.016 * 5000);
  for (int i = 0; i < 5000; ++i) frames.advance(0.016);
  CHECK(same_bits(whole.time_s(), frames.time_s()));
  CHECK(same_wall(whole, frames));
}

TEST_CASE("steps end exactly when their holds do") {
  Player player = player_of(tests::two_steps, false);
  player.advance(3600.0);
  REQUIRE(player.step_ends().size() == 2);
  CHECK(player.step_ends()[0].end_s == Approx(120.0).margin(1e-9));
  CHECK(player.step_ends()[1].start_s == player.step_ends()[0].end_s);
  CHECK(player.step_ends()[1].end_s == Approx(360.0).margin(1e-9));
  CHECK(player.step_ends()[0].reading.current_a == 5.0);
  CHECK(player.step_ends()[1].reading.current_a == 25.0);
  CHECK(player.waiting());
  CHECK(player.step_over());
}

TEST_CASE("a hold that is no whole number of internal steps ends exactly all the same") {
  Player player = player_of(R"(
[[step]]
title = "Odd"
current_a = 5.0
hold_min = 0.515
[[step]]
title = "Odder"
current_a = 6.0
hold_min = 0.7171
)",
                            false);
  player.advance(1e6);
  REQUIRE(player.step_ends().size() == 2);
  CHECK(player.step_ends()[0].end_s == Approx(30.9).margin(1e-9));
  CHECK(player.step_ends()[1].end_s == Approx(30.9 + 43.026).margin(1e-9));
}

TEST_CASE("the window's player waits after each step and goes on when told") {
  Player player = player_of(tests::two_steps, true);
  player.advance(1e6);
  CHECK(player.waiting());
  CHECK(player.step() == 0);
  CHECK(player.time_s() == Approx(120.0).margin(1e-9));
  player.advance(100.0);  // waiting is waiting
  CHECK(player.time_s() == Approx(120.0).margin(1e-9));

  SECTION("next begins the next step") {
    player.next();
    CHECK_FALSE(player.waiting());
    CHECK(player.step() == 1);
    CHECK(player.bench().conditions().current_a == 25.0);
    player.next();  // the last one: nothing
    CHECK(player.step() == 1);
    CHECK_FALSE(player.waiting());
  }
  SECTION("go_on stays in the step, beyond its hold") {
    player.go_on();
    player.advance(300.0);
    CHECK_FALSE(player.waiting());
    CHECK(player.step() == 0);
    CHECK(player.time_s() >= 420.0);
    player.next();
    CHECK(player.step() == 1);
    CHECK(player.step_ends().size() == 1);  // it ended once, though it was played on
  }
}

TEST_CASE("reset and back restore what was there, bit by bit, and forget what came after") {
  Player fresh = player_of(tests::two_steps, true);
  Player player = player_of(tests::two_steps, true);
  player.advance(40.0);
  player.apply(scenes::SetCurrent{12.0});
  player.advance(1e6);
  player.next();
  const std::size_t events_then = player.events().size();
  const std::size_t rows_then = player.readings().size();
  Player second_step = player_of(tests::two_steps, true);
  second_step.advance(40.0);
  second_step.apply(scenes::SetCurrent{12.0});
  second_step.advance(1e6);
  second_step.next();
  player.advance(100.0);
  REQUIRE(player.readings().size() > rows_then);

  SECTION("back goes to where the step began, and playing again gives the same") {
    player.back();
    CHECK(player.step() == 1);
    CHECK(same_wall(player, second_step));
    CHECK(player.events().size() == events_then);
    CHECK(player.readings().size() == rows_then);
    CHECK(player.changes().size() == 1);
    player.advance(1e6);
    second_step.advance(1e6);
    CHECK(same_wall(player, second_step));
    CHECK(same_logs(player, second_step));
  }
  SECTION("back twice goes to the step before") {
    player.back();
    player.back();
    CHECK(player.step() == 0);
    CHECK(same_wall(player, fresh));
    CHECK(player.changes().empty());
  }
  SECTION("reset gives the opening state") {
    player.reset();
    CHECK(player.step() == 0);
    CHECK(player.time_s() == 0.0);
    CHECK(same_wall(player, fresh));
    CHECK(same_logs(player, fresh));
    CHECK(player.changes().empty());
    CHECK(player.step_ends().empty());
    player.advance(1e6);
    fresh.advance(1e6);
    CHECK(same_wall(player, fresh));
    CHECK(same_logs(player, fresh));
  }
}

TEST_CASE("a change by hand holds until a step names the same quantity") {
  Player player = player_of(tests::two_steps, true);
  player.apply(scenes::SetCurrent{9.0});
  player.apply(scenes::SetSurroundings{"room", 310.0});
  player.apply(scenes::SetSurroundings{"room", 310.0});          // no change: not logged
  player.apply(scenes::SetSurroundings{"no such room", 310.0});  // no such name: nothing
  REQUIRE(player.changes().size() == 2);
  CHECK(player.bench().conditions().current_a == 9.0);
  player.next();
  CHECK(player.bench().conditions().current_a == 25.0);
  CHECK(player.bench().conditions().surroundings_k[0] == 310.0);
}

TEST_CASE("passing the rated temperature is told once, where and when it is first seen") {
  Player player = player_of(tests::two_steps, false);
  player.advance(1e6);
  const auto& events = player.events();
  const auto over = [](const scenes::Event& e) { return e.event == "over-rating"; };
  REQUIRE(std::count_if(events.begin(), events.end(), over) == 1);
  const scenes::Event& event = *std::find_if(events.begin(), events.end(), over);
  CHECK(event.where == "feed");
  CHECK(event.value > 40.0);
  CHECK(event.value < 42.0);
  CHECK(event.time_s > 120.0);
  // The rows on both sides of the moment agree with it.
  for (const sim::Reading& row : player.readings()) {
    if (row.time_s < event.time_s - 3.0) CHECK(row.cables[0].hottest_k <= 313.15);
    if (row.time_s > event.time_s) CHECK(row.cables[0].hottest_k > 313.15);
  }
}

TEST_CASE("stop_at stops the window's player on the way and only notes in a run") {
  const std::string steps = R"(
[[step]]
title = "Heavy"
current_a = 25.0
hold_min = 6.0
stop_at = ["over-rating"]
)";
  Player window = player_of(steps, true);
  window.advance(1e6);
  CHECK(window.waiting());
  CHECK_FALSE(window.step_over());
  CHECK(window.stopped_by() == "over-rating");
  CHECK(window.time_s() < 360.0);
  window.go_on();
  CHECK(window.stopped_by().empty());
  window.advance(1e6);
  CHECK(window.step_over());
  CHECK(window.time_s() == Approx(360.0).margin(1e-9));

  Player run = player_of(steps, false);
  run.advance(1e6);
  CHECK(run.time_s() == Approx(360.0).margin(1e-9));
  CHECK(same_wall(window, run));  // stopping changed no temperature
}

TEST_CASE("a step ends early when its reading passes the temperature it names") {
  Player player = player_of(R"(
[[step]]
title = "Until warm"
current_a = 25.0
hold_min = 60.0
until = "sheath > 30"
)",
                            false);
  player.advance(1e6);
  REQUIRE(player.step_ends().size() == 1);
  CHECK(player.step_ends()[0].ended_by == "sheath > 30");
  CHECK(player.step_ends()[0].end_s < 3600.0);
  CHECK(player.step_ends()[0].reading.thermocouple_k[0] > 303.15);
  CHECK(player.step_ends()[0].reading.thermocouple_k[0] < 305.15);  // seen at the first internal step beyond
}

TEST_CASE("a step that waits for it ends when the wall has settled, close to where the settled field says") {
  Player player = player_of(R"(
[[step]]
title = "Until settled"
current_a = 8.0
hold_min = 6000.0
until = "settled"
)",
                            false);
  player.advance(1e7);
  REQUIRE(player.step_ends().size() == 1);
  CHECK(player.step_ends()[0].ended_by == "settled");
  CHECK(player.time_s() > 600.0);
  CHECK(player.time_s() < 6000.0 * 60.0);
  CHECK(names_of(player) == std::vector<std::string>{"step", "settled"});
  const sim::Settled goal = sim::settle(tests::read_small("").wall, player.bench().conditions(), 1);
  REQUIRE(goal.outcome == sim::SettledOutcome::settled);
  CHECK(player.step_ends()[0].reading.cables[0].hottest_k ==
        Approx(goal.state->reading.cables[0].hottest_k).margin(0.5));
}

TEST_CASE("a scene without steps runs on until its end, and says settled once") {
  const tests::SmallScene small = tests::read_small("");
  PlayerOptions options;
  options.end_s = 301.0;
  Player player(small.scene, small.wall, options);
  CHECK(player.step() == -1);
  CHECK(player.step_hold_s() == 0.0);
  player.advance(1e6);
  CHECK(player.waiting());
  CHECK(player.time_s() == Approx(301.0).margin(1e-9));
  CHECK(names_of(player) == std::vector<std::string>{"settled"});  // no current: it is settled from the start
  CHECK(player.events()[0].time_s >= scenes::player_limits::settled_earliest_s);
  player.reset();
  CHECK(player.time_s() == 0.0);
  CHECK_FALSE(player.waiting());
  CHECK(player.events().empty());
  player.advance(1e6);
  CHECK(names_of(player) == std::vector<std::string>{"settled"});  // what was told has been forgotten, too
}

TEST_CASE("readings stand at exact multiples, on the line between the internal steps around them") {
  const tests::SmallScene small = tests::read_small(tests::two_steps);
  PlayerOptions options;
  options.every_s = 0.7;
  Player player(small.scene, small.wall, options);
  std::vector<sim::Reading> ends{player.bench().reading()};
  while (player.time_s() < 60.0) {
    player.single_step();
    ends.push_back(player.bench().reading());
  }
  REQUIRE(player.readings().size() > 80);
  std::size_t i = 0;
  for (std::size_t k = 0; k < player.readings().size(); ++k) {
    const sim::Reading& row = player.readings()[k];
    CHECK(row.time_s == static_cast<double>(k) * 0.7);
    while (i + 2 < ends.size() && ends[i + 1].time_s < row.time_s) ++i;
    const double f = (row.time_s - ends[i].time_s) / (ends[i + 1].time_s - ends[i].time_s);
    CHECK(row.thermocouple_k[0] ==
          Approx(ends[i].thermocouple_k[0] + f * (ends[i + 1].thermocouple_k[0] - ends[i].thermocouple_k[0]))
              .margin(1e-9));
    CHECK(row.voltage_v == Approx(ends[i].voltage_v + f * (ends[i + 1].voltage_v - ends[i].voltage_v)).margin(1e-9));
  }
}

TEST_CASE("a row on the moment of a change shows the moment before it") {
  Player player = player_of(tests::two_steps, false);
  player.advance(200.0);
  CHECK(player.readings()[0].current_a == 5.0);    // t = 0: the first step has begun
  CHECK(player.readings()[24].current_a == 5.0);   // t = 120 s
  CHECK(player.readings()[25].current_a == 25.0);  // t = 125 s
}

TEST_CASE("an end before the steps' end cuts the last step and records it") {
  const tests::SmallScene small = tests::read_small(tests::two_steps);
  PlayerOptions options;
  options.end_s = 200.0;
  Player player(small.scene, small.wall, options);
  player.advance(1e6);
  CHECK(player.time_s() == Approx(200.0).margin(1e-9));
  REQUIRE(player.step_ends().size() == 2);
  CHECK(player.step_ends()[1].end_s == Approx(200.0).margin(1e-9));
  options.end_s = 500.0;
  Player longer(small.scene, small.wall, options);
  longer.advance(1e6);
  CHECK(longer.time_s() == Approx(500.0).margin(1e-9));
  CHECK(longer.step_ends().size() == 2);
  CHECK(longer.bench().conditions().current_a == 25.0);
}
