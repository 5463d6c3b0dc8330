// Contact of two half-spaces, and burn thresholds read off between their published points.

#include "sim/touch.hpp"

#include <cassert>
#include <cmath>
#include <limits>

namespace warmbay::sim {

double effusivity_w_s05_m2k(const Material& material, double at_k) {
  return std::sqrt(material.conductivity_w_mk.at(at_k) * material.density_kg_m3 * material.heat_capacity_j_kgk);
}

double contact_temperature_k(const Skin& skin, double surface_k, double surface_effusivity_w_s05_m2k) {
  const double both = skin.effusivity_w_s05_m2k + surface_effusivity_w_s05_m2k;
  return (skin.effusivity_w_s05_m2k * skin.temperature_k + surface_effusivity_w_s05_m2k * surface_k) / both;
}

const BurnClass& class_of(const std::vector<BurnClass>& classes, double effusivity_w_s05_m2k) {
  assert(!classes.empty());
  const auto away = [&](const BurnClass& one) {
    return std::abs(std::log(one.effusivity_w_s05_m2k / effusivity_w_s05_m2k));
  };
  const BurnClass* nearest = &classes.front();
  for (const BurnClass& one : classes)
    if (away(one) < away(*nearest)) nearest = &one;
  return *nearest;
}

double longest_contact_s(const BurnClass& surface, double surface_k) {
  const std::vector<BurnThreshold>& at = surface.thresholds;
  assert(!at.empty());
  if (surface_k > at.front().surface_k) return 0.0;
  if (surface_k < at.back().surface_k) return std::numeric_limits<double>::infinity();
  for (std::size_t n = 1; n < at.size(); ++n) {
    if (surface_k < at[n].surface_k) continue;
    const double share = (at[n - 1].surface_k - surface_k) / (at[n - 1].surface_k - at[n].surface_k);
    return at[n - 1].contact_s * std::pow(at[n].contact_s / at[n - 1].contact_s, share);
  }
  return at.back().contact_s;
}

}  // namespace warmbay::sim
