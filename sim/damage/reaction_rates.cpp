#include "sim/damage/reaction_rates.hpp"

#include <cmath>

#include "sim/limits.hpp"
#include "sim/units.hpp"

namespace warmbay::sim {

ReactionRates::ReactionRates(double rate_1_s, double energy_j_mol, double from_k)
    : from_k_(static_cast<float>(from_k)), per_k_(static_cast<float>(1.0 / limits::rate_spacing_k)) {
  for (double t_k = from_k; t_k < limits::runaway_k + limits::copper_change_k; t_k += limits::rate_spacing_k)
    rate_1_s_.push_back(static_cast<float>(rate_1_s * std::exp(-energy_j_mol / (gas_constant_j_molk * t_k))));
}

float reacted(float rate_1_s, float dt_s) {
  return -std::expm1(-rate_1_s * dt_s);
}

}  // namespace warmbay::sim
