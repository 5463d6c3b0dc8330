// What an infrared instrument shows, against values worked out by hand.

#include "sim/infrared.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace warmbay::sim {

namespace {

constexpr double room_k = 293.15;

}  // namespace

TEST_CASE("with the true emissivity an infrared instrument is right", "[infrared]") {
  for (const double emissivity : {0.05, 0.5, 0.9, 1.0})
    for (const double surface_k : {263.15, 293.15, 333.15, 473.15})
      CHECK(apparent_temperature_k(surface_k, emissivity, {emissivity, room_k}) == Approx(surface_k).epsilon(1e-12));
}

TEST_CASE("a board of emissivity 0.9 looks colder when the instrument is set to 1", "[infrared]") {
  // 60 °C in a room of 20 °C: 0.9 x 333.15^4 + 0.1 x 293.15^4 = 1.182520e10; its fourth root is 329.763 K, 56.61 °C.
  CHECK(apparent_temperature_k(333.15, 0.9, {1.0, room_k}) == Approx(329.763).margin(1e-3));
}

TEST_CASE("bare metal looks like the room that it mirrors", "[infrared]") {
  // e 0.05 at 100 °C, set to 0.95: (0.05 x 373.15^4 + 0.90 x 293.15^4) / 0.95 = 8.016885e9, its fourth root 299.227 K.
  const double shown_k = apparent_temperature_k(373.15, 0.05, {0.95, room_k});
  CHECK(shown_k == Approx(299.227).margin(1e-3));
  CHECK(shown_k < 303.15);
}

TEST_CASE("a surface as warm as its room shows its temperature whatever the emissivities", "[infrared]") {
  CHECK(apparent_temperature_k(room_k, 0.2, {0.95, room_k}) == Approx(room_k).epsilon(1e-12));
}

TEST_CASE("set too low, a warm surface looks hotter than it is, a cold one colder", "[infrared]") {
  CHECK(apparent_temperature_k(333.15, 0.9, {0.5, room_k}) > 333.15);
  CHECK(apparent_temperature_k(263.15, 0.9, {0.5, room_k}) < 263.15);
}

TEST_CASE("an instrument that takes more for reflected than it receives shows nothing", "[infrared]") {
  CHECK(apparent_temperature_k(100.0, 0.95, {0.1, 400.0}) == 0.0);
}

}  // namespace warmbay::sim
