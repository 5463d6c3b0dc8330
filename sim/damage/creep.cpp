#include "sim/damage/creep.hpp"

#include <cmath>

namespace warmbay::sim {

double pressure_of(const Creep& creep, Squeeze squeeze) {
  return squeeze == Squeeze::none ? 1.0 : squeeze == Squeeze::staple ? creep.staple : creep.pinched;
}

double wear_1_s(const Creep& creep, double pressure, double yields_at_k, double temperature_k) {
  if (temperature_k <= yields_at_k) return 0.0;
  const auto doublings = [&](double at_k) { return std::exp2((at_k - creep.at_k) / creep.halves_every_k); };
  return pressure / creep.life_s * (doublings(temperature_k) - doublings(yields_at_k));
}

}  // namespace warmbay::sim
