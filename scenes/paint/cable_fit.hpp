#pragma once
// How a cable of a scene lies in its wall: its type with all materials, and the axis of each leg's short side.

#include <optional>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// The axis along which a leg runs; nothing when its ends differ along none or more than one. Corners in m.
[[nodiscard]] std::optional<sim::Axis> leg_axis(const sim::Vec3& from_m, const sim::Vec3& to_m);

/// The distance between the nearest changes of material around a point along an axis, m. A point on a change: 0.
[[nodiscard]] double free_space_m(const Scene& scene, const sim::Vec3& at_m, sim::Axis axis);

/// The axis of the short side of a leg that does not say: of the two axes across it, the one along which the free space
/// around its middle is shorter; when equal, z, or y for a leg along z.
[[nodiscard]] sim::Axis default_flat(const Scene& scene, const sim::Vec3& from_m, const sim::Vec3& to_m);

/// A cable as sim knows it. Its type and materials must be known, and every leg run along one axis.
[[nodiscard]] sim::Cable fit_cable(const Scene& scene, const DataFiles& data, const CableRun& run);

}  // namespace warmbay::scenes
