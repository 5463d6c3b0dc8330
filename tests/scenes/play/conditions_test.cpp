// What a wall is under when a scene and its steps begin.

#include "scenes/play/conditions.hpp"

#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/play/player.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

scenes::Scene sink() {
  const auto read = scenes::read_scene(test_scene("kitchen-sink.toml"), shipped_data_files());
  INFO(lines_of(read.faults));
  REQUIRE(read.scene);
  return *read.scene;
}

/// A cable along x through brick; neither a supply nor steps.
scenes::Scene plain() {
  const auto read = scenes::read_scene_text(R"(format = 1
[wall]
width_mm = 100.0
height_mm = 100.0
start_c = 20
[[wall.layer]]
material = "brick"
thickness_mm = 100.0
[[cable]]
name = "feed"
type = "flat 2x1.0+1.0"
route_mm = [[0.0, 50.0, 50.0], [100.0, 50.0, 50.0]]
)",
                                            "scene", shipped_data_files());
  INFO(lines_of(read.faults));
  REQUIRE(read.scene);
  return *read.scene;
}

}  // namespace

TEST_CASE("a scene that says nothing of its supply has a bench, 230 V should a branch come, and no device") {
  const auto scene = plain();
  const auto wall = scenes::paint(scene, shipped_data_files());
  CHECK(wall->mains.voltage_v == 230.0);
  const auto first = scenes::first_conditions(scene, *wall);
  CHECK(first.supply == sim::SupplyKind::bench);
  CHECK(first.device == -1);
  CHECK(wall->cables[0].squeeze == sim::Squeeze::none);
}

TEST_CASE("the conditions of a step change what it names and nothing else") {
  const auto scene = sink();
  const auto wall = scenes::paint(scene, shipped_data_files());
  const auto first = scenes::first_conditions(scene, *wall);
  CHECK(first.current_a == 15.0);
  CHECK(first.supply == sim::SupplyKind::branch);
  CHECK(wall->devices.at(static_cast<std::size_t>(first.device)).name == "NA 15");
  CHECK(first.surroundings_k[0] == 24.0 + 273.15);
  const auto second = scenes::conditions_of_step(scene, *wall, 1, first);
  CHECK(second.current_a == 15.0);
  CHECK(second.supply == sim::SupplyKind::bench);
  CHECK(wall->devices.at(static_cast<std::size_t>(second.device)).name == "gG 32");
  CHECK(second.surroundings_k[0] == 50.0 + 273.15);
  CHECK(second.surroundings_k[1] == Approx(1.7 + 273.15));
  CHECK(second.surroundings_k[2] == first.surroundings_k[2]);
  CHECK(scenes::conditions_of_step(scene, *wall, 9, first) == first);
  CHECK(scenes::conditions_of_step(scene, *wall, 0, sim::initial_conditions(*wall)) == first);
}

TEST_CASE("a scene's branch opens its device when its steps are played, and a step that changes the device closes it") {
  auto scene = plain();
  scene.supply = {scenes::SupplyKind::branch, {}, "C6"};
  scene.steps.resize(2);
  scene.steps[0].title = "Ten times 6 A";
  scene.steps[0].current_a = 60.0;
  scene.steps[0].hold_s = 20.0;
  scene.steps[0].until = "trip";
  scene.steps[1].title = "A larger one";
  scene.steps[1].device = "C40";
  scene.steps[1].current_a = 40.0;
  scene.steps[1].hold_s = 10.0;
  const auto shared = std::make_shared<const scenes::Scene>(scene);
  scenes::Player player(shared, scenes::paint(scene, shipped_data_files()), {});
  player.advance(60.0);
  std::string events;
  for (const auto& event : player.events()) events += event.event + " " + event.where + "\n";
  CHECK(events == "step Ten times 6 A\ntrip C6\nstep A larger one\n");
  CHECK(player.bench().reading().current_a == 40.0);
  CHECK(player.time_s() == Approx(10.0).margin(0.1));
}

TEST_CASE("a step that names the device that has opened closes it again, cold; one that names none leaves it open") {
  auto scene = plain();
  scene.supply = {scenes::SupplyKind::branch, {}, "C6"};
  scene.steps.resize(3);
  for (auto& step : scene.steps) {
    step.current_a = 60.0;
    step.hold_s = 20.0;
  }
  scene.steps[0].until = "trip";
  scene.steps[2].device = "C6";
  const auto shared = std::make_shared<const scenes::Scene>(scene);
  scenes::PlayerOptions options;
  options.stop_between_steps = true;
  scenes::Player player(shared, scenes::paint(scene, shipped_data_files()), options);
  player.advance(60.0);
  REQUIRE(player.bench().reading().device_open);
  player.next();
  CHECK(player.bench().reading().device_open);
  CHECK(player.bench().reading().current_a == 0.0);
  player.next();
  CHECK_FALSE(player.bench().reading().device_open);
  CHECK(player.bench().reading().device_progress == 0.0);
  CHECK(player.bench().reading().current_a == 60.0);
}
