// What a person reads, against definitions and published tables.

#include "render/units_display.hpp"

#include "sim/units.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {
const Units si{};
const Units us{TemperatureUnit::fahrenheit, LengthUnit::inch, ConductorUnit::awg};
}  // namespace

TEST_CASE("temperatures are shown in the chosen unit and read back without loss") {
  CHECK(temperature_text(si, 373.15) == "100.0 °C");
  CHECK(temperature_text(us, 373.15) == "212.0 °F");
  CHECK(temperature_text(us, 233.15, 0) == "-40 °F");  // where the two scales meet
  CHECK(temperature_text(si, std::numeric_limits<double>::infinity()) == "–");
  for (const Units& units : {si, us}) {
    for (const double k : {250.0, 293.15, 333.15, 500.0}) {
      CHECK(kelvin_of_shown(units, shown_temperature(units, k)) == Approx(k).epsilon(1e-12));
    }
  }
}

TEST_CASE("a difference of temperatures has no offset") {
  CHECK(shown_difference(si, 10.0) == Approx(10.0));
  CHECK(shown_difference(us, 10.0) == Approx(18.0));
}

TEST_CASE("lengths are shown in whole millimetres or hundredths of an inch") {
  CHECK(length_text(si, 0.0381) == "38 mm");
  CHECK(length_text(us, 0.0381) == "1.5 in");
  CHECK(length_text(us, 0.0127) == "0.5 in");
  CHECK(metres_of_shown(us, shown_length(us, 0.089)) == Approx(0.089));
}

TEST_CASE("a conductor's area becomes its gauge, and says when no gauge fits") {
  CHECK(conductor_text(si, 2.5e-6) == "2.5 mm²");
  // ASTM B258: 14 AWG 2.081 mm², 12 AWG 3.309 mm², 10 AWG 5.261 mm², 1/0 53.49 mm².
  CHECK(conductor_text(us, 2.081e-6) == "14 AWG");
  CHECK(conductor_text(us, 3.309e-6) == "12 AWG");
  CHECK(conductor_text(us, 5.261e-6) == "10 AWG");
  CHECK(conductor_text(us, 53.49e-6) == "1/0 AWG");
  CHECK(conductor_text(us, 2.5e-6) == "~13 AWG");
}

TEST_CASE("simulated time counts hours without limit") {
  CHECK(clock_text(0.0) == "0:00:00");
  CHECK(clock_text(1500.9) == "0:25:00");
  CHECK(clock_text(400000.0) == "111:06:40");
  CHECK(clock_text(-3.0) == "0:00:00");
}

TEST_CASE("numbers keep three significant digits at most, and no exponent") {
  CHECK(number_text(0.0) == "0.00");
  CHECK(number_text(5.284) == "5.28");
  CHECK(number_text(52.84) == "52.8");
  CHECK(number_text(528.4) == "528");
  CHECK(number_text(123456.0) == "123456");
}

}  // namespace warmbay::render
