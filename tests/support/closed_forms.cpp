// Formulas and their sources stand in the header. Roots are bracketed and bisected: slow, and impossible to get wrong.

#include "tests/support/closed_forms.hpp"

#include <array>
#include <cmath>
#include <functional>
#include <numbers>

namespace warmbay::tests {
namespace {

constexpr double pi = std::numbers::pi;

double bisect(double low, double high, const std::function<double(double)>& f) {
  const bool rising = f(low) < 0.0;
  for (int n = 0; n < 200 && high - low > 1e-15 * high; ++n) {
    const double mid = 0.5 * (low + high);
    ((f(mid) < 0.0) == rising ? low : high) = mid;
  }
  return 0.5 * (low + high);
}

double j0(double x) {
  return std::cyl_bessel_j(0.0, x);
}
double j1(double x) {
  return std::cyl_bessel_j(1.0, x);
}

/// The n-th positive zero of a Bessel function, n from 0; its zeros are nearly pi apart.
double bessel_zero(double order, int n) {
  const double guess = (n + 0.75 + 0.5 * order) * pi;  // McMahon, first term
  return bisect(guess - 0.8, guess + 0.8, [order](double x) { return std::cyl_bessel_j(order, x); });
}

}  // namespace

double step_share(double diffusivity_m2_s, double depth_m, double time_s) {
  return std::erfc(depth_m / (2.0 * std::sqrt(diffusivity_m2_s * time_s)));
}

double step_surface_flux_w_m2(double conductivity_w_mk, double diffusivity_m2_s, double step_k, double time_s) {
  return conductivity_w_mk * step_k / std::sqrt(pi * diffusivity_m2_s * time_s);
}

double film_share(double conductivity_w_mk, double diffusivity_m2_s, double film_w_m2k, double depth_m, double time_s) {
  const double spread_m = std::sqrt(diffusivity_m2_s * time_s);
  const double ratio = film_w_m2k / conductivity_w_mk;
  const double reach = depth_m / (2.0 * spread_m);
  return std::erfc(reach) -
         std::exp(ratio * depth_m + ratio * ratio * spread_m * spread_m) * std::erfc(reach + ratio * spread_m);
}

double flux_rise_k(double conductivity_w_mk, double diffusivity_m2_s, double flux_w_m2, double depth_m, double time_s) {
  const double spread_m = std::sqrt(diffusivity_m2_s * time_s);
  const double reach = depth_m / (2.0 * spread_m);
  return flux_w_m2 / conductivity_w_mk *
         (2.0 * spread_m / std::sqrt(pi) * std::exp(-reach * reach) - depth_m * std::erfc(reach));
}

double slab_root(double biot, int n) {
  // z sin z - Bi cos z changes sign once between n pi and n pi + pi/2.
  return bisect(n * pi, n * pi + 0.5 * pi, [biot](double z) { return z * std::sin(z) - biot * std::cos(z); });
}

double cylinder_root(double biot, int n) {
  const double low = n == 0 ? 0.0 : bessel_zero(1.0, n - 1);
  return bisect(low, bessel_zero(0.0, n), [biot](double z) { return z * j1(z) - biot * j0(z); });
}

double slab_theta(double biot, double fourier, double position) {
  double sum = 0.0;
  for (int n = 0; n < 60; ++n) {
    const double z = slab_root(biot, n);
    const double term = 4.0 * std::sin(z) / (2.0 * z + std::sin(2.0 * z)) * std::exp(-z * z * fourier);
    sum += term * std::cos(z * position);
    if (std::abs(term) < 1e-14) break;
  }
  return sum;
}

double cylinder_theta(double biot, double fourier, double position) {
  double sum = 0.0;
  for (int n = 0; n < 60; ++n) {
    const double z = cylinder_root(biot, n);
    const double term = 2.0 / z * j1(z) / (j0(z) * j0(z) + j1(z) * j1(z)) * std::exp(-z * z * fourier);
    sum += term * j0(z * position);
    if (std::abs(term) < 1e-14) break;
  }
  return sum;
}

double held_slab_theta(double fourier, double position) {
  double sum = 0.0;
  for (int n = 0; n < 200; ++n) {
    const double z = (n + 0.5) * pi;
    const double term = 2.0 * (n % 2 == 0 ? 1.0 : -1.0) / z * std::exp(-z * z * fourier);
    sum += term * std::cos(z * position);
    if (std::abs(term) < 1e-14) break;
  }
  return sum;
}

double exponential_integral(double x) {
  return -std::expint(-x);
}

double line_source_rise_k(double heat_w_m, double conductivity_w_mk, double diffusivity_m2_s, double radius_m,
                          double time_s) {
  return heat_w_m / (4.0 * pi * conductivity_w_mk) *
         exponential_integral(radius_m * radius_m / (4.0 * diffusivity_m2_s * time_s));
}

double heated_core_rise_k(const HeatedCore& core, double heat_w_m, double time_s) {
  constexpr int terms = 14;
  std::array<long double, terms + 1> factorial{1.0L};
  std::array<long double, 2 * terms + 1> big{1.0L};
  for (int n = 1; n <= 2 * terms; ++n) big[n] = big[n - 1] * n;
  for (int n = 1; n <= terms; ++n) factorial[n] = big[n];
  long double sum = 0.0L;
  const long double ln2_t = std::numbers::ln2_v<long double> / time_s;
  for (int i = 1; i <= terms; ++i) {
    long double weight = 0.0L;
    for (int k = (i + 1) / 2; k <= std::min(i, terms / 2); ++k) {
      weight += std::pow(static_cast<long double>(k), terms / 2) * big[2 * k] /
                (factorial[terms / 2 - k] * factorial[k] * factorial[k - 1] * factorial[i - k] * factorial[2 * k - i]);
    }
    if ((i + terms / 2) % 2 != 0) weight = -weight;
    const long double p = i * ln2_t;
    const long double x = std::sqrt(p / core.diffusivity_m2_s) * core.radius_m;
    const long double medium = std::cyl_bessel_k(0.0L, x) / (2.0L * std::numbers::pi_v<long double> *
                                                             core.conductivity_w_mk * x * std::cyl_bessel_k(1.0L, x));
    const long double outward = core.contact_mk_w + 1.0L / (p * core.skin_j_mk + 1.0L / medium);
    sum += weight * heat_w_m / (p * (p * core.capacity_j_mk + 1.0L / outward));
  }
  return static_cast<double>(sum * ln2_t);
}

double shape_cylinder_in_square(double side_over_diameter) {
  const double gamma = std::tgamma(0.25);
  return 2.0 * pi / std::log(8.0 * std::sqrt(pi) / (gamma * gamma) * side_over_diameter);
}

double shape_cylinder_between_planes(double axis_depth_over_diameter) {
  return 2.0 * pi / std::log(8.0 * axis_depth_over_diameter / pi);
}

double shape_buried_cylinder(double axis_depth_over_diameter) {
  return 2.0 * pi / std::acosh(2.0 * axis_depth_over_diameter);
}

double shape_annulus(double outer_over_inner) {
  return 2.0 * pi / std::log(outer_over_inner);
}

CompositeWall composite_wall(const std::vector<double>& resistances_m2k_w, double from, double to) {
  double total = 0.0;
  for (const double resistance : resistances_m2k_w) total += resistance;
  CompositeWall wall{(from - to) / total, {from}};
  for (const double resistance : resistances_m2k_w) {
    wall.temperatures.push_back(wall.temperatures.back() - wall.flux_w_m2 * resistance);
  }
  return wall;
}

double fin_share(double m_per_m, double length_m) {
  return std::tanh(m_per_m * length_m);
}

double two_part_rod_rise_k(const TwoPartRod& rod, double x_m) {
  struct Part {
    double far_k;    // the rise far from the joint
    double m_per_m;  // one over the spread length
    double pull;     // m tanh(m L): heat flow per kelvin at the joint, over kA
  };
  const auto part = [&rod](double resistance, double length) {
    const double net = 1.0 / resistance - rod.heat_per_k;
    const double m = std::sqrt(net / rod.axial_w_m_k);
    return Part{rod.heat_w_m / net, m, m * fin_share(m, length)};
  };
  const Part first = part(rod.first_mk_w, rod.first_m);
  const Part second = part(rod.second_mk_w, rod.second_m);
  const double joint_k = (first.far_k * first.pull + second.far_k * second.pull) / (first.pull + second.pull);
  if (x_m <= rod.first_m) {
    return first.far_k +
           (joint_k - first.far_k) * std::cosh(first.m_per_m * x_m) / std::cosh(first.m_per_m * rod.first_m);
  }
  const double from_end_m = rod.first_m + rod.second_m - x_m;
  return second.far_k +
         (joint_k - second.far_k) * std::cosh(second.m_per_m * from_end_m) / std::cosh(second.m_per_m * rod.second_m);
}

double square_column_c(double x_over_u, double y_over_u) {
  double sum = 0.0;
  for (int n = 1; n < 400; n += 2) {
    // sinh(a y) / sinh(8 a) in a form that does not overflow.
    const double a = n * pi / 8.0;
    const double decay = std::exp(a * (y_over_u - 8.0)) * -std::expm1(-2.0 * a * y_over_u) / -std::expm1(-16.0 * a);
    sum += 80.0 / (n * pi) * std::sin(a * x_over_u) * decay;
  }
  return sum;
}

}  // namespace warmbay::tests
