#pragma once
// What smoke from the wall does to a closed room: how far one still sees, and when its alarm would have sounded.

#include <optional>
#include <vector>

#include "sim/damage/rules.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// Extinction coefficient K of the air, 1/m, once smoke_kg is spread evenly through rules.room_m3 and none has settled.
[[nodiscard]] double extinction_1_m(const sim::SmokeRules& rules, double smoke_kg);
/// Optical density of the air over a metre as smoke alarms are rated, dB/m: 10 log10 of the light's loss, 10 K / ln 10.
[[nodiscard]] double obscuration_db_m(const sim::SmokeRules& rules, double smoke_kg);

/// How far a sign can be seen, m: S = constant / K. Infinity in clear air. Source: SFPE handbook (Jin), 3 for a sign
/// that reflects and 8 for one that is lit.
struct Visibility {
  double reflecting_m;
  double lit_m;
};
[[nodiscard]] Visibility visibility(const sim::SmokeRules& rules, double smoke_kg);

/// The first row at which the room's obscuration has reached rules.alarm_db_m; nothing if none has.
[[nodiscard]] std::optional<double> alarm_s(const sim::SmokeRules& rules, const std::vector<sim::Reading>& rows);

}  // namespace warmbay::scenes
