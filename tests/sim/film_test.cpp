// Surface films against the published correlations. Values computed from the same published formulas with other air
// tables (Incropera & DeWitt table A.4), so that air's properties are checked too: hence the percents.

#include "sim/film.hpp"

#include <cmath>

#include "sim/units.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay::sim;

namespace {
double k(double celsius) {
  return kelvin_from_celsius(celsius);
}
}  // namespace

TEST_CASE("air conducts and flows as the tables say (Incropera & DeWitt table A.4)") {
  struct Row {
    double celsius, conductivity, viscosity;
  };
  for (const Row& row : {Row{0.0, 0.02414, 0.0}, Row{20.0, 0.02572, 1.5060e-5}, Row{60.0, 0.02879, 1.8865e-5},
                         Row{100.0, 0.03174, 2.2976e-5}, Row{200.0, 0.03865, 3.4468e-5}}) {
    INFO(row.celsius << " C");
    CHECK(air_at(k(row.celsius)).conductivity_w_mk == Approx(row.conductivity).epsilon(1e-3));
    if (row.viscosity > 0.0) {
      CHECK(air_at(k(row.celsius)).kinematic_viscosity_m2_s == Approx(row.viscosity).epsilon(5e-3));
    }
  }
  CHECK(air_at(300.0).prandtl == Approx(0.707).epsilon(0.01));
}

TEST_CASE("a warm upright plate loses heat to still air as Churchill & Chu (1975) say") {
  struct Row {
    double plate_c, air_c, height_m, film_w_m2k;
  };
  for (const Row& row : {Row{35, 25, 0.3, 3.549}, Row{35, 25, 2.4, 2.977}, Row{60, 20, 0.3, 5.247},
                         Row{60, 20, 1.0, 4.744}, Row{30, 25, 2.4, 2.404}}) {
    INFO(row.plate_c << " C in " << row.air_c << " C, " << row.height_m << " m");
    const double film = buoyant_film_w_m2k(k(row.plate_c), k(row.air_c), row.height_m, Facing::sideways);
    CHECK(film == Approx(row.film_w_m2k).epsilon(0.01));  // air tables differ by up to 1 %
    CHECK(buoyant_film_w_m2k(k(row.air_c), k(row.plate_c), row.height_m, Facing::sideways) ==
          Approx(film).epsilon(1e-9));  // a cold plate in warm air: the same film
  }
}

TEST_CASE("heat leaves a warm floor more easily than a warm ceiling, and a cold ceiling as a warm floor (McAdams)") {
  const double floor = buoyant_film_w_m2k(k(30), k(20), 0.25, Facing::up);
  const double ceiling = buoyant_film_w_m2k(k(30), k(20), 0.25, Facing::down);
  CHECK(floor > ceiling);
  CHECK(buoyant_film_w_m2k(k(20), k(30), 0.25, Facing::down) == Approx(floor).epsilon(1e-9));
  CHECK(buoyant_film_w_m2k(k(20), k(30), 0.25, Facing::up) == Approx(ceiling).epsilon(1e-9));
  // Nu = 0.27 Ra^(1/4) by hand, 25 C: k 0.0261, nu 1.562e-5, Pr 0.71: Ra = 9.81/298.15*10*0.25^3/nu^2*Pr = 1.496e7.
  CHECK(ceiling == Approx(0.27 * 62.2 * 0.0261 / 0.25).epsilon(0.01));
}

TEST_CASE("black surroundings at one temperature take 4 sigma T^3 per kelvin (Stefan-Boltzmann)") {
  for (const auto& [celsius, film] : {std::pair{-10.0, 4.1332}, {10.0, 5.1490}, {20.0, 5.7140}, {100.0, 11.7848}}) {
    CHECK(radiant_film_w_m2k(k(celsius), k(celsius), 1.0) == Approx(film).epsilon(1e-4));
    CHECK(radiant_film_w_m2k(k(celsius), k(celsius), 0.9) == Approx(0.9 * film).epsilon(1e-4));
  }
  // Two unlike temperatures: flux by the film is the difference of the fourth powers.
  const double hot = k(80), cold = k(20);
  CHECK(radiant_film_w_m2k(hot, cold, 1.0) * (hot - cold) ==
        Approx(stefan_boltzmann_w_m2k4 * (hot * hot * hot * hot - cold * cold * cold * cold)).epsilon(1e-9));
}

TEST_CASE("a surface at the temperature of its surroundings still has a finite film") {
  const double film = buoyant_film_w_m2k(k(20), k(20), 1.0, Facing::sideways);
  CHECK(film >= 0.0);
  CHECK(film < 1.0);
}

