#pragma once
// A hand on a surface: how warm the skin gets at once, and how long it may stay.

#include <string>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::sim {

struct Skin {
  double temperature_k = 0.0;
  double effusivity_w_s05_m2k = 0.0;  // sqrt(conductivity x density x heat capacity), W s^0.5/(m2 K)
};

/// sqrt(k rho c) of a material at a temperature, W s^0.5/(m2 K).
[[nodiscard]] double effusivity_w_s05_m2k(const Material& material, double at_k);

/// Temperature at which skin and a surface meet the moment they touch, K: two half-spaces, each of one temperature
/// before, T = (b1 T1 + b2 T2) / (b1 + b2). Source: Incropera, ch. 5. Holds while the heat has not run through the
/// outer layer of either, some seconds on a board; blood then carries heat off, which is left out.
[[nodiscard]] double contact_temperature_k(const Skin& skin, double surface_k, double surface_effusivity_w_s05_m2k);

/// From this surface temperature on, contact for so long burns.
struct BurnThreshold {
  double contact_s = 0.0;
  double surface_k = 0.0;
};

/// Surfaces that burn alike.
struct BurnClass {
  std::string name;
  double effusivity_w_s05_m2k = 0.0;      // typical of the class
  std::vector<BurnThreshold> thresholds;  // times rising, temperatures falling; at least one
};

/// The class whose effusivity is nearest to a material's, as a ratio: what conducts like plastic burns like plastic.
/// classes: at least one.
[[nodiscard]] const BurnClass& class_of(const std::vector<BurnClass>& classes, double effusivity_w_s05_m2k);

/// The longest contact without a burn, s: between two thresholds log time is linear in temperature. 0: shorter than the
/// shortest threshold; infinity: colder than the last one.
[[nodiscard]] double longest_contact_s(const BurnClass& surface, double surface_k);

}  // namespace warmbay::sim
