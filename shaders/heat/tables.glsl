// Tables of numbers that do not change with time: conductivities by code, sheaths, films.

layout(std430, binding = 7) readonly buffer Tables { float tables[]; };
uniform int sheath_from;  // two numbers a code: conductivity along the cable (0: no sheath), and along which axis
uniform int film_from;

const float table_from_rise_k = -100.0;  // sim/conduction.hpp, resistivity_table
const float table_spacing_k = 4.0;
const int table_entries = 301;
const float no_resistance = 1e30;  // stands for an infinite film: the surface is held

/// 1 / 2k, m K/W.
float half_resistivity(uint code, float rise_k) {
  float place = clamp((rise_k - table_from_rise_k) / table_spacing_k, 0.0, float(table_entries) - 1.001);
  int n = int(place);
  int entry = int(code) * table_entries + n;
  return tables[entry] + (place - float(n)) * (tables[entry + 1] - tables[entry]);
}

/// A film's coefficient, W/(m2 K): sim/film_table.hpp.
float film_w_m2k(int film, float surface_minus_air_k) {
  const float reach = 32.0;
  const int half_entries = 640;
  float root = sqrt(abs(surface_minus_air_k)) * (surface_minus_air_k < 0.0 ? -1.0 : 1.0);
  float place = clamp((root + reach) / (reach / float(half_entries)), 0.0, 2.0 * float(half_entries) - 0.001);
  int n = int(place);
  int entry = film_from + film * (2 * half_entries + 1) + n;
  return tables[entry] + (place - float(n)) * (tables[entry + 1] - tables[entry]);
}
