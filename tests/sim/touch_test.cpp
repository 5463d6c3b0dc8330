// A hand on a surface, against values worked out by hand.

#include "sim/touch.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace warmbay::sim {

namespace {

constexpr Skin hand{306.15, 1200.0};

/// Thresholds of bare metal in ISO 13732-1, from memory.
BurnClass metal() {
  return {"metal", 12000.0, {{1.0, 338.15}, {10.0, 328.15}, {60.0, 324.15}, {600.0, 321.15}, {28800.0, 316.15}}};
}

}  // namespace

TEST_CASE("effusivity is the root of conductivity, density and heat capacity together", "[touch]") {
  Material softwood;
  softwood.conductivity_w_mk = {0.13};
  softwood.density_kg_m3 = 500.0;
  softwood.heat_capacity_j_kgk = 1600.0;
  CHECK(effusivity_w_s05_m2k(softwood, 293.15) == Approx(322.49).epsilon(1e-4));  // sqrt(104 000)
}

TEST_CASE("skin takes nearly the temperature of metal and half that of another hand", "[touch]") {
  // Aluminium: sqrt(160 x 2800 x 880) = 19 855; (1200 x 33 + 19 855 x 60) / 21 055 = 58.461 °C.
  CHECK(contact_temperature_k(hand, 333.15, 19855.0) - 273.15 == Approx(58.461).margin(1e-3));
  CHECK(contact_temperature_k(hand, 326.15, 1200.0) - 273.15 == Approx(43.0));
}

TEST_CASE("wood at sixty degrees feels cooler than metal at fifty", "[touch]") {
  // Softwood: (1200 x 33 + 322.49 x 60) / 1522.49 = 38.719 °C.
  const double wood_k = contact_temperature_k(hand, 333.15, 322.49);
  CHECK(wood_k - 273.15 == Approx(38.719).margin(1e-3));
  CHECK(wood_k < contact_temperature_k(hand, 323.15, 12000.0));
}

TEST_CASE("a surface as warm as the hand is felt as it is, whatever it is made of", "[touch]") {
  CHECK(contact_temperature_k(hand, hand.temperature_k, 35.0) == Approx(hand.temperature_k));
  CHECK(contact_temperature_k(hand, hand.temperature_k, 20000.0) == Approx(hand.temperature_k));
}

TEST_CASE("at a threshold its own time is the longest contact", "[touch]") {
  for (const BurnThreshold& at : metal().thresholds)
    CHECK(longest_contact_s(metal(), at.surface_k) == Approx(at.contact_s).epsilon(1e-9));
}

TEST_CASE("between thresholds the logarithm of time falls evenly with temperature", "[touch]") {
  // Half-way from 65 °C, 1 s to 55 °C, 10 s is 60 °C: sqrt(10) s. From 51 °C, 1 min to 48 °C, 10 min a third: 129.27 s.
  CHECK(longest_contact_s(metal(), 333.15) == Approx(std::sqrt(10.0)));
  CHECK(longest_contact_s(metal(), 323.15) == Approx(129.27).epsilon(1e-4));
}

TEST_CASE("hotter than the first threshold burns at once, colder than the last one never", "[touch]") {
  CHECK(longest_contact_s(metal(), 338.16) == 0.0);
  CHECK(longest_contact_s(metal(), 500.0) == 0.0);
  CHECK(std::isinf(longest_contact_s(metal(), 316.14)));
}

TEST_CASE("a material burns like the class that conducts most like it", "[touch]") {
  const std::vector<BurnClass> classes{metal(), {"ceramic", 1500.0, {{1.0, 353.15}}}, {"wood", 320.0, {{1.0, 383.15}}}};
  CHECK(class_of(classes, 19855.0).name == "metal");
  CHECK(class_of(classes, 1900.0).name == "ceramic");  // concrete
  CHECK(class_of(classes, 35.0).name == "wood");       // foam
  // The border between two classes is the geometric mean of theirs: sqrt(1500 x 320) = 692.8.
  CHECK(class_of(classes, 700.0).name == "ceramic");
  CHECK(class_of(classes, 685.0).name == "wood");
}

}  // namespace warmbay::sim
