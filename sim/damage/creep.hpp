#pragma once
// How fast insulation between two conductors gives way. Source of the form: life halves for every so many kelvin
// (common practice), less the rate at which the compound begins to yield: a thermoplastic below its softening bears a
// load for good, as the pressure test at high temperature (IEC 60811-508) wants of it.
// Limits: ageing (plasticiser lost, chains broken) is not computed; aged insulation that nobody moves stays in place.

#include "sim/damage/rules.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

/// What presses on the insulation, against conductors that nothing presses on, 1.
[[nodiscard]] double pressure_of(const Creep& creep, Squeeze squeeze);

/// Life used up per second, 1/s. pressure: from pressure_of; yields_at_k: of the compound, K.
[[nodiscard]] double wear_1_s(const Creep& creep, double pressure, double yields_at_k, double temperature_k);

}  // namespace warmbay::sim
