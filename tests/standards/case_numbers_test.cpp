// What the case files call computed is computed here once more, from the closed forms of tests/support, so that no slip
// of the pen in a file becomes a published number.

#include <cmath>
#include <map>
#include <numbers>
#include <string>

#include "scenes/trust/case_reader.hpp"
#include "sim/cross_section.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/support/closed_forms.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const std::filesystem::path root = WARMBAY_SOURCE_DIR;

/// The case of a file of tests/standards.
scenes::Case case_of(const std::string& name) {
  for (const scenes::ReadCase& one : scenes::read_cases(root / "tests" / "standards", shipped_data())) {
    if (one.file != name + ".case.toml") continue;
    for (const scenes::Fault& fault : one.faults) FAIL(scenes::to_line(fault));
    return *one.read;
  }
  FAIL("no case file " << name);
  return {};
}

void check(const scenes::Check& check, double exact, double relative = 2e-6) {
  INFO(check.name << " at " << check.at_s.value_or(0.0) << " s");
  CHECK(check.published == Approx(exact).epsilon(relative));
}

constexpr double hour_s = 3600.0;  // L2/a of the bodies that are cooled
double cooled_c(double theta) {
  return 20.0 + 80.0 * theta;
}
bool begins(const std::string& name, const std::string& with) {
  return name.rfind(with, 0) == 0;
}

constexpr double wood_k = 0.13, wood_a = 0.13 / (500.0 * 1600.0), gypsum_k = 0.25, gypsum_a = 0.25 / (900.0 * 1000.0);

}  // namespace

TEST_CASE("the case files of cooled bodies say what the series say") {
  for (const auto& [tag, biot] : std::map<std::string, double>{{"bi05", 0.5}, {"bi1", 1.0}, {"bi10", 10.0}}) {
    for (const scenes::Check& one : case_of("slab-" + tag).checks)
      check(one, cooled_c(slab_theta(biot, *one.at_s / hour_s, begins(one.name, "middle") ? 0.0 : 1.0)));
  }
  for (const auto& [tag, biot] : std::map<std::string, double>{{"bi05", 0.5}, {"bi1", 1.0}, {"bi2", 2.0}}) {
    for (const scenes::Check& one : case_of("cylinder-" + tag).checks)
      check(one, cooled_c(cylinder_theta(biot, *one.at_s / hour_s, begins(one.name, "axis") ? 0.0 : 1.0)));
  }
  for (const scenes::Check& one : case_of("cube").checks) {
    const double inside = slab_theta(1.0, *one.at_s / hour_s, 0.0), surface = slab_theta(1.0, *one.at_s / hour_s, 1.0);
    const int surfaces = begins(one.name, "centre")     ? 0
                         : begins(one.name, "corner")   ? 3
                         : one.of == "middle of a face" ? 1
                                                        : 2;
    check(one, cooled_c(std::pow(inside, 3 - surfaces) * std::pow(surface, surfaces)));
  }
}

TEST_CASE("the case files of deep walls say what the closed forms say") {
  for (const scenes::Check& one : case_of("deep-wall-step").checks) {
    if (one.what == scenes::Quantity::heat_w_m2)
      check(one, step_surface_flux_w_m2(gypsum_k, gypsum_a, 80.0, *one.at_s));
    else
      check(one, cooled_c(step_share(gypsum_a, 1e-3 * std::stod(one.of), *one.at_s)));
  }
  const auto depth_m = [](const scenes::Check& one) { return one.of == "surface" ? 0.0 : 1e-3 * std::stod(one.of); };
  for (const scenes::Check& one : case_of("deep-wall-film").checks)
    check(one, cooled_c(film_share(wood_k, wood_a, 10.0, depth_m(one), *one.at_s)));
  for (const scenes::Check& one : case_of("deep-wall-flux").checks)
    check(one, flux_rise_k(wood_k, wood_a, 100.0, depth_m(one), *one.at_s));
}

