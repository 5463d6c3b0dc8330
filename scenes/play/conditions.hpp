#pragma once
// What a wall is under when a scene begins, and when one of its steps does.

#include "scenes/scene.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

/// The conditions a scene starts with: its supply, and what its first step changes.
[[nodiscard]] sim::Conditions first_conditions(const Scene& scene, const sim::Wall& wall);

/// The conditions after step `step` (0-based) has begun, when those before it were `before`. The first step brings the
/// scene's supply with it.
[[nodiscard]] sim::Conditions conditions_of_step(const Scene& scene, const sim::Wall& wall, int step,
                                                 sim::Conditions before);

}  // namespace warmbay::scenes
