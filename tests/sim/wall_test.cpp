// Where a cable lies: its route's length and points, and the boxes its sheath fills.

#include "sim/wall.hpp"

#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::sim;

namespace {

/// Right 0.4 m, up 0.3 m, into the wall 0.05 m; 10 mm by 5 mm.
Cable stairs() {
  CableType type;
  type.width_m = 0.010;
  type.thickness_m = 0.005;
  return {"stairs",
          type,
          {{0.1, 0.1, 0.1}, {0.5, 0.1, 0.1}, {0.5, 0.4, 0.1}, {0.5, 0.4, 0.15}},
          {Axis::z, Axis::z, Axis::y}};
}

}  // namespace

TEST_CASE("a route is as long as its legs and is walked leg by leg") {
  const Cable cable = stairs();
  CHECK(route_length_m(cable) == Approx(0.75));
  const auto same = [](const Vec3& a, const Vec3& b) {
    for (int i = 0; i < 3; ++i) CHECK(a[i] == Approx(b[i]).margin(1e-12));
  };
  same(route_point(cable, 0.25), {0.35, 0.1, 0.1});
  same(route_point(cable, 0.5), {0.5, 0.2, 0.1});
  same(route_point(cable, 0.74), {0.5, 0.4, 0.14});
  same(route_point(cable, -1.0), {0.1, 0.1, 0.1});
  same(route_point(cable, 2.0), {0.5, 0.4, 0.15});
}

TEST_CASE("a leg's sheath fills its cross-section, ends flush at free ends and closes the corners") {
  const Cable cable = stairs();
  const LegBox first = leg_box(cable, 0), second = leg_box(cable, 1), third = leg_box(cable, 2);
  CHECK(first.along == Axis::x);
  CHECK(second.along == Axis::y);
  CHECK(third.along == Axis::z);
  // Short side along z, long side along y; free at its start; reaches to the far side (5 mm) of the upright leg.
  CHECK(first.from_m[0] == Approx(0.1));
  CHECK(first.to_m[0] == Approx(0.505));
  CHECK(first.from_m[1] == Approx(0.095));
  CHECK(first.to_m[1] == Approx(0.105));
  CHECK(first.from_m[2] == Approx(0.0975));
  CHECK(first.to_m[2] == Approx(0.1025));
  // The upright leg starts at the lower side of the first and ends at the upper side of the third, whose short side is
  // along y.
  CHECK(second.from_m[1] == Approx(0.095));
  CHECK(second.to_m[1] == Approx(0.4025));
  CHECK(third.from_m[2] == Approx(0.0975));
  CHECK(third.to_m[2] == Approx(0.15));
}

TEST_CASE("a wall's first conditions are no current and its surroundings as described") {
  Wall wall = tests::block({{0.0, 1.0}, {0.0, 1.0}, {0.0, 1.0}}, tests::material("foam", 0.035, 20.0, 1450.0));
  tests::add_film(wall, "room", 303.15, 7.7);
  tests::add_held(wall, "ice", 273.15);
  const Conditions conditions = initial_conditions(wall);
  CHECK(conditions.current_a == 0.0);
  CHECK(conditions.surroundings_k == std::vector<double>{303.15, 273.15});
}
