#pragma once
// What a cable's cross-section means for heat: its thermal resistance, and its plastics' and earth conductor's share.

#include "sim/wall.hpp"

namespace warmbay::sim {

struct CrossSection {
  double coupling_w_mk;         // all loaded conductors together to the sheath's surface, per metre and kelvin
  double copper_capacity_j_mk;  // of the loaded conductors, per metre
  double copper_axial_w_m_k;    // k A of the loaded conductors, W m/K
  double sheath_capacity_j_mk;  // of plastics and earth conductor, per metre
  double sheath_axial_w_m_k;    // k A of plastics and earth conductor, W m/K
  double insulation_kg_m;       // of all cores together
  double sheath_kg_m;           // of the sheath's plastic
};

/// Solves conduction in the cross-section (two-dimensional, conductors at one temperature, the sheath's surface at
/// another). The outline is a rectangle with round ends (a circle when width = thickness); loaded cores stand side by
/// side in a flat cable, with the bare earth conductor in their middle, or touch in a ring in a round one.
[[nodiscard]] CrossSection cross_section(const CableType& type);

/// Whether a point of the cross-section lies inside the sheath's outline. u_m along the long side, v_m along the short
/// one, both from the centre.
[[nodiscard]] bool inside_outline(const CableType& type, double u_m, double v_m);
/// Length of the sheath's outline, m.
[[nodiscard]] double outline_m(const CableType& type);

/// Resistance of one loaded conductor, ohm/m. Source: IEC 60028, alpha20 = 0.00393 /K.
[[nodiscard]] double resistance_ohm_m(const CableType& type, double temperature_k);
/// Its rise per kelvin, ohm/(m K).
[[nodiscard]] double resistance_slope_ohm_mk(const CableType& type);

/// Heat that the loaded conductors of a stretch of cable give, I^2 R: a straight line over their temperature, by its
/// value at the datum, W, and its slope, W/K.
struct OhmicHeat {
  double datum_w, slope_w_k;
  /// rise_k: above the datum. W.
  [[nodiscard]] double at_w(double rise_k) const { return datum_w + slope_w_k * rise_k; }
};
/// current_a: in each loaded conductor.
[[nodiscard]] OhmicHeat ohmic_heat(const CableType& type, double length_m, double current_a);

/// Volumetric heat capacity and conductivity of copper. Sources: IEC 60853; Incropera, table A.1 (350 K), from memory.
inline constexpr double copper_capacity_j_m3k = 3.45e6;
inline constexpr double copper_conductivity_w_mk = 397.0;
inline constexpr double copper_alpha20_1_k = 0.00393;

}  // namespace warmbay::sim
