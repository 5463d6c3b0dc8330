// Settled walls with air in them, against published formulas written out here, and against themselves turned round.

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <utility>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/film.hpp"
#include "tests/support/air_walls.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double sigma_w_m2k4 = 5.670374419e-8;  // CODATA 2018

double heat_w(const sim::Reading& reading, int surroundings) {
  return reading.surroundings.at(static_cast<std::size_t>(surroundings)).heat_w;
}

/// A layer of air d thick along `axis`, between two sheets of metal of 1 mm whose outsides are held at first_k (low
/// end) and last_k; size_m wide along the two other axes, its four ends cut or closed by something that conducts next
/// to nothing.
struct Layer {
  sim::Axis axis = sim::Axis::z;
  double d_m = 0.02;
  std::array<double, 3> size_m{0.1, 0.1, 0.1};
  double first_k = 300.0, last_k = 290.0;
  double emissivity[2] = {0.9, 0.9};
  bool closed = false;
  double air_w_mk = 0.026;
};

/// Heat through a layer per area of it, W/m2.
double flux_w_m2(const Layer& of) {
  const int a = sim::index_of(of.axis);
  constexpr double end_m = 0.02;
  std::array<std::vector<double>, 3> edges;
  for (int n = 0; n < 3; ++n) {
    if (n == a) {
      edges[n] = even_edges(of.d_m, 10);
      for (double& edge : edges[n]) edge += 1e-3;
      edges[n].insert(edges[n].begin(), 0.0);
      edges[n].push_back(of.d_m + 2e-3);
      continue;
    }
    edges[n] = even_edges(of.size_m[n], 8);
    if (!of.closed) continue;
    for (double& edge : edges[n]) edge += end_m;
    edges[n].insert(edges[n].begin(), 0.0);
    edges[n].push_back(of.size_m[n] + 2.0 * end_m);
  }
  sim::Material sheet = material("sheet", 20.0, 1000.0, 1000.0);
  sheet.emissivity = of.emissivity[0];
  sim::Wall wall = block({edges[0], edges[1], edges[2]}, sheet);
  sheet.emissivity = of.emissivity[1];
  paint_where(wall, sheet, [&](const sim::Vec3& at) { return at[a] > of.d_m + 1e-3; });
  const auto inside = [&](const sim::Vec3& at, bool closed) {
    bool in = true;
    for (int n = 0; n < 3; ++n) {
      if (n == a) in = in && at[n] > 1e-3 && at[n] < of.d_m + 1e-3;
      if (n != a && closed) in = in && at[n] > end_m && at[n] < end_m + of.size_m[n];
    }
    return in;
  };
  paint_where(wall, material("end", 1e-5, 1000.0, 1000.0), [&](const sim::Vec3& at) { return inside(at, false); });
  sim::Material air = still_air();
  air.conductivity_w_mk = of.air_w_mk;
  paint_where(wall, air, [&](const sim::Vec3& at) { return inside(at, of.closed); });
  const int first = add_held(wall, "first", of.first_k), last = add_held(wall, "last", of.last_k);
  constexpr sim::Side sides[3][2] = {
      {sim::Side::left, sim::Side::right}, {sim::Side::bottom, sim::Side::top}, {sim::Side::room, sim::Side::far}};
  expose(wall, sides[a][0], first);
  expose(wall, sides[a][1], last);
  const double area_m2 = of.size_m[(a + 1) % 3] * of.size_m[(a + 2) % 3];
  return heat_w(settled_reading(share(std::move(wall))), last) / area_m2;
}

}  // namespace

TEST_CASE("across a level layer heated from above go conduction and sigma (T1^4 - T2^4), for 10 K and for 180 K") {
  for (const double apart_k : {10.0, 180.0}) {
    Layer of;
    of.axis = sim::Axis::y;
    of.first_k = 300.0;
    of.last_k = 300.0 + apart_k;
    of.emissivity[0] = 0.9, of.emissivity[1] = 0.4;
    const double radiated =
        sigma_w_m2k4 * (std::pow(of.last_k, 4) - std::pow(300.0, 4)) / (1.0 / 0.9 + 1.0 / 0.4 - 1.0);
    INFO(apart_k << " K");
    CHECK(flux_w_m2(of) == Approx(-(0.026 / 0.02 * apart_k + radiated)).epsilon(3e-3));  // sheets, rounding
  }
}

