// Surface films. Limits of validity: isolated plates in still air, Ra up to about 1e12; emissivities are grey and
// diffuse.

#include "sim/film.hpp"

#include <algorithm>
#include <cmath>

#include "sim/units.hpp"

namespace warmbay::sim {

Air air_at(double temperature_k) {
  namespace air = dry_air;
  const double t = temperature_k;
  const double k = air::conductivity_factor * std::pow(t, 1.5) /
                   (t + air::conductivity_offset_k * std::pow(10.0, -air::conductivity_fade_k / t));
  const double viscosity_pa_s = air::viscosity_factor * std::pow(t, 1.5) / (t + air::viscosity_offset_k);
  const double density_kg_m3 = air::pressure_pa * air::molar_mass_kg_mol / (air::gas_constant_j_molk * t);
  return {k, viscosity_pa_s / density_kg_m3, viscosity_pa_s * air::heat_capacity_j_kgk / k,
          density_kg_m3 * air::heat_capacity_j_kgk};
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
  namespace layer = tall_layer;
  const double turbulent = layer::turbulent_factor * std::cbrt(ra);
  const double setting_in = layer::transition_factor * std::pow(ra, layer::transition_power) /
                            (1.0 + std::pow(layer::transition_rayleigh / ra, layer::transition_fade));
  const double transition = std::cbrt(1.0 + std::pow(setting_in, 3));
  const double laminar = layer::laminar_factor * std::pow(ra * thickness_m / height_m, layer::laminar_power);
  return std::max({1.0, turbulent, transition, laminar});
}

double annulus_nusselt(double warm_k, double cold_k, double inner_m, double outer_m) {
  const double gap_m = 0.5 * (outer_m - inner_m);
  if (gap_m <= 0.0) return 1.0;
  const Air air = air_at(0.5 * (warm_k + cold_k));
  const double both = std::pow(inner_m, annulus::diameter_power) + std::pow(outer_m, annulus::diameter_power);
  const double shape = std::pow(std::log(outer_m / inner_m), 4) / (std::pow(gap_m, 3) * std::pow(both, 5));
  const double ra = shape * rayleigh_number(warm_k, cold_k, gap_m, air);
  const double by_prandtl = std::pow(air.prandtl / (annulus::prandtl_offset + air.prandtl), 0.25);
  return std::max(1.0, annulus::factor * by_prandtl * std::pow(ra, 0.25));
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
