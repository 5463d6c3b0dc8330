// From the supply and the steps of a scene to conditions. Names that the wall does not have are passed over.

#include "scenes/play/conditions.hpp"

#include <utility>

#include "scenes/read/by_name.hpp"

namespace warmbay::scenes {

namespace {

sim::Conditions with_supply(const Scene& scene, const sim::Wall& wall, sim::Conditions conditions) {
  conditions.supply = scene.supply.kind;
  conditions.device = index_by_name(wall.devices, scene.supply.device);
  return conditions;
}

}  // namespace

sim::Conditions first_conditions(const Scene& scene, const sim::Wall& wall) {
  const auto initial = sim::initial_conditions(wall);
  return scene.steps.empty() ? with_supply(scene, wall, initial) : conditions_of_step(scene, wall, 0, initial);
}

sim::Conditions conditions_of_step(const Scene& scene, const sim::Wall& wall, int step, sim::Conditions before) {
  if (step < 0 || step >= static_cast<int>(scene.steps.size())) return before;
  if (step == 0) before = with_supply(scene, wall, std::move(before));
  const auto& begun = scene.steps[static_cast<std::size_t>(step)];
  if (begun.current_a) before.current_a = *begun.current_a;
  if (begun.kind) before.supply = *begun.kind;
  if (begun.device) before.device = index_by_name(wall.devices, *begun.device);
  for (const auto& [name, at_k] : begun.surroundings_k) {
    const int i = index_by_name(wall.surroundings, name);
    if (i >= 0) before.surroundings_k[static_cast<std::size_t>(i)] = at_k;
  }
  return before;
}

}  // namespace warmbay::scenes
