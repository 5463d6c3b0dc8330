#pragma once
// A wall that takes the place of another: built on a thread of its own, then brought to the step and the conditions of
// the experiment that it goes on with.

#include <memory>
#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/play/changes.hpp"
#include "scenes/play/player.hpp"
#include "scenes/scene.hpp"
#include "sim/wall.hpp"

namespace warmbay::render {

/// Why something could not be done, for people.
struct Reason {
  bool memory = false;  // there was not enough of it
  std::string said;     // what the machine says; empty: nothing is wrong
};
[[nodiscard]] Reason reason_of(const std::exception& error);

/// A player as the builder hands it over.
struct Built {
  int number = 0;    // of the request, counting from 1
  int opens_at = 0;  // number of the latest request up to this one that asked for another scene's opening state
  std::unique_ptr<scenes::Player> player;  // nullptr: it could not be built
  std::shared_ptr<const scenes::Scene> scene;
  Reason reason;
};

/// Paints and makes the player; throws nothing.
[[nodiscard]] Built build_wall(std::shared_ptr<const scenes::Scene> scene, const scenes::DataFiles& data,
                               const scenes::PlayerOptions& options);

/// Where a rebuilt wall goes on: the same step, the same conditions, simulated time 0.
struct CarryOn {
  int step = -1;
  std::vector<scenes::Change> changes;  // that bring the conditions about, by names: the new wall may have other things
};
/// What a wall under these conditions hands on.
[[nodiscard]] CarryOn handed_on(int step, const sim::Wall& wall, const sim::Conditions& conditions);
/// Brings a player in its opening state there. Names that its wall does not have are passed over.
void carry_on(scenes::Player& player, const CarryOn& from);

}  // namespace warmbay::render
