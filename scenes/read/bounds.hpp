#pragma once
// What numbers the files may give, in the files' own units. Wide enough for every material, wall and house cable; a
// slip of a unit falls outside, and so does what single precision cannot carry: its smallest full number is 1.2e-38,
// and a solver that meets less stands still. Sources of the extremes named here: common practice, from memory.

#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes::bounds {

inline constexpr Bounds conductivity_w_mk = between(1e-4, 1e4);   // evacuated panels 4e-3, diamond 2e3
inline constexpr Bounds density_kg_m3 = between(0.01, 3e4);       // hot gas 0.1, osmium 2.3e4
inline constexpr Bounds heat_capacity_j_kgk = between(1.0, 1e5);  // gold 129, hydrogen 1.4e4
inline constexpr Bounds emissivity = between(0.001, 1.0);         // polished gold 0.02
inline constexpr Bounds film_w_m2k = between(0.001, 1e6);         // boiling water 1e5
inline constexpr Bounds celsius = between(-273.0, 5000.0);

inline constexpr Bounds place_mm = between(-1e5, 1e5);
inline constexpr Bounds size_mm = between(0.005, 1e5);  // of the wall and its parts: foil facings 0.006
inline constexpr Bounds voxel_mm = between(0.01, 1e4);
inline constexpr Bounds growth = between(1.001, 100.0);

inline constexpr Bounds conductor_mm2 = between(0.001, 1000.0);  // AWG 40 has 0.005
inline constexpr Bounds cable_size_mm = between(0.05, 500.0);
inline constexpr Bounds resistance_ohm_km = between(0.001, 1e4);  // 1000 mm² of copper 0.017
inline constexpr Bounds current_a = between(0.0, 1e4);
inline constexpr Bounds voltage_v = between(0.1, 1e5);
inline constexpr Bounds hold_min = between(1e-5, 1e6);
inline constexpr Bounds tolerance_k = between(0.001, 1000.0);

}  // namespace warmbay::scenes::bounds