TEST_CASE("the case files of line source, heated core and heated rod say what the closed forms say") {
  const double foam_k = 0.035, foam_a = foam_k / (20.0 * 1450.0);
  for (const scenes::Check& one : case_of("line-source").checks)
    check(one, line_source_rise_k(4.0, foam_k, foam_a, 1e-3 * std::stod(one.of), *one.at_s));

  const double copper_m2 = 60.0 / sim::copper_capacity_j_m3k;
  const double skin_j_mk = (0.25 * std::numbers::pi * 0.0072 * 0.0072 - copper_m2) * 1e6;
  const HeatedCore core{0.0036, 60.0, 0.6, foam_k, foam_a, skin_j_mk};
  for (const scenes::Check& one : case_of("heated-core").checks) {
    if (one.at_s) check(one, heated_core_rise_k(core, 4.0, *one.at_s), 2e-5);  // Stehfest's 14 terms
  }

  const double plastic_mk_w = std::log(10.0 / std::sqrt(64.0 / std::numbers::pi)) / (2.0 * std::numbers::pi * 0.17);
  const double heat_w_m = 30.0 * 30.0 * 1.15e-3;
  const auto bar_mk_w = [](double k) { return 1.0 / (shape_cylinder_in_square(4.0) * k); };
  const TwoPartRod rod{sim::copper_conductivity_w_mk * 16e-6,
                       heat_w_m,
                       sim::copper_alpha20_1_k * heat_w_m,
                       plastic_mk_w + bar_mk_w(0.03),
                       plastic_mk_w + bar_mk_w(0.1),
                       0.3,
                       0.3};
  for (const scenes::Check& one : case_of("heated-rod").checks) {
    if (one.what == scenes::Quantity::core_mk_w)
      check(one, plastic_mk_w);
    else
      check(one, two_part_rod_rise_k(rod, 1e-3 * std::stod(one.of)));
  }
}

TEST_CASE("the case files of shape factors and composite walls say what the closed forms say") {
  check(case_of("cylinder-in-square-4").checks.at(0), shape_cylinder_in_square(4.0));
  check(case_of("cylinder-in-square-10").checks.at(0), shape_cylinder_in_square(10.0));
  check(case_of("cylinder-between-planes").checks.at(0), shape_cylinder_between_planes(2.0));
  check(case_of("buried-cylinder").checks.at(0), shape_buried_cylinder(1.5));
  const double board_m2k_w = 0.0127 / 0.16;
  const CompositeWall eps = composite_wall({0.13, board_m2k_w, 0.089 / 0.0355, board_m2k_w, 0.13}, 20.0, 0.0);
  const std::vector<double> exact{eps.flux_w_m2, 20.0 / eps.flux_w_m2, eps.temperatures[1], eps.temperatures[2],
                                  eps.temperatures[3]};
  const scenes::Case of_eps = case_of("composite-wall-eps");
  REQUIRE(of_eps.checks.size() == exact.size());
  for (std::size_t n = 0; n < exact.size(); ++n) check(of_eps.checks[n], exact[n]);
}

TEST_CASE("the case files of gauges and ratings say what the formulas say") {
  for (const scenes::Check& one : case_of("conductors-awg").checks) {
    const int gauge = std::stoi(one.name);
    const double d_mm = 0.127 * std::pow(92.0, (36.0 - gauge) / 39.0), mm2 = 0.25 * std::numbers::pi * d_mm * d_mm;
    if (one.what == scenes::Quantity::conductor_mm2) {
      check(one, mm2);
      continue;
    }
    const double rise_k = *one.under.ambient_k - sim::kelvin_from_celsius(20.0);
    check(one, 17.241 / mm2 * (1.0 + 0.00393 * rise_k), 1e-4);
  }
  for (const scenes::Check& one : case_of("ambient-formula").checks)
    check(one, std::sqrt((*one.under.limit_k - *one.under.ambient_k) /
                         (*one.relative_to->limit_k - *one.relative_to->ambient_k)));
  for (const scenes::Check& one : case_of("columns-formula").checks) {
    const auto amps_of = [](const scenes::Under& under) {
      const double celsius = sim::celsius_from_kelvin(*under.limit_k);
      return std::sqrt((celsius - 30.0) / (1.0 + 0.00393 * (celsius - 20.0)));
    };
    check(one, amps_of(one.under) / amps_of(*one.relative_to));
  }
}
