// Air that moves: sim/film.cpp and sim/air_exchange.cpp say what each formula is and where it comes from.

struct Air {
  float conductivity_w_mk;
  float kinematic_viscosity_m2_s;
  float prandtl;
};

Air air_at(float t) {
  float root = t * sqrt(t);
  float k = 2.64638e-3 * root / (t + 245.4 * exp2(-12.0 / t * 3.32192809));  // 10^x = 2^(3.32 x)
  float viscosity_pa_s = 1.458e-6 * root / (t + 110.4);
  float density_kg_m3 = 101325.0 * 0.0289644 / (8.31432 * t);
  return Air(k, viscosity_pa_s / density_kg_m3, viscosity_pa_s * 1006.0 / k);
}

float rayleigh_number(float difference_k, float mean_k, float length_m, Air air) {
  float by_nu = length_m / air.kinematic_viscosity_m2_s;
  return 9.80665 / mean_k * abs(difference_k) * length_m * by_nu * by_nu * air.prandtl;
}

float layer_nusselt(float difference_k, float mean_k, float thickness_m, float height_m) {
  float ra = rayleigh_number(difference_k, mean_k, thickness_m, air_at(mean_k));
  if (ra < 1.0) return 1.0;
  float turbulent = 0.0605 * pow(ra, 1.0 / 3.0);
  float inner = 0.104 * pow(ra, 0.293) / (1.0 + pow(6310.0 / ra, 1.36));
  float transition = pow(1.0 + inner * inner * inner, 1.0 / 3.0);
  float laminar = 0.242 * pow(ra * thickness_m / height_m, 0.272);
  return max(max(1.0, turbulent), max(transition, laminar));
}

float annulus_nusselt(float difference_k, float mean_k, float inner_m, float outer_m) {
  float gap_m = 0.5 * (outer_m - inner_m);
  if (gap_m <= 0.0) return 1.0;
  Air air = air_at(mean_k);
  float logarithm = log(outer_m / inner_m);
  float square = logarithm * logarithm;
  float shape = square * square / (gap_m * gap_m * gap_m * pow(pow(inner_m, -0.6) + pow(outer_m, -0.6), 5.0));
  float ra = shape * rayleigh_number(difference_k, mean_k, gap_m, air);
  return max(1.0, 0.386 * pow(air.prandtl / (0.861 + air.prandtl), 0.25) * pow(max(ra, 1e-30), 0.25));
}

/// Between black surfaces, W/(m2 K).
float radiant_w_m2k(float one_k, float other_k) {
  return 5.670374419e-8 * (one_k * one_k + other_k * other_k) * (one_k + other_k);
}
