#pragma once
// Textbook solutions of the heat equation that the solver is held to. Plain functions of SI numbers that share no code
// with sim; each names where its formula stands.

#include <vector>

namespace warmbay::tests {

// --- Semi-infinite solid --------------------------------------------------------------------------------------------

/// Share of a surface step that has not yet arrived, erfc(x / 2 sqrt(at)): 1 at the surface, 0 far below.
/// Source: Carslaw & Jaeger, Conduction of Heat in Solids (2nd ed.), 2.4; Incropera & DeWitt ch. 5 case 1.
[[nodiscard]] double step_share(double diffusivity_m2_s, double depth_m, double time_s);

/// Heat flow into the solid at its surface after a step of step_k, W/m2: k step / sqrt(pi a t). Source: as above.
[[nodiscard]] double step_surface_flux_w_m2(double conductivity_w_mk, double diffusivity_m2_s, double step_k,
                                            double time_s);

/// Share of (gas - start) reached at a depth when a film of film_w_m2k starts to act on the surface at t = 0.
/// Source: Carslaw & Jaeger 2.7; Incropera ch. 5 case 3.
[[nodiscard]] double film_share(double conductivity_w_mk, double diffusivity_m2_s, double film_w_m2k, double depth_m,
                                double time_s);

/// Rise, K, at a depth when flux_w_m2 enters the surface from t = 0 on. Source: Carslaw & Jaeger 2.9; Incropera case 2.
[[nodiscard]] double flux_rise_k(double conductivity_w_mk, double diffusivity_m2_s, double flux_w_m2, double depth_m,
                                 double time_s);

// --- Bodies cooled by a film ----------------------------------------------------------------------------------------
// theta = (T - T_gas) / (T_start - T_gas). Biot = h L / k, Fourier = a t / L^2, with L the half thickness or the
// radius. Source: Incropera & DeWitt ch. 5.5, 5.6 (exact series); Carslaw & Jaeger 3.11, 7.7.

/// The n-th positive root (n from 0) of z tan z = Bi.
[[nodiscard]] double slab_root(double biot, int n);
/// The n-th positive root (n from 0) of z J1(z) / J0(z) = Bi.
[[nodiscard]] double cylinder_root(double biot, int n);
/// Slab at position/L in [0 = middle, 1 = surface].
[[nodiscard]] double slab_theta(double biot, double fourier, double position);
/// Long cylinder at position/R in [0, 1].
[[nodiscard]] double cylinder_theta(double biot, double fourier, double position);
/// Slab whose surfaces are held at the gas temperature from t = 0 on (Bi infinite).
[[nodiscard]] double held_slab_theta(double fourier, double position);

// --- Line source and heated core ------------------------------------------------------------------------------------

/// The exponential integral E1(x), x > 0.
[[nodiscard]] double exponential_integral(double x);
/// Rise, K, at a radius from a line that gives heat_w_m from t = 0 on in an infinite medium.
/// Source: Carslaw & Jaeger 10.4: q' / (4 pi k) E1(r^2 / 4 a t).
[[nodiscard]] double line_source_rise_k(double heat_w_m, double conductivity_w_mk, double diffusivity_m2_s,
                                        double radius_m, double time_s);

/// An isothermal core with its own heat capacity in an infinite medium, with a contact resistance between the two.
struct HeatedCore {
  double radius_m;
  double capacity_j_mk;      // of the core, per metre
  double contact_mk_w;       // between core and medium, per metre of core
  double conductivity_w_mk;  // of the medium
  double diffusivity_m2_s;   // of the medium
  double skin_j_mk = 0.0;    // heat capacity per metre on the medium's side of the contact, at the core's radius
};
/// Rise of the core, K, when it gives heat_w_m from t = 0 on. Laplace solution of Carslaw & Jaeger 13.7, inverted
/// numerically (Stehfest 1970, 14 terms); good to about 1e-5 of the result.
[[nodiscard]] double heated_core_rise_k(const HeatedCore& core, double heat_w_m, double time_s);

// --- Shape factors: heat per metre = S k (T1 - T2) ------------------------------------------------------------------
// Source: Incropera & DeWitt table 4.1; Hahne & Grigull 1975.

/// Cylinder of diameter D in the middle of a square bar of side w. 1.0787052 = 8 sqrt(pi) / Gamma(1/4)^2 (handbooks
/// print 1.08). Valid for w/D > 2.
[[nodiscard]] double shape_cylinder_in_square(double side_over_diameter);
/// Cylinder of diameter D midway between two planes, each z from its axis. Valid for z > D/2.
[[nodiscard]] double shape_cylinder_between_planes(double axis_depth_over_diameter);
/// Cylinder of diameter D with its axis z below a plane. Exact.
[[nodiscard]] double shape_buried_cylinder(double axis_depth_over_diameter);
/// Space between two concentric cylinders. Exact.
[[nodiscard]] double shape_annulus(double outer_over_inner);

// --- Walls and fins -------------------------------------------------------------------------------------------------

/// Heat flow, W/m2, and the temperatures at the ends of every resistance of a chain. resistances_m2k_w: films and
/// layers in order (n). Result: flux and n + 1 temperatures from `from` to `to`.
struct CompositeWall {
  double flux_w_m2;
  std::vector<double> temperatures;
};
[[nodiscard]] CompositeWall composite_wall(const std::vector<double>& resistances_m2k_w, double from, double to);

/// Heat into a fin of length L with an insulated tip over that into an infinite one: tanh(mL). Incropera table 3.4.
[[nodiscard]] double fin_share(double m_per_m, double length_m);

/// A rod that is heated alike all along and lies with its two halves in unlike surroundings, ends insulated.
struct TwoPartRod {
  double axial_w_m_k;              // k A of the rod, W m/K
  double heat_w_m;                 // at the surroundings' temperature
  double heat_per_k;               // growth of heat_w_m per kelvin of rise, W/(m K)
  double first_mk_w, second_mk_w;  // resistance per metre to the surroundings in each part, m K/W
  double first_m, second_m;        // lengths of the parts
};
/// Rise of the rod, K, at x from the first part's free end. Each part solves kA T'' - (1/R - dq) T + q = 0; the two are
/// joined by temperature and heat flow (Incropera 3.6 with a source).
[[nodiscard]] double two_part_rod_rise_k(const TwoPartRod& rod, double x_m);

/// Temperature in half of a square column of side 8u at (x, y) in units of u (x from the cold left face to the axis at
/// 4, y from the cold bottom to the hot top at 8), 0 on three faces and 20 on top: Fourier series, ISO 10211 case 1.
[[nodiscard]] double square_column_c(double x_over_u, double y_over_u);

}  // namespace warmbay::tests
