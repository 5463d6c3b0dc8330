// Tables of numbers that do not change with time: conductivities by code, sheaths, films.

layout(std430, binding = 7) readonly buffer Tables { float tables[]; };
uniform int sheath_from;  // two numbers a code: conductivity along the cable (0: no sheath), and along which axis
uniform int film_from;

/// 1 / 2k, m K/W: sim/property_tables.hpp.
float half_resistivity(uint code, float rise_k) {
  float wanted = (rise_k - resistivity_table_from_rise_k) / resistivity_table_spacing_k;
  float place = clamp(wanted, 0.0, resistivity_table_last_place);
  int n = int(place);
  int entry = int(code) * resistivity_table_entries + n;
  return tables[entry] + (place - float(n)) * (tables[entry + 1] - tables[entry]);
}

/// A film's coefficient, W/(m2 K): sim/film_table.hpp.
float film_w_m2k(int film, float surface_minus_air_k) {
  float root = sqrt(abs(surface_minus_air_k)) * (surface_minus_air_k < 0.0 ? -1.0 : 1.0);
  float place = clamp((root + film_table_reach) / film_table_spacing, 0.0, film_table_last_place);
  int n = int(place);
  int entry = film_from + film * film_table_entries + n;
  return tables[entry] + (place - float(n)) * (tables[entry + 1] - tables[entry]);
}
