// A wall that takes the place of another.

#include "render/new_wall.hpp"

#include <exception>
#include <new>

#include "scenes/paint/painter.hpp"

namespace warmbay::render {

Reason reason_of(const std::exception& error) {
  if (dynamic_cast<const std::bad_alloc*>(&error) != nullptr) return {true, "memory"};  // short: it must not allocate
  return {false, error.what()};
}

Built build_wall(std::shared_ptr<const scenes::Scene> scene, const scenes::DataFiles& data,
                 const scenes::PlayerOptions& options) {
  Built built;
  built.scene = std::move(scene);
  try {
    built.player = std::make_unique<scenes::Player>(built.scene, scenes::paint(*built.scene, data), options);
    built.player->leave_thread();
  } catch (const std::exception& error) {  // most likely: no memory for so many voxels
    built.player.reset();
    built.reason = reason_of(error);
  }
  return built;
}

CarryOn handed_on(int step, const sim::Wall& wall, const sim::Conditions& conditions) {
  return {step, scenes::changes_to(wall, conditions)};
}

void carry_on(scenes::Player& player, const CarryOn& from) {
  while (player.step() < from.step) {
    const int before = player.step();
    player.next();
    if (player.step() == before) break;
  }
  // The player passes over what is so already.
  for (const scenes::Change& change : from.changes) player.apply(change);
}

}  // namespace warmbay::render
