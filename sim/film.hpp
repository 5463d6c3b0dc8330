#pragma once
// Heat transfer from a surface to the air and walls around it: buoyant convection plus radiation.

#include <cstdint>

namespace warmbay::sim {

/// Which way a surface looks: sideways, up (a floor's top) or down (a ceiling).
enum class Facing : std::uint8_t { sideways, up, down };

/// Properties of dry air at 1 atm. temperature_k: 200 to 1400 K.
struct Air {
  double conductivity_w_mk;
  double kinematic_viscosity_m2_s;
  double prandtl;
  double heat_capacity_j_m3k;
};
/// Conductivity: k = factor T^1.5 / (T + offset 10^(-fade/T)); viscosity: Sutherland's law, factor T^1.5 / (T +
/// offset), and the ideal gas (U.S. Standard Atmosphere 1976); Prandtl number and heat capacity with a constant cp
/// (Incropera, table A.4, from memory).
[[nodiscard]] Air air_at(double temperature_k);
/// The numbers in it.
namespace dry_air {
inline constexpr double conductivity_factor = 2.64638e-3;  // W/(m K^1.5)
inline constexpr double conductivity_offset_k = 245.4;
inline constexpr double conductivity_fade_k = 12.0;
inline constexpr double viscosity_factor = 1.458e-6;  // kg/(m s K^0.5)
inline constexpr double viscosity_offset_k = 110.4;
inline constexpr double pressure_pa = 101325.0;
inline constexpr double molar_mass_kg_mol = 0.0289644;
inline constexpr double gas_constant_j_molk = 8.31432;  // as that standard has it
inline constexpr double heat_capacity_j_kgk = 1006.0;
}  // namespace dry_air

/// Buoyant convection, W/(m2 K), from a surface at surface_k to still air at air_k. length_m: height of a vertical
/// surface, area / perimeter of a horizontal one. Sources: Churchill & Chu (1975) for vertical plates; McAdams for
/// horizontal ones (0.54 Ra^1/4 and 0.15 Ra^1/3 where warm air rises away, 0.27 Ra^1/4 where it is trapped).
[[nodiscard]] double buoyant_film_w_m2k(double surface_k, double air_k, double length_m, Facing facing);

/// Heat that moving air carries across a tall upright layer, as a multiple (>= 1) of what still air conducts. Source:
/// ElSherbiny, Raithby & Hollands (1982), J. Heat Transfer 104, 96 (from memory). thickness_m: between the two sides.
[[nodiscard]] double layer_nusselt(double warm_k, double cold_k, double thickness_m, double height_m);
/// The numbers in it: Nu is the largest of 1 and
///   turbulent    factor Ra^1/3
///   transition   (1 + (factor Ra^power / (1 + (rayleigh / Ra)^fade))^3)^1/3
///   laminar      factor (Ra thickness / height)^power
namespace tall_layer {
inline constexpr double turbulent_factor = 0.0605;
inline constexpr double transition_factor = 0.104;
inline constexpr double transition_power = 0.293;
inline constexpr double transition_rayleigh = 6310.0;
inline constexpr double transition_fade = 1.36;
inline constexpr double laminar_factor = 0.242;
inline constexpr double laminar_power = 0.272;
}  // namespace tall_layer

/// The same for the air between a lying cylinder (inner_m across) and what encloses it (outer_m across). Source:
/// Raithby & Hollands (1975), as printed in Incropera, chapter 9 (from memory).
[[nodiscard]] double annulus_nusselt(double warm_k, double cold_k, double inner_m, double outer_m);
/// The numbers in it: Nu = factor (Pr / (offset + Pr))^1/4 Ra_c^1/4, Ra_c by the gap and both diameters to the power.
namespace annulus {
inline constexpr double factor = 0.386;
inline constexpr double prandtl_offset = 0.861;
inline constexpr double diameter_power = -0.6;
}  // namespace annulus

/// How the heat that moving air carries from a lying cylinder to what encloses it is spread there: its share per area
/// against the mean, above the cylinder, beside it and below it. After the local heat transfer at the outer cylinder in
/// Kuehn & Goldstein (1976), J. Fluid Mech. 74, 695 (from memory): the plume meets the top, the bottom gets next to
/// nothing.
inline constexpr double plume_above = 1.9, plume_beside = 1.0, plume_below = 0.1;

/// Radiation to surroundings at the same temperature as the air, W/(m2 K): e sigma (Ts^2 + Te^2)(Ts + Te).
[[nodiscard]] double radiant_film_w_m2k(double surface_k, double surroundings_k, double emissivity);

}  // namespace warmbay::sim
