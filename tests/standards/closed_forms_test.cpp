// The closed forms of tests/support against their tabulated values, so that the yardstick is itself measured.
// Values: computed in 20-digit arithmetic from the formulas named in closed_forms.hpp; erfc, roots and coefficients
// agree with the tables in Incropera & DeWitt (appendix B, table 5.1) and Abramowitz & Stegun.

#include "tests/support/closed_forms.hpp"

#include <cmath>
#include <vector>

#include "tests/support/order_fit.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay::tests;

namespace {

constexpr double gypsum_k = 0.25, gypsum_a = 0.25 / (900.0 * 1000.0);
constexpr double wood_k = 0.13, wood_a = 0.13 / (500.0 * 1600.0);

void check(double ours, double table, double relative = 1e-8) {
  CHECK(ours == Approx(table).epsilon(relative));
}

}  // namespace

TEST_CASE("semi-infinite closed forms give the tabulated temperatures (Carslaw & Jaeger ch. II)") {
  const auto step_c = [](double x_m, double t_s) { return 20.0 + 80.0 * step_share(gypsum_a, x_m, t_s); };
  check(step_c(0.0125, 60.0), 22.43062576);
  check(step_c(0.0125, 300.0), 46.63372865);
  check(step_c(0.0125, 900.0), 66.09200976);
  check(step_c(0.005, 60.0), 50.91809846);
  check(step_c(0.025, 1800.0), 54.33562404);
  check(step_surface_flux_w_m2(gypsum_k, gypsum_a, 80.0, 300.0), 1236.077446);

  const auto film_c = [](double x_m, double t_s) { return 20.0 + 80.0 * film_share(wood_k, wood_a, 10.0, x_m, t_s); };
  check(film_c(0.0, 60.0), 37.7846123);
  check(film_c(0.0, 600.0), 59.72457463);
  check(film_c(0.01, 600.0), 35.34739799);
  check(film_c(0.02, 1800.0), 37.51853238);
  check(film_c(0.02, 3600.0), 49.25930171);

  check(flux_rise_k(wood_k, wood_a, 100.0, 0.0, 600.0), 8.570655026);
  check(flux_rise_k(wood_k, wood_a, 100.0, 0.01, 600.0), 2.986640609);
  check(flux_rise_k(wood_k, wood_a, 100.0, 0.01, 3600.0), 14.19225602);
}

TEST_CASE("film-cooled slab and cylinder have the tabulated roots and temperatures (Incropera & DeWitt table 5.1)") {
  check(slab_root(1.0, 0), 0.860333589);
  check(slab_root(1.0, 1), 3.425618459);
  check(slab_root(1.0, 2), 6.437298179);
  check(slab_root(0.01, 0), 0.09983363855);
  check(slab_root(100.0, 2), 7.776374078);
  check(cylinder_root(1.0, 0), 1.255783712);
  check(cylinder_root(1.0, 1), 4.079477711);
  check(cylinder_root(0.01, 0), 0.1412447637);
  check(cylinder_root(0.01, 1), 3.83431488);
  check(cylinder_root(100.0, 1), 5.465207002);

  struct Row {
    double biot, fourier, middle, surface;
  };
  for (const Row& row : std::vector<Row>{{0.5, 0.2, 0.9726004189, 0.7901465525},
                                         {1.0, 0.2, 0.9506417785, 0.6433907845},
                                         {1.0, 0.5, 0.7725263834, 0.5045219279},
                                         {1.0, 1.0, 0.5338594014, 0.3481768517},
                                         {2.0, 1.0, 0.3695557189, 0.1752006579},
                                         {10.0, 0.2, 0.8292547308, 0.1224822381}}) {
    check(slab_theta(row.biot, row.fourier, 0.0), row.middle);
    check(slab_theta(row.biot, row.fourier, 1.0), row.surface);
  }
  for (const Row& row : std::vector<Row>{{0.5, 0.2, 0.926659498, 0.740823905},
                                         {1.0, 0.2, 0.8701742439, 0.5702277442},
                                         {1.0, 0.5, 0.5485862039, 0.3527858375},
                                         {2.0, 0.5, 0.3723973603, 0.1697479026}}) {
    check(cylinder_theta(row.biot, row.fourier, 0.0), row.middle);
    check(cylinder_theta(row.biot, row.fourier, 1.0), row.surface);
  }
  const double middle = slab_theta(1.0, 0.5, 0.0), surface = slab_theta(1.0, 0.5, 1.0);
  check(std::pow(middle, 3), 0.4610414382);
  check(middle * middle * surface, 0.3010971796);
  check(std::pow(surface, 3), 0.1284222101);
  check(held_slab_theta(0.1, 0.0), 0.9493053627);
  check(held_slab_theta(0.5, 0.0), 0.3707774298);
}

