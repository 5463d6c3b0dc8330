#include "sim/curve.hpp"

#include "tests/tests_pch.hpp"

using warmbay::sim::Curve;

TEST_CASE("a constant is the same at every temperature") {
  const Curve curve = 0.035;
  CHECK(curve.constant());
  CHECK(curve.at(0.0) == 0.035);
  CHECK(curve.at(1000.0) == 0.035);
}

TEST_CASE("a curve is linear between its points, through them, and flat beyond its ends") {
  const Curve curve({273.15, 293.15, 373.15}, {0.02, 0.03, 0.07});
  CHECK_FALSE(curve.constant());
  CHECK(curve.at(273.15) == Approx(0.02));
  CHECK(curve.at(283.15) == Approx(0.025));
  CHECK(curve.at(293.15) == Approx(0.03));
  CHECK(curve.at(333.15) == Approx(0.05));
  CHECK(curve.at(373.15) == Approx(0.07));
  CHECK(curve.at(100.0) == Approx(0.02));
  CHECK(curve.at(2000.0) == Approx(0.07));
}
