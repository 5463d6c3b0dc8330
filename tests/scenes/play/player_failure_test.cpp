// The player of a wall that gives way: devices that trip and are closed again, and the end of the model.

#include "scenes/paint/painter.hpp"
#include "scenes/play/player.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using scenes::Player;
using scenes::PlayerOptions;

namespace {

/// The small wall with a device that opens 60 s after anything above 12 A, foam that softens at 30 °C and can catch
/// fire at 36 °C, both far too low to be true.
std::shared_ptr<const sim::Wall> frail(const tests::SmallScene& small) {
  auto wall = std::make_shared<sim::Wall>(*small.wall);
  sim::Device device;
  device.name = "X10";
  device.rated_a = 10.0;
  device.cools_s = 30.0;
  device.curves[0] = {{1.2}, {30.0}};
  device.curves[1] = {{1.2}, {60.0}};
  device.curves[2] = {{1.2}, {90.0}};
  wall->devices = {device};
  wall->mains = {230.0, 0.35};
  sim::Damage damage;
  damage.softens_k = 303.15;
  damage.ignites_k = 309.15;
  for (sim::Material& material : wall->materials) {
    if (material.name != "test foam") continue;
    material.damage = std::make_shared<const sim::Damage>(damage);
    material.conductivity_w_mk = {{273.15, 373.15}, {0.038, 0.052}};
  }
  return wall;
}

Player player_of(const std::string& steps, bool stop_between_steps) {
  const tests::SmallScene small = tests::read_small(steps);
  PlayerOptions options;
  options.threads = 1;
  options.stop_between_steps = stop_between_steps;
  return Player(small.scene, frail(small), options);
}

std::vector<std::string> names_of(const Player& player) {
  std::vector<std::string> names;
  for (const scenes::Event& e : player.events()) names.push_back(e.event);
  return names;
}

bool has(const Player& player, const std::string& event) {
  const auto names = names_of(player);
  return std::find(names.begin(), names.end(), event) != names.end();
}

/// Everything that a player shows of the wall, bit by bit.
bool same_wall(const Player& a, const Player& b) {
  const auto left = a.bench().snapshot();
  const auto right = b.bench().snapshot();
  return left->temperature_k == right->temperature_k && left->states == right->states &&
         left->reading.time_s == right->reading.time_s && left->reading.device_open == right->reading.device_open &&
         left->reading.device_progress == right->reading.device_progress &&
         left->reading.current_a == right->reading.current_a;
}

std::string step_of(double current_a, double hold_min, const std::string& more = "") {
  return "[[step]]\ntitle = \"Test\"\ncurrent_a = " + std::to_string(current_a) +
         "\nhold_min = " + std::to_string(hold_min) + "\n" + more + "\n";
}

void onto_branch(Player& player) {
  player.apply(scenes::SetSupply{sim::SupplyKind::branch});
  player.apply(scenes::SetDevice{"X10"});
}

}  // namespace

TEST_CASE("a branch's device trips at its time, told with its name and current", "[player]") {
  Player player = player_of(step_of(15.0, 5.0), false);
  onto_branch(player);
  REQUIRE(player.changes().size() == 2);
  player.advance(1e6);
  REQUIRE(has(player, "trip"));
  const auto trip = std::find_if(player.events().begin(), player.events().end(),
                                 [](const scenes::Event& e) { return e.event == "trip"; });
  CHECK(trip->time_s == Approx(60.0).margin(1e-6));
  CHECK(trip->where == "X10");
  CHECK(trip->value == 15.0);
  CHECK(player.bench().reading().current_a == 0.0);
  CHECK(player.readings().back().device_open);
  CHECK(player.readings().back().current_a == 0.0);
}

TEST_CASE("the trip time that is chosen is the one that counts", "[player]") {
  Player player = player_of(step_of(15.0, 5.0), false);
  onto_branch(player);
  player.apply(scenes::SetTripTime{sim::TripTime::latest});
  player.advance(1e6);
  const auto trip = std::find_if(player.events().begin(), player.events().end(),
                                 [](const scenes::Event& e) { return e.event == "trip"; });
  REQUIRE(trip != player.events().end());
  CHECK(trip->time_s == Approx(90.0).margin(1e-6));
}

TEST_CASE("a step can wait for a trip, and a window stops at one", "[player]") {
  Player run = player_of(step_of(15.0, 5.0, "until = \"trip\""), false);
  onto_branch(run);
  run.advance(1e6);
  REQUIRE(run.step_ends().size() == 1);
  CHECK(run.step_ends()[0].ended_by == "trip");
  CHECK(run.step_ends()[0].end_s == Approx(60.0).margin(1e-6));

  Player window = player_of(step_of(15.0, 5.0, "stop_at = [\"trip\"]"), true);
  onto_branch(window);
  window.advance(1e6);
  CHECK(window.stopped_by() == "trip");
  CHECK_FALSE(window.step_over());
  CHECK_FALSE(window.ended());
  window.go_on();
  window.advance(1e6);
  CHECK(window.step_over());
}