TEST_CASE("line source and heated core give the tabulated rises (Carslaw & Jaeger 10.4, 13.7)") {
  check(exponential_integral(0.01), 4.037929577);
  check(exponential_integral(1.0), 0.2193839344);
  check(exponential_integral(5.0), 0.001148295591);
  const double foam_a = 0.035 / (20.0 * 1450.0);
  check(line_source_rise_k(4.0, 0.035, foam_a, 0.0036, 60.0), 23.40810078);
  check(line_source_rise_k(4.0, 0.035, foam_a, 0.0036, 1500.0), 52.29624563);
  check(line_source_rise_k(4.0, 0.035, foam_a, 0.05, 3600.0), 13.64741002);
  const double batt_a = 0.043 / (12.0 * 840.0);
  check(line_source_rise_k(4.0, 0.043, batt_a, 0.01, 900.0), 33.04094497);

  // Numerical inversion of a Laplace transform: 1e-5 is what 14 terms give.
  const HeatedCore bonded{0.0036, 60.0, 0.0, 0.035, foam_a}, loose{0.0036, 60.0, 0.6, 0.035, foam_a};
  check(heated_core_rise_k(loose, 4.0, 60.0), 3.62385359, 2e-5);
  check(heated_core_rise_k(loose, 4.0, 900.0), 31.6634804, 2e-5);
  check(heated_core_rise_k(loose, 4.0, 3600.0), 56.5124227, 2e-5);
  check(heated_core_rise_k(bonded, 4.0, 300.0), 14.4551394, 2e-5);
  check(heated_core_rise_k(bonded, 4.0, 1500.0), 39.8998365, 2e-5);
}

TEST_CASE("shape factors are those of the handbook (Incropera & DeWitt table 4.1)") {
  check(shape_annulus(5.0), 3.903962532);
  check(shape_cylinder_in_square(4.0), 4.297500357, 1e-7);
  check(shape_cylinder_in_square(10.0), 2.641829201, 1e-7);
  check(shape_cylinder_between_planes(2.0), 3.859785116);
  check(shape_buried_cylinder(1.5), 3.564427956);
  check(shape_buried_cylinder(10.0), 1.703566385);
}

TEST_CASE("composite wall, square column, fin and rod are consistent with their definitions") {
  const CompositeWall wall = composite_wall({0.13, 0.0127 / 0.16, 0.089 / 0.0355, 0.0127 / 0.16, 0.13}, 20.0, 0.0);
  check(wall.flux_w_m2, 6.835755333);
  check(wall.temperatures[1], 19.11135181);
  check(wall.temperatures[2], 18.56876373);
  check(wall.temperatures[3], 1.431236273);
  CHECK(wall.temperatures[5] == Approx(0.0).margin(1e-12));

  CHECK(square_column_c(4.0, 4.0) == Approx(5.0).epsilon(1e-9));
  CHECK(square_column_c(1.0, 7.0) == Approx(9.6582).margin(5e-5));
  CHECK(square_column_c(4.0, 7.0) == Approx(15.0854).margin(5e-5));
  CHECK(square_column_c(1.0, 1.0) == Approx(0.3418).margin(5e-5));

  // A rod in like surroundings on both sides is nowhere warmer than its own q R; one whose second part is long and
  // held cold falls off into it by the fin's own length.
  check(two_part_rod_rise_k({0.01, 2.0, 0.0, 5.0, 5.0, 0.3, 0.4}, 0.1), 10.0);
  const TwoPartRod rod{0.01, 2.0, 0.0, 8.0, 1e-6, 0.3, 0.1};
  const double m = 1.0 / std::sqrt(0.01 * 8.0);
  CHECK(two_part_rod_rise_k(rod, 0.0) == Approx(16.0 * (1.0 - 1.0 / std::cosh(0.3 * m))).epsilon(1e-3));
  check(fin_share(m, 0.3), std::tanh(0.3 * m));
}

TEST_CASE("an order fit finds the order that was put in") {
  const std::vector<double> sizes{0.4, 0.2, 0.1}, errors{3.0 * 0.16, -3.0 * 0.04, 3.0 * 0.01};
  CHECK(order_from_errors(sizes, errors) == Approx(2.0));
  CHECK(order_from_three(1.16, 1.04, 1.01, 2.0) == Approx(2.0));
  CHECK(extrapolated(1.04, 1.01, 2.0, 2.0) == Approx(1.0));
}
