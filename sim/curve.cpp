// Piecewise-linear properties of temperature.

#include "sim/curve.hpp"

#include <algorithm>
#include <cstddef>

namespace warmbay::sim {

double Curve::at(double temperature) const {
  if (constant() || temperature <= temperature_k.front()) return value.front();
  if (temperature >= temperature_k.back()) return value.back();
  const auto above = std::upper_bound(temperature_k.begin(), temperature_k.end(), temperature);
  const auto n = static_cast<std::size_t>(above - temperature_k.begin());
  const double share = (temperature - temperature_k[n - 1]) / (temperature_k[n] - temperature_k[n - 1]);
  return value[n - 1] + share * (value[n] - value[n - 1]);
}

}  // namespace warmbay::sim
