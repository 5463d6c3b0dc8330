// Copper as the shipped cables have it, against the standards for wire sizes and resistances.

#include <cmath>
#include <map>
#include <numbers>

#include "sim/cross_section.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// Cross-section of an American wire gauge, m2: d = 0.127 mm * 92^((36 - n) / 39). Source: ASTM B258.
double gauge_m2(int awg) {
  const double d_m = 0.127e-3 * std::pow(92.0, (36.0 - awg) / 39.0);
  return std::numbers::pi / 4.0 * d_m * d_m;
}

/// A type as the wall gets it, through a scene that runs 100 mm of it through foam.
sim::CableType as_painted(const std::string& name) {
  const std::string text =
      "format = 1\ntitle = \"one cable\"\n[wall]\nwidth_mm = 100.0\nheight_mm = 100.0\n"
      "[[wall.layer]]\nname = \"foam\"\nmaterial = \"foam\"\nthickness_mm = 100.0\n"
      "[[material]]\nname = \"foam\"\nconductivity_w_mk = 0.035\ndensity_kg_m3 = 20.0\nheat_capacity_j_kgk = 1450.0\n"
      "source = \"any\"\n"
      "[[surroundings]]\nname = \"room\"\ntemperature_c = 20.0\n[faces]\nroom = \"room\"\n"
      "[[cable]]\nname = \"feed\"\ntype = \"" +
      name + "\"\nroute_mm = [[0.0, 50.0, 50.0], [100.0, 50.0, 50.0]]\n";
  return paint_case(read_case_text(text, name))->cables.at(0).type;
}

}  // namespace

TEST_CASE("every gauge that ships has the cross-section and resistance of its number (ASTM B258, IEC 60028)") {
  // Ohm/km at 20 C, from 0.017241 ohm mm2/m; they agree with NBS Handbook 100 and, at 75 C, with the table of conductor
  // properties in the North-American wiring code (3.07, 1.93, 1.21, 0.764 ohm per 1000 ft).
  const std::map<int, double> published{{14, 8.28533}, {12, 5.21069}, {10, 3.27704}, {8, 2.06095}};
  std::map<int, int> seen;
  for (const scenes::SourcedCableType& type : shipped_data().cable_types) {
    if (!type.awg) continue;
    INFO(type.name);
    REQUIRE(published.count(*type.awg) == 1);
    ++seen[*type.awg];
    const sim::CableType painted = as_painted(type.name);
    CHECK(painted.conductor_m2 == Approx(gauge_m2(*type.awg)).epsilon(1e-3));
    CHECK(1000.0 * painted.resistance_20_ohm_m == Approx(published.at(*type.awg)).epsilon(2e-3));
    const double ohm_kft_75 = 304.8 * sim::resistance_ohm_m(painted, sim::kelvin_from_celsius(75.0));
    const std::map<int, double> code_kft{{14, 3.07}, {12, 1.93}, {10, 1.21}, {8, 0.764}};
    CHECK(ohm_kft_75 == Approx(code_kft.at(*type.awg)).margin(0.005));  // the table's last digit
  }
  CHECK(seen.size() == published.size());
}

TEST_CASE("every metric size that ships has at most the largest resistance that IEC 60228 allows, and hardly less") {
  const std::map<double, double> largest_ohm_km{{1.0, 18.1}, {1.5, 12.1}, {2.5, 7.41},
                                                {4.0, 4.61}, {6.0, 3.08}, {10.0, 1.83}};
  std::map<double, int> seen;
  for (const scenes::SourcedCableType& type : shipped_data().cable_types) {
    if (type.awg) continue;
    INFO(type.name);
    const double mm2 = std::round(type.conductor_m2 * 1e7) / 10.0;
    REQUIRE(largest_ohm_km.count(mm2) == 1);
    ++seen[mm2];
    const double ohm_km = 1000.0 * as_painted(type.name).resistance_20_ohm_m;
    CHECK(ohm_km <= largest_ohm_km.at(mm2) * (1.0 + 1e-9));
    CHECK(ohm_km >=
          0.93 * largest_ohm_km.at(mm2));  // the standard's limit leaves room for thinner drawing, not for more
  }
  CHECK(seen.size() == largest_ohm_km.size());
}

TEST_CASE("a run of cable drops the volts and gives the heat that a hand calculation says") {
  sim::CableType type = as_painted([] {
    for (const auto& t : shipped_data().cable_types) {
      if (t.awg == 14) return t.name;
    }
    return std::string();
  }());
  // 15 A: heat per metre of two 14 AWG conductors at 20, 60, 90, 156, 200 C; volts over a 10 m run at 20 and 60 C.
  const auto watts_m = [&type](double amps, double celsius) {
    return 2.0 * amps * amps * sim::resistance_ohm_m(type, sim::kelvin_from_celsius(celsius));
  };
  CHECK(watts_m(15.0, 20.0) == Approx(3.7265).epsilon(2e-3));
  CHECK(watts_m(15.0, 60.0) == Approx(4.3123).epsilon(2e-3));
  CHECK(watts_m(15.0, 90.0) == Approx(4.7517).epsilon(2e-3));
  CHECK(watts_m(30.0, 156.0) == Approx(22.873).epsilon(2e-3));
  CHECK(watts_m(45.0, 200.0) == Approx(57.26).epsilon(2e-3));
  CHECK(10.0 * watts_m(15.0, 20.0) / 15.0 == Approx(2.4856).epsilon(2e-3));
  CHECK(10.0 * watts_m(15.0, 60.0) / 15.0 == Approx(2.8763).epsilon(2e-3));
}