TEST_CASE("side walls that send back what they receive help a narrow shaft (Hottel's crossed strings, ISO 6946)") {
  // F12 of two strips of width b at distance d is sqrt(1 + s^2) - s, s = d / b; with reradiating sides (1 + F12) / 2.
  for (const double wide_m : {0.02, 0.04, 0.12}) {
    Layer of;
    of.axis = sim::Axis::y;
    of.d_m = 0.05;
    of.size_m = {wide_m, 0.0, 3.0};
    of.first_k = 300.0;
    of.last_k = 360.0;
    of.closed = true;
    const double s = 0.05 / wide_m, seen = 0.5 * (1.0 + std::sqrt(1.0 + s * s) - s);
    const double radiated =
        sigma_w_m2k4 * (std::pow(360.0, 4) - std::pow(300.0, 4)) / (1.0 / seen + 2.0 * (1.0 / 0.9 - 1.0));
    INFO(wide_m << " m wide");
    // 1 %: sides are black for each other in the formula and exchange a little along the shaft.
    CHECK(flux_w_m2(of) == Approx(-(0.026 / 0.05 * 60.0 + radiated)).epsilon(0.01));
  }
}

TEST_CASE("closed layers resist as ISO 6946 says, table 8: emissivity 0.9, 10 C, sideways and down") {
  struct Row {
    double d_m, sideways_m2k_w, down_m2k_w;
  };
  for (const Row& row : {Row{0.005, 0.11, 0.11}, Row{0.007, 0.13, 0.13}, Row{0.010, 0.15, 0.15}, Row{0.015, 0.17, 0.17},
                         Row{0.025, 0.18, 0.19}}) {
    Layer of;
    of.d_m = row.d_m;
    of.first_k = sim::kelvin_from_celsius(12.5);
    of.last_k = sim::kelvin_from_celsius(7.5);
    of.air_w_mk = 0.0249;
    INFO(1e3 * row.d_m << " mm");
    CHECK(5.0 / flux_w_m2(of) == Approx(row.sideways_m2k_w).margin(0.01));  // the table's last place
    of.axis = sim::Axis::y;
    std::swap(of.first_k, of.last_k);
    CHECK(5.0 / -flux_w_m2(of) == Approx(row.down_m2k_w).margin(0.01));
  }
}

TEST_CASE("a cut is a mirror: a slice of a cavity carries per area what the whole does, however wide it is drawn") {
  std::vector<double> wide;
  for (const double width_m : {0.02, 0.06, 0.4, 1.2}) {
    Layer of;
    of.d_m = 0.089;
    of.size_m = {width_m, 0.5, 0.0};
    of.first_k = 303.0;
    of.last_k = 288.0;
    wide.push_back(flux_w_m2(of));
  }
  for (const double flux : wide) CHECK(flux == Approx(wide.front()).epsilon(1e-4));
  // Turbulent at Ra = 9.81/295.5 * 15 * 0.089^3 * 0.708 / (15.48e-6)^2 = 1.037e6: by hand Nu = max(0.0605 Ra^(1/3),
  // [1 + (0.104 Ra^0.293)^3]^(1/3)) = 6.13 (0.104 Ra^0.293 = 6.00).
  const double radiated = sigma_w_m2k4 * (std::pow(303.0, 4) - std::pow(288.0, 4)) / (2.0 / 0.9 - 1.0);
  CHECK(wide[0] == Approx(6.13 * 0.026 / 0.089 * 15.0 + radiated).epsilon(0.02));  // two tables of air
}