namespace {

/// Air at 1 atm: Incropera & DeWitt table A.4 (from memory), straight between its rows.
struct TabledAir {
  double conductivity_w_mk, viscosity_m2_s, prandtl;
};
TabledAir tabled_air(double temperature_k) {
  constexpr double t_k[] = {250.0, 300.0, 350.0, 400.0, 450.0};
  constexpr TabledAir rows[] = {{0.0223, 11.44e-6, 0.720},
                                {0.0263, 15.89e-6, 0.707},
                                {0.0300, 20.92e-6, 0.700},
                                {0.0338, 26.41e-6, 0.690},
                                {0.0373, 32.39e-6, 0.686}};
  int n = 0;
  while (n < 3 && temperature_k > t_k[n + 1]) ++n;
  const double part = (temperature_k - t_k[n]) / (t_k[n + 1] - t_k[n]);
  const auto between = [&](double a, double b) { return a + part * (b - a); };
  return {between(rows[n].conductivity_w_mk, rows[n + 1].conductivity_w_mk),
          between(rows[n].viscosity_m2_s, rows[n + 1].viscosity_m2_s), between(rows[n].prandtl, rows[n + 1].prandtl)};
}

/// g (1/T) dT L^3 Pr / nu^2.
double tabled_rayleigh(double warm_k, double cold_k, double length_m) {
  const double mean_k = 0.5 * (warm_k + cold_k);
  const TabledAir air = tabled_air(mean_k);
  return 9.81 * (warm_k - cold_k) / mean_k * std::pow(length_m, 3) * air.prandtl / std::pow(air.viscosity_m2_s, 2);
}

}  // namespace

// 2 %: what two tables of air differ by in Ra (up to 3 % by its viscosity squared) to the power of a third or less.
TEST_CASE("air in a low wide cavity moves in one cell: 0.242 (Ra d / H)^0.272 (ElSherbiny, Raithby & Hollands 1982)") {
  for (const double height_m : {0.06, 0.1, 0.2}) {
    const double ra = tabled_rayleigh(305.0, 295.0, 0.05);
    CHECK(layer_nusselt(305.0, 295.0, 0.05, height_m) ==
          Approx(0.242 * std::pow(ra * 0.05 / height_m, 0.272)).epsilon(0.02));
  }
}

TEST_CASE("a tall layer in between carries [1 + (0.104 Ra^0.293 / (1 + (6310/Ra)^1.36))^3]^(1/3) (the same paper)") {
  for (const double thickness_m : {0.015, 0.02, 0.03, 0.05, 0.08}) {
    INFO(thickness_m << " m");
    const double ra = tabled_rayleigh(303.0, 297.0, thickness_m);
    const double steep = 0.104 * std::pow(ra, 0.293) / (1.0 + std::pow(6310.0 / ra, 1.36));
    CHECK(layer_nusselt(303.0, 297.0, thickness_m, 2.4) ==
          Approx(std::cbrt(1.0 + steep * steep * steep)).epsilon(0.02));
  }
}

TEST_CASE("a thick layer is turbulent: 0.0605 Ra^(1/3), whatever its height (the same paper)") {
  for (const double height_m : {2.4, 10.0}) {
    const double ra = tabled_rayleigh(320.0, 290.0, 0.25);
    REQUIRE(ra > 1e7);
    CHECK(layer_nusselt(320.0, 290.0, 0.25, height_m) == Approx(0.0605 * std::cbrt(ra)).epsilon(0.02));
  }
}

TEST_CASE("air in a ring about a lying cylinder carries what Raithby & Hollands (1975) say") {
  // As Incropera's 7th edition prints it: k_eff / k = 0.386 (Pr / (0.861 + Pr))^(1/4) Ra_c^(1/4) over
  // L_c = 2 ln(ro/ri)^(4/3) / (ri^(-3/5) + ro^(-3/5))^(5/3).
  struct Ring {
    double inner_m, outer_m, warm_k, cold_k;
  };
  for (const Ring& of : {Ring{0.008, 0.05, 340.0, 300.0}, {0.01, 0.1, 400.0, 300.0}, {0.005, 0.04, 320.0, 300.0}}) {
    const double ri = 0.5 * of.inner_m, ro = 0.5 * of.outer_m;
    const double long_m =
        2.0 * std::pow(std::log(ro / ri), 4.0 / 3.0) / std::pow(std::pow(ri, -0.6) + std::pow(ro, -0.6), 5.0 / 3.0);
    const double pr = tabled_air(0.5 * (of.warm_k + of.cold_k)).prandtl;
    const double times = 0.386 * std::pow(pr / (0.861 + pr) * tabled_rayleigh(of.warm_k, of.cold_k, long_m), 0.25);
    INFO(of.inner_m << " m in " << of.outer_m << " m");
    REQUIRE(times > 1.1);
    CHECK(annulus_nusselt(of.warm_k, of.cold_k, of.inner_m, of.outer_m) == Approx(times).epsilon(0.02));
  }
  CHECK(annulus_nusselt(310.0, 300.0, 0.008, 0.016) == 1.0);  // a gap of 4 mm: still air
}

TEST_CASE("a level surface has McAdams' film: 0.54 Ra^(1/4), 0.15 Ra^(1/3) up and 0.27 Ra^(1/4) down") {
  const auto film = [](double factor, double power, double length_m) {
    return factor * std::pow(tabled_rayleigh(310.0, 290.0, length_m), power) * tabled_air(300.0).conductivity_w_mk /
           length_m;
  };
  CHECK(buoyant_film_w_m2k(310.0, 290.0, 0.08, Facing::up) == Approx(film(0.54, 0.25, 0.08)).epsilon(0.02));
  CHECK(buoyant_film_w_m2k(310.0, 290.0, 0.5, Facing::up) == Approx(film(0.15, 1.0 / 3.0, 0.5)).epsilon(0.02));
  CHECK(buoyant_film_w_m2k(310.0, 290.0, 0.5, Facing::down) == Approx(film(0.27, 0.25, 0.5)).epsilon(0.02));
}
