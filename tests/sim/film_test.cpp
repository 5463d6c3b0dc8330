// Surface films against the published correlations. Values computed from the same published formulas with other air
// tables (Incropera & DeWitt table A.4), so that air's properties are checked too: hence the percents.

#include "sim/film.hpp"

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
