// Radiance of a grey surface and back, W/m2.

#include "sim/infrared.hpp"

#include <cmath>

#include "sim/units.hpp"

namespace warmbay::sim {

namespace {

double black_w_m2(double temperature_k) {
  const double square = temperature_k * temperature_k;
  return stefan_boltzmann_w_m2k4 * square * square;
}

}  // namespace

double apparent_temperature_k(double surface_k, double emissivity, const InfraredSettings& settings) {
  const double room_w_m2 = black_w_m2(settings.reflected_k);
  const double received_w_m2 = emissivity * black_w_m2(surface_k) + (1.0 - emissivity) * room_w_m2;
  const double own_w_m2 = received_w_m2 - (1.0 - settings.emissivity) * room_w_m2;
  if (own_w_m2 <= 0.0) return 0.0;
  return std::sqrt(std::sqrt(own_w_m2 / (settings.emissivity * stefan_boltzmann_w_m2k4)));
}

}  // namespace warmbay::sim
