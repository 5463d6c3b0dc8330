// Surface films. Limits of validity: isolated plates in still air, Ra up to about 1e12; emissivities are grey and
// diffuse.

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
  constexpr double heat_capacity_j_kgk = 1006.0;
  return {k, viscosity_pa_s / density_kg_m3, viscosity_pa_s * heat_capacity_j_kgk / k,
          density_kg_m3 * heat_capacity_j_kgk};
}

namespace {

/// Rayleigh number of a temperature difference over a length, both in SI units.
double rayleigh_number(double warm_k, double cold_k, double length_m, const Air& air) {
  const double mean_k = 0.5 * (warm_k + cold_k), nu = air.kinematic_viscosity_m2_s;
  return gravity_m_s2 / mean_k * std::abs(warm_k - cold_k) * length_m * length_m * length_m / (nu * nu) * air.prandtl;
}

}  // namespace

double layer_nusselt(double warm_k, double cold_k, double thickness_m, double height_m) {
  const double ra = rayleigh_number(warm_k, cold_k, thickness_m, air_at(0.5 * (warm_k + cold_k)));
  if (ra < 1.0) return 1.0;
  const double turbulent = 0.0605 * std::cbrt(ra);
  const double transition =
      std::cbrt(1.0 + std::pow(0.104 * std::pow(ra, 0.293) / (1.0 + std::pow(6310.0 / ra, 1.36)), 3));
  const double laminar = 0.242 * std::pow(ra * thickness_m / height_m, 0.272);
  return std::max({1.0, turbulent, transition, laminar});
}

double annulus_nusselt(double warm_k, double cold_k, double inner_m, double outer_m) {
  const double gap_m = 0.5 * (outer_m - inner_m);
  if (gap_m <= 0.0) return 1.0;
  const Air air = air_at(0.5 * (warm_k + cold_k));
  const double shape = std::pow(std::log(outer_m / inner_m), 4) /
                       (std::pow(gap_m, 3) * std::pow(std::pow(inner_m, -0.6) + std::pow(outer_m, -0.6), 5));
  const double ra = shape * rayleigh_number(warm_k, cold_k, gap_m, air);
  return std::max(1.0, 0.386 * std::pow(air.prandtl / (0.861 + air.prandtl), 0.25) * std::pow(ra, 0.25));
}

double buoyant_film_w_m2k(double surface_k, double air_k, double length_m, Facing facing) {
  const Air air = air_at(0.5 * (surface_k + air_k));
  const double rayleigh = rayleigh_number(surface_k, air_k, length_m, air);
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
  return emissivity * stefan_boltzmann_w_m2k4 * (surface_k * surface_k + surroundings_k * surroundings_k) *
         (surface_k + surroundings_k);
}

}  // namespace warmbay::sim