TEST_CASE("a device that opened is closed by hand, logged, and trips again", "[player]") {
  Player player = player_of(step_of(15.0, 10.0), false);
  player.apply(scenes::ResetDevice{});
  CHECK(player.changes().empty());  // a bench has nothing to close
  onto_branch(player);
  player.advance(100.0);
  REQUIRE(player.bench().reading().device_open);
  const double closed_s = player.time_s();
  player.apply(scenes::ResetDevice{});
  REQUIRE(player.changes().size() == 3);
  CHECK(std::holds_alternative<scenes::ResetDevice>(player.changes().back().change));
  CHECK(player.changes().back().time_s == closed_s);
  CHECK(player.bench().reading().current_a == 15.0);
  player.apply(scenes::ResetDevice{});
  CHECK(player.changes().size() == 3);  // closed already
  player.advance(1e6);
  std::vector<double> trips_s;
  for (const scenes::Event& e : player.events())
    if (e.event == "trip") trips_s.push_back(e.time_s);
  REQUIRE(trips_s.size() == 2);
  CHECK(trips_s[1] - closed_s == Approx(60.0).margin(1e-6));
}

TEST_CASE("a device that the wall does not have is ignored, an empty name takes it away", "[player]") {
  Player player = player_of(step_of(15.0, 5.0), false);
  player.apply(scenes::SetDevice{"no such"});
  CHECK(player.changes().empty());
  CHECK(player.bench().conditions().device == -1);
  player.apply(scenes::SetDevice{"X10"});
  CHECK(player.bench().conditions().device == 0);
  player.apply(scenes::SetDevice{""});
  CHECK(player.bench().conditions().device == -1);
  CHECK(player.changes().size() == 2);
}

TEST_CASE("ignition risk ends the experiment: nothing goes on, and back and reset lead out of it", "[player]") {
  const std::string steps = step_of(5.0, 1.0) + step_of(40.0, 30.0) + step_of(5.0, 1.0);
  Player player = player_of(steps, true);
  player.advance(1e6);
  player.next();
  Player begun = player_of(steps, true);
  begun.advance(1e6);
  begun.next();
  player.advance(1e6);
  REQUIRE(player.ended());
  CHECK(player.waiting());
  CHECK(player.step_over());
  CHECK(player.stopped_by() == "ignition-risk");
  CHECK(player.events().back().event == "ignition-risk");
  CHECK(player.events().back().where == "test foam");
  CHECK(player.events().back().value >= 36.0);
  CHECK(has(player, "softening"));
  REQUIRE(player.step_ends().size() == 2);
  CHECK(player.step_ends()[1].ended_by == "ignition-risk");

  const double ended_s = player.time_s();
  const std::size_t events = player.events().size();
  player.go_on();
  player.next();
  player.advance(100.0);
  player.single_step();
  player.apply(scenes::SetCurrent{1.0});
  CHECK(player.time_s() == ended_s);
  CHECK(player.step() == 1);
  CHECK(player.events().size() == events);
  CHECK(player.changes().empty());
  CHECK(player.waiting());

  player.back();
  CHECK_FALSE(player.ended());
  CHECK_FALSE(player.waiting());
  CHECK(same_wall(player, begun));
  CHECK_FALSE(has(player, "softening"));
  player.advance(1e6);
  CHECK(player.ended());
  CHECK(player.time_s() == ended_s);  // the same way there
  CHECK(player.events().size() == events);

  player.reset();
  CHECK(player.time_s() == 0.0);
  CHECK(same_wall(player, player_of(steps, true)));
}

TEST_CASE("a run ends where the model does, whatever its steps had left", "[player]") {
  Player player = player_of(step_of(40.0, 30.0) + step_of(5.0, 1.0), false);
  player.advance(1e6);
  CHECK(player.ended());
  CHECK(player.waiting());
  CHECK(player.time_s() < 1800.0);
  CHECK(player.step() == 0);
  CHECK(player.step_ends().size() == 1);
}

TEST_CASE("a run that gives way is the same bit by bit however time is cut up", "[player]") {
  const std::string steps = step_of(15.0, 2.0) + step_of(40.0, 10.0);
  Player whole = player_of(steps, false);
  Player frames = player_of(steps, false);
  for (Player* player : {&whole, &frames}) onto_branch(*player);
  whole.advance(100.0);
  while (frames.time_s() < whole.time_s()) frames.advance(0.016);
  REQUIRE(same_wall(whole, frames));
  for (Player* player : {&whole, &frames}) player->apply(scenes::SetSupply{sim::SupplyKind::bench});
  whole.advance(1e6);
  while (!frames.waiting()) frames.advance(0.31);
  CHECK(whole.ended());
  CHECK(same_wall(whole, frames));
  CHECK(names_of(whole) == names_of(frames));
}