TEST_CASE("a level surface's film goes by its area over its perimeter, an upright one's by its height") {
  // McAdams, area / perimeter of 0.6 m by 0.4 m: 0.12 m; air at 300 K (Incropera, table A.4).
  sim::Wall wall =
      block({even_edges(0.6, 6), even_edges(0.05, 2), even_edges(0.4, 4)}, material("metal", 200.0, 2700.0, 900.0));
  expose(wall, sim::Side::top, add_natural(wall, "above", 290.0));
  expose(wall, sim::Side::bottom, add_natural(wall, "below", 290.0));
  sim::Crew crew(1);
  sim::Conduction conduction(share(std::move(wall)), crew);
  sim::Field rise_k(conduction.layout().size, static_cast<float>(310.0 - sim::datum_k));
  conduction.set_surroundings({290.0, 290.0}, rise_k);
  for (int round = 0; round < 3; ++round) conduction.refresh_all(rise_k);  // the film follows the surface
  const double ra = 9.81 / 300.0 * 20.0 * std::pow(0.12, 3) * 0.707 / (15.89e-6 * 15.89e-6);
  const double radiant = 0.9 * sigma_w_m2k4 * (310.0 * 310.0 + 290.0 * 290.0) * 600.0;
  for (const sim::SurfaceFace& face : conduction.surfaces()) {
    const double factor = face.surroundings == 0 ? 0.54 : 0.27;
    CHECK(face.film_w_m2k - radiant == Approx(factor * std::pow(ra, 0.25) * 0.0263 / 0.12).epsilon(0.02));
  }
}

TEST_CASE("a cable in a round hole at 3.2 W/m warms as its own surface says") {
  // q' = 2 pi k Nu dT / ln(Do/Di) + pi Di sigma (T1^4 - T2^4) / (1/e + (1 - e)/e Di/Do), the air's k and Raithby &
  // Hollands' Nu at the mean temperature; solved for dT here. 4 %: voxels of half a millimetre stand for the circles.
  Annulus of;
  of.radius_m = 0.010;
  of.wall_k = 300.0;
  of.length_m = 0.02;
  of.edges_m = even_edges(0.025, 50);
  for (double& edge : of.edges_m) edge -= 0.0125;
  const auto wall = share(annulus(of));
  const double current_a = std::sqrt(3.2 / (2.0 * 7.41e-3 * (1.0 + 0.00393 * 25.0)));
  const sim::Reading reading = settled_reading(wall, current_a);
  const double heat_w_m = heat_w(reading, 0) / of.length_m;
  CHECK(heat_w_m == Approx(3.2).epsilon(0.03));
  double low_k = 300.0, high_k = 400.0;
  for (int halving = 0; halving < 50; ++halving) {
    const double t = 0.5 * (low_k + high_k), mean = 0.5 * (t + 300.0);
    const double k = 0.0263 + (mean - 300.0) / 50.0 * 0.0037, pr = 0.706;
    const double nu = 15.89e-6 + (mean - 300.0) / 50.0 * 5.03e-6;
    const double long_m =
        2.0 * std::pow(std::log(2.5), 4.0 / 3.0) / std::pow(std::pow(0.004, -0.6) + std::pow(0.010, -0.6), 5.0 / 3.0);
    const double ra = 9.81 / mean * (t - 300.0) * std::pow(long_m, 3) * pr / (nu * nu);
    const double times = std::max(1.0, 0.386 * std::pow(pr / (0.861 + pr) * ra, 0.25));
    const double flow =
        2.0 * std::numbers::pi * k * times * (t - 300.0) / std::log(2.5) +
        std::numbers::pi * 0.008 * sigma_w_m2k4 * (std::pow(t, 4) - std::pow(300.0, 4)) / (1.0 / 0.9 + 0.1 / 0.9 * 0.4);
    (flow < heat_w_m ? low_k : high_k) = t;
  }
  INFO("by the formulas " << low_k - 300.0 << " K");
  CHECK(reading.thermocouple_k[0] - 300.0 == Approx(low_k - 300.0).epsilon(0.04));
}
