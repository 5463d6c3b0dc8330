// A wall with air in it, drawn from the other side or turned about the upright axis, is the same wall.

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "tests/support/air_walls.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double wide_m = 0.24, high_m = 0.2, deep_m = 0.12;

/// How a wall is built from the drawing: mirrored along the drawing's x or z, then x and z swapped.
struct Turned {
  bool mirror_x = false, mirror_z = false, swap = false;
  [[nodiscard]] sim::Vec3 drawn(sim::Vec3 at) const {
    if (swap) std::swap(at[0], at[2]);
    if (mirror_x) at[0] = wide_m - at[0];
    if (mirror_z) at[2] = deep_m - at[2];
    return at;
  }
  [[nodiscard]] sim::Vec3 built(sim::Vec3 at) const {
    if (mirror_x) at[0] = wide_m - at[0];
    if (mirror_z) at[2] = deep_m - at[2];
    if (swap) std::swap(at[0], at[2]);
    return at;
  }
};

/// Board, a cavity with a post on one side of it, foam with a channel round a cable that runs along the drawing's x,
/// and metal in a corner of the channel; unlike films on both faces, one end held.
sim::Wall wall_of(const Turned& turned, double step_m) {
  const auto edges = [&](double length_m) {
    return even_edges(length_m, static_cast<int>(std::lround(length_m / step_m)));
  };
  std::array<std::vector<double>, 3> of{edges(wide_m), edges(high_m), edges(deep_m)};
  if (turned.swap) std::swap(of[0], of[2]);
  sim::Wall wall = block({of[0], of[1], of[2]}, material("foam", 0.03, 30.0, 1450.0));
  const auto paint = [&](const sim::Material& filling, const sim::Vec3& from, const sim::Vec3& to) {
    paint_where(wall, filling, [&](const sim::Vec3& at) {
      const sim::Vec3 drawn = turned.drawn(at);
      bool in = true;
      for (int n = 0; n < 3; ++n) in = in && drawn[n] > from[n] && drawn[n] < to[n];
      return in;
    });
  };
  sim::Material metal = material("metal", 50.0, 7800.0, 450.0);
  metal.emissivity = 0.2;
  paint(material("board", 0.25, 900.0, 1000.0), {0.0, 0.0, 0.0}, {wide_m, high_m, 0.012});
  paint(still_air(), {0.04, 0.04, 0.012}, {wide_m, 0.18, 0.048});
  paint(still_air(), {0.0, 0.08, 0.072}, {wide_m, 0.12, 0.1});
  paint(metal, {0.0, 0.08, 0.088}, {wide_m, 0.1, 0.1});
  constexpr sim::Side ends[2][2] = {{sim::Side::room, sim::Side::far}, {sim::Side::left, sim::Side::right}};
  const int room = add_film(wall, "room", 293.0, 8.0), outside = add_film(wall, "outside", 268.0, 25.0);
  expose(wall, ends[turned.swap][turned.mirror_z], room);
  expose(wall, ends[turned.swap][!turned.mirror_z], outside);
  expose(wall, ends[!turned.swap][turned.mirror_x], add_held(wall, "end", 310.0));
  RoundCable cable;
  cable.plastic = material("pvc", 0.17, 1390.0, 900.0);
  const sim::Vec3 from = turned.built({0.0, 0.106, 0.082}), to = turned.built({wide_m, 0.106, 0.082});
  add_cable(wall, "feed", round_type(cable), {from, to});
  wall.cables[0].flat[0] = turned.swap ? sim::Axis::x : sim::Axis::z;
  add_cable_spot(wall, 0, 0.12, true);
  for (const sim::Vec3& at : {sim::Vec3{0.1, 0.1, 0.006}, {0.15, 0.05, 0.03}, {0.15, 0.15, 0.054}, {0.08, 0.13, 0.08}})
    add_spot(wall, turned.built(at));
  return wall;
}

}  // namespace

TEST_CASE("a wall's mirror image and the wall turned by a quarter about the upright axis settle alike", "[slow]") {
  const sim::Reading as_drawn = settled_reading(share(wall_of({}, 0.004)), 20.0);
  CHECK(as_drawn.thermocouple_k[0] > 310.0);
  for (const Turned& turned : {Turned{true, false, false},
                               {false, true, false},
                               {true, true, false},
                               {false, false, true},
                               {true, false, true},
                               {false, true, true}}) {
    INFO("mirrored along x " << turned.mirror_x << ", along z " << turned.mirror_z << ", turned " << turned.swap);
    const sim::Reading of = settled_reading(share(wall_of(turned, 0.004)), 20.0);
    // The settled solver stops within 1e-4 K; sums run the other way round.
    for (std::size_t n = 0; n < of.thermocouple_k.size(); ++n)
      CHECK(of.thermocouple_k[n] == Approx(as_drawn.thermocouple_k[n]).margin(2e-3));
    for (std::size_t n = 0; n < of.surroundings.size(); ++n)
      CHECK(of.surroundings[n].heat_w == Approx(as_drawn.surroundings[n].heat_w).margin(2e-4));
  }
}
