// Surface films. Limits of validity: isolated plates in still air, Ra up to about 1e12; emissivities are grey and diffuse.

#include "sim/film.hpp"

#include <algorithm>
#include <cmath>

#include "sim/units.hpp"

namespace warmbay::sim {

Air air_at(double temperature_k) {
  const double t = temperature_k;
  const double k = 2.64638e-3 * std::pow(t, 1.5) / (t + 245.4 * std::pow(10.0, -12.0 / t));
  const double viscosity_pa_s = 1.458e-6 * std::pow(t, 1.5) / (t + 110.4);
  const double density_kg_m3 = 101325.0 * 0.0289644 / (8.31432 * t);
  return {k, viscosity_pa_s / density_kg_m3, viscosity_pa_s * 1006.0 / k};
}

double buoyant_film_w_m2k(double surface_k, double air_k, double length_m, Facing facing) {
  const double film_k = 0.5 * (surface_k + air_k);
  const Air air = air_at(film_k);
  const double nu2 = air.kinematic_viscosity_m2_s * air.kinematic_viscosity_m2_s;
  const double rayleigh =
      gravity_m_s2 / film_k * std::abs(surface_k - air_k) * std::pow(length_m, 3) / nu2 * air.prandtl;
  double nusselt = 0.0;
  if (facing == Facing::sideways) {
    const double shape = std::pow(1.0 + std::pow(0.492 / air.prandtl, 9.0 / 16.0), 8.0 / 27.0);
    nusselt = std::pow(0.825 + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / shape, 2);
  } else if ((facing == Facing::up) == (surface_k >= air_k)) {
    nusselt = std::max(0.54 * std::pow(rayleigh, 0.25), 0.15 * std::cbrt(rayleigh));
  } else {
    nusselt = 0.27 * std::pow(rayleigh, 0.25);
  }
  return nusselt * air.conductivity_w_mk / length_m;
}

double radiant_film_w_m2k(double surface_k, double surroundings_k, double emissivity) {
  return emissivity * stefan_boltzmann_w_m2k4 *
         (surface_k * surface_k + surroundings_k * surroundings_k) * (surface_k + surroundings_k);
}

}  // namespace warmbay::sim
