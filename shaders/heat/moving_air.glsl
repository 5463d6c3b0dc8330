// Air that moves: sim/film.cpp and sim/air_exchange.cpp say what each formula is and where it comes from.

struct Air {
  float conductivity_w_mk;
  float kinematic_viscosity_m2_s;
  float prandtl;
};

Air air_at(float t) {
  float root = t * sqrt(t);
  // 10^x = 2^(x log2(10))
  float k = dry_air_conductivity_factor * root /
            (t + dry_air_conductivity_offset_k * exp2(-dry_air_conductivity_fade_k / t * log2_of_10));
  float viscosity_pa_s = dry_air_viscosity_factor * root / (t + dry_air_viscosity_offset_k);
  float density_kg_m3 = dry_air_pressure_pa * dry_air_molar_mass_kg_mol / (dry_air_gas_constant_j_molk * t);
  return Air(k, viscosity_pa_s / density_kg_m3, viscosity_pa_s * dry_air_heat_capacity_j_kgk / k);
}

float rayleigh_number(float difference_k, float mean_k, float length_m, Air air) {
  float by_nu = length_m / air.kinematic_viscosity_m2_s;
  return gravity_m_s2 / mean_k * abs(difference_k) * length_m * by_nu * by_nu * air.prandtl;
}

float layer_nusselt(float difference_k, float mean_k, float thickness_m, float height_m) {
  float ra = rayleigh_number(difference_k, mean_k, thickness_m, air_at(mean_k));
  if (ra < 1.0) return 1.0;
  float turbulent = tall_layer_turbulent_factor * pow(ra, 1.0 / 3.0);
  float inner = tall_layer_transition_factor * pow(ra, tall_layer_transition_power) /
                (1.0 + pow(tall_layer_transition_rayleigh / ra, tall_layer_transition_fade));
  float transition = pow(1.0 + inner * inner * inner, 1.0 / 3.0);
  float laminar = tall_layer_laminar_factor * pow(ra * thickness_m / height_m, tall_layer_laminar_power);
  return max(max(1.0, turbulent), max(transition, laminar));
}

float annulus_nusselt(float difference_k, float mean_k, float inner_m, float outer_m) {
  float gap_m = 0.5 * (outer_m - inner_m);
  if (gap_m <= 0.0) return 1.0;
  Air air = air_at(mean_k);
  float logarithm = log(outer_m / inner_m);
  float square = logarithm * logarithm;
  float both = pow(inner_m, annulus_diameter_power) + pow(outer_m, annulus_diameter_power);
  float shape = square * square / (gap_m * gap_m * gap_m * pow(both, 5.0));
  float ra = shape * rayleigh_number(difference_k, mean_k, gap_m, air);
  float by_prandtl = pow(air.prandtl / (annulus_prandtl_offset + air.prandtl), 0.25);
  return max(1.0, annulus_factor * by_prandtl * pow(max(ra, 1e-30), 0.25));
}

/// Between black surfaces, W/(m2 K).
float radiant_w_m2k(float one_k, float other_k) {
  return stefan_boltzmann_w_m2k4 * (one_k * one_k + other_k * other_k) * (one_k + other_k);
}
