#pragma once
// A wall with made-up temperatures, for the tests of the view: three bays between studs, a cable through them, a recess
// in the room face. No heat is computed; the temperatures are a formula, so that a test knows them everywhere.

#include <memory>

#include "sim/snapshot.hpp"

namespace warmbay::render::test {

/// 1.2 x 0.8 x 0.1143 m: gypsum board, 89 mm of studs and three fillings, board; the cable at y = 0.4 m, z = 0.0572 m.
[[nodiscard]] std::shared_ptr<const sim::Wall> three_bays();
/// The same with a box of surroundings cut out of the room face's upper right corner, down to z = 0.06 m.
[[nodiscard]] std::shared_ptr<const sim::Wall> three_bays_with_recess();

/// Temperatures of the formula below at every voxel centre; surroundings hold 5 °C.
[[nodiscard]] std::shared_ptr<const sim::Snapshot> warm(const std::shared_ptr<const sim::Wall>& wall);
/// The same temperature everywhere, K.
[[nodiscard]] std::shared_ptr<const sim::Snapshot> even(const std::shared_ptr<const sim::Wall>& wall, double all_k);

/// warm(), and damaged round the cable: foam nearer than void_m to its middle is gone, then melt_m of melt skin; wood
/// nearer than void_m is charred. An insulated conductor pair of the cable touches at short_at_m (none: below 0).
inline constexpr double void_m = 0.020;
inline constexpr double melt_m = 0.004;
[[nodiscard]] std::shared_ptr<const sim::Snapshot> damaged(const std::shared_ptr<const sim::Wall>& wall,
                                                           double short_at_m = -1.0);

/// The formula: 24 °C at the room, 18 °C at the far side, and a bell around the cable whose height and width differ
/// from bay to bay.
[[nodiscard]] double formula_k(const sim::Vec3& point_m);

inline constexpr double cable_y_m = 0.4;
inline constexpr double cable_z_m = 0.0572;

}  // namespace warmbay::render::test
