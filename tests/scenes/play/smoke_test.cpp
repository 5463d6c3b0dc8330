// Smoke in a room: extinction, visibility, obscuration and the moment of the alarm, against values worked out by hand.

#include "scenes/play/smoke.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace warmbay;

namespace {

/// 8.7 m2/g, the specific extinction of flaming soot (Mulholland & Croarkin 2000), in a room of 30 m3.
sim::SmokeRules rules() {
  sim::SmokeRules made;
  made.extinction_m2_kg = 8700.0;
  made.room_m3 = 30.0;
  made.reflecting_sign = 3.0;
  made.lit_sign = 8.0;
  made.alarm_db_m = 0.15;
  return made;
}

std::vector<sim::Reading> rows(const std::vector<double>& smoke_kg) {
  std::vector<sim::Reading> made;
  for (std::size_t i = 0; i < smoke_kg.size(); ++i) {
    sim::Reading row;
    row.time_s = 10.0 * static_cast<double>(i);
    row.smoke_kg = smoke_kg[i];
    made.push_back(row);
  }
  return made;
}

}  // namespace

TEST_CASE("a tenth of a gram of soot in each cubic metre lets one see three and a half metres", "[smoke]") {
  // K = 8.7 m2/g x 0.1 g/m3 = 0.87 1/m; 3 / 0.87 = 3.448 m, 8 / 0.87 = 9.195 m.
  const double smoke_kg = 0.1e-3 * 30.0;
  CHECK(scenes::extinction_1_m(rules(), smoke_kg) == Approx(0.87));
  CHECK(scenes::visibility(rules(), smoke_kg).reflecting_m == Approx(3.448).epsilon(1e-3));
  CHECK(scenes::visibility(rules(), smoke_kg).lit_m == Approx(9.195).epsilon(1e-3));
}

TEST_CASE("obscuration is ten times the decimal logarithm of the light lost in a metre", "[smoke]") {
  // K = 0.87 1/m: optical density 0.87 / 2.302585 = 0.37784 a metre, 3.7784 dB/m; the light that is left: exp(-0.87).
  const double smoke_kg = 0.1e-3 * 30.0;
  CHECK(scenes::obscuration_db_m(rules(), smoke_kg) == Approx(3.7784).epsilon(1e-4));
  CHECK(scenes::obscuration_db_m(rules(), smoke_kg) == Approx(-10.0 * std::log10(std::exp(-0.87))));
}

TEST_CASE("clear air hides nothing and sets off no alarm", "[smoke]") {
  CHECK(std::isinf(scenes::visibility(rules(), 0.0).reflecting_m));
  CHECK(std::isinf(scenes::visibility(rules(), 0.0).lit_m));
  CHECK(scenes::obscuration_db_m(rules(), 0.0) == 0.0);
  CHECK_FALSE(scenes::alarm_s(rules(), rows({0.0, 0.0})));
  CHECK_FALSE(scenes::alarm_s(rules(), {}));
}

TEST_CASE("the alarm sounds at the first row that is dark enough", "[smoke]") {
  // 0.15 dB/m is K = 0.15 ln(10) / 10 = 0.034539 1/m: 0.034539 x 30 / 8700 = 0.11910 g of smoke.
  CHECK(scenes::alarm_s(rules(), rows({0.0, 0.11e-3, 0.1190e-3, 0.1192e-3, 0.2e-3})) == 30.0);
  CHECK_FALSE(scenes::alarm_s(rules(), rows({0.0, 0.11e-3, 0.1190e-3})));
}

TEST_CASE("without rules for smoke there is no alarm", "[smoke]") {
  CHECK_FALSE(scenes::alarm_s({}, rows({0.0, 1.0})));
  CHECK(std::isinf(scenes::visibility({}, 1.0).lit_m));
}
