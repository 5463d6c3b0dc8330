// Bouguer's law for smoke: light falls off as exp(-K x), K = specific extinction x mass of smoke per volume of air.
// Limits: a closed room, mixed at once, no smoke on its walls; an alarm without the delay of its chamber.

#include "scenes/play/smoke.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

namespace warmbay::scenes {

double extinction_1_m(const sim::SmokeRules& rules, double smoke_kg) {
  return rules.room_m3 > 0.0 ? rules.extinction_m2_kg * smoke_kg / rules.room_m3 : 0.0;
}

double obscuration_db_m(const sim::SmokeRules& rules, double smoke_kg) {
  return 10.0 * extinction_1_m(rules, smoke_kg) / std::numbers::ln10;
}

Visibility visibility(const sim::SmokeRules& rules, double smoke_kg) {
  const double k_1_m = extinction_1_m(rules, smoke_kg);
  if (k_1_m <= 0.0) return {std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  return {rules.reflecting_sign / k_1_m, rules.lit_sign / k_1_m};
}

std::optional<double> alarm_s(const sim::SmokeRules& rules, const std::vector<sim::Reading>& rows) {
  if (rules.alarm_db_m <= 0.0) return std::nullopt;
  const auto sounds = [&](const sim::Reading& row) {
    return obscuration_db_m(rules, row.smoke_kg) >= rules.alarm_db_m;
  };
  const auto first = std::find_if(rows.begin(), rows.end(), sounds);
  return first == rows.end() ? std::nullopt : std::optional(first->time_s);
}

}  // namespace warmbay::scenes
