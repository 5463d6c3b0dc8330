// Changes and what takes them back, on a wall with two devices and two surroundings.

#include "scenes/play/changes.hpp"

#include <set>

#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

scenes::Player player_with_devices() {
  const tests::SmallScene small = tests::read_small("");
  auto wall = std::make_shared<sim::Wall>(*small.wall);
  sim::Device device;
  device.rated_a = 10.0;
  device.curves[0] = device.curves[1] = device.curves[2] = {{1.2}, {60.0}};
  for (const char* name : {"X10", "Y10"}) {
    device.name = name;
    wall->devices.push_back(device);
  }
  wall->mains = {230.0, 0.35};
  scenes::PlayerOptions options;
  options.threads = 1;
  return scenes::Player(small.scene, wall, options);
}

/// Everything that may be set to something else than at the start, one after the other.
const std::vector<scenes::Change>& changes_by_hand() {
  static const std::vector<scenes::Change> changes{scenes::SetSupply{sim::SupplyKind::branch},
                                                   scenes::SetDevice{"Y10"},
                                                   scenes::SetTripTime{sim::TripTime::latest},
                                                   scenes::SetCurrent{7.25},
                                                   scenes::SetSurroundings{"room", 301.3},
                                                   scenes::SetSurroundings{"attic, unused", 277.7},
                                                   scenes::SetDevice{""}};
  return changes;
}

}  // namespace

// No tolerance in this file: conditions are copied, never computed.

TEST_CASE("every change is taken back by its inverse", "[changes]") {
  scenes::Player player = player_with_devices();
  const sim::Wall& wall = player.bench().wall();
  std::set<std::size_t> kinds;
  for (const scenes::Change& change : changes_by_hand()) {
    kinds.insert(change.index());
    const sim::Conditions before = player.bench().conditions();
    const auto back = scenes::inverse(change, wall, before);
    INFO(scenes::control_of(change));
    REQUIRE(back);
    player.apply(change);
    const sim::Conditions after = player.bench().conditions();
    CHECK_FALSE(after == before);
    player.apply(*back);
    CHECK(player.bench().conditions() == before);
    player.apply(change);
    CHECK(player.bench().conditions() == after);
  }
  // All but closing a device again, which has no way back.
  CHECK(kinds.size() == std::variant_size_v<scenes::Change> - 1);
}

TEST_CASE("what cannot be taken back has no inverse", "[changes]") {
  const scenes::Player player = player_with_devices();
  const sim::Wall& wall = player.bench().wall();
  CHECK_FALSE(scenes::inverse(scenes::ResetDevice{}, wall, player.bench().conditions()));
  CHECK_FALSE(scenes::inverse(scenes::SetSurroundings{"cellar", 280.0}, wall, player.bench().conditions()));
}

TEST_CASE("the changes to some conditions bring another player there", "[changes]") {
  scenes::Player from = player_with_devices();
  for (const scenes::Change& change : changes_by_hand()) {
    from.apply(change);
    scenes::Player to = player_with_devices();
    to.apply(scenes::SetCurrent{1.0});
    to.apply(scenes::SetDevice{"X10"});
    for (const auto& one : scenes::changes_to(from.bench().wall(), from.bench().conditions())) to.apply(one);
    INFO(scenes::control_of(change));
    CHECK(to.bench().conditions() == from.bench().conditions());
  }
}

TEST_CASE("every control has a name of its own", "[changes]") {
  const scenes::Player player = player_with_devices();
  const auto changes = scenes::changes_to(player.bench().wall(), player.bench().conditions());
  std::set<std::string> names{scenes::control_of(scenes::ResetDevice{})};
  for (const scenes::Change& change : changes) names.insert(scenes::control_of(change));
  CHECK(names.size() == changes.size() + 1);
  CHECK(scenes::control_of(scenes::SetCurrent{1.0}) == scenes::control_of(scenes::SetCurrent{2.0}));
}
