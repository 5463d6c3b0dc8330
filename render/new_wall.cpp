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
  CarryOn from{step, conditions, {}, {}};
  for (const auto& s : wall.surroundings) from.surroundings.push_back(s.name);
  if (conditions.device >= 0) from.device = wall.devices[static_cast<std::size_t>(conditions.device)].name;
  return from;
}

void carry_on(scenes::Player& player, const CarryOn& from) {
  while (player.step() < from.step) {
    const int before = player.step();
    player.next();
    if (player.step() == before) break;
  }
  // The player passes over what is so already.
  player.apply(scenes::SetSupply{from.conditions.supply});
  player.apply(scenes::SetDevice{from.device});
  player.apply(scenes::SetTripTime{from.conditions.trip_time});
  player.apply(scenes::SetCurrent{from.conditions.current_a});
  for (std::size_t i = 0; i < from.surroundings.size(); ++i)
    player.apply(scenes::SetSurroundings{from.surroundings[i], from.conditions.surroundings_k[i]});
}

}  // namespace warmbay::render
