// The cable's shape. Each leg is a straight piece: half a sheath (the half away from the room, closed by the cut plane
// through the cable's middle) and whole round cores on it. Legs overlap at corners, as sim::leg_box has them. A leg
// that runs into the wall is cut along the plane across its short side, or square to x for a round cable.

#include "render/passes/cable_shape.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <glm/glm.hpp>

namespace warmbay::render {

namespace {

constexpr int arc_parts = 6;    // of each rounded side of the sheath
constexpr int core_parts = 12;  // around a core
constexpr double pi = 3.14159265358979323846;
// The cut plane lies a little before the middle, so that it is seen when the wall is cut exactly through the cable.
constexpr double lift_m = 0.0003;

enum Kind { sheath = 0, core = 1, earth = 2 };

/// A straight piece in its own frame: along the leg, `open` towards the side that is cut away, `side` across both.
struct Leg {
  glm::dvec3 from_m, to_m;
  glm::dvec3 open, side;
  double along_from_m, along_to_m;
  double half_side_m, half_open_m;  // half sizes of the sheath along `side` and `open`
};

glm::dvec3 unit(int axis) {
  glm::dvec3 v(0.0);
  v[axis] = 1.0;
  return v;
}

Leg leg_of(const sim::Cable& cable, int index, double along_from_m) {
  const sim::LegBox box = sim::leg_box(cable, index);
  const auto i = static_cast<std::size_t>(index);
  const int d = sim::index_of(box.along);
  const int flat = sim::index_of(cable.flat[i]);
  const double start_m = cable.route_m[i][static_cast<std::size_t>(d)];
  const double end_m = cable.route_m[i + 1][static_cast<std::size_t>(d)];
  const auto [u, v] = across(box.along);
  const int open = box.along == sim::Axis::z ? flat : 2;
  const int side = open == u ? v : u;
  Leg leg{};
  for (int a = 0; a < 3; ++a) {
    const auto s = static_cast<std::size_t>(a);
    leg.from_m[a] = a == d ? box.from_m[s] : 0.5 * (box.from_m[s] + box.to_m[s]);
    leg.to_m[a] = a == d ? box.to_m[s] : leg.from_m[a];
  }
  leg.open = -unit(open);
  leg.side = unit(side);
  const double sign = end_m > start_m ? 1.0 : -1.0;
  leg.along_from_m = along_from_m + sign * (leg.from_m[d] - start_m);
  leg.along_to_m = along_from_m + sign * (leg.to_m[d] - start_m);
  leg.half_side_m = 0.5 * (box.to_m[static_cast<std::size_t>(side)] - box.from_m[static_cast<std::size_t>(side)]);
  leg.half_open_m = 0.5 * (box.to_m[static_cast<std::size_t>(open)] - box.from_m[static_cast<std::size_t>(open)]);
  return leg;
}

void add_vertex(std::vector<float>& to, const glm::dvec3& point, const glm::dvec3& normal, double along_m, Kind kind) {
  for (int a = 0; a < 3; ++a) to.push_back(static_cast<float>(point[a]));
  for (int a = 0; a < 3; ++a) to.push_back(static_cast<float>(normal[a]));
  to.push_back(static_cast<float>(along_m));
  to.push_back(static_cast<float>(kind));
}

/// A point of a cross-section and the direction it faces, both as (side, open).
struct Rim {
  glm::dvec2 point_m;
  glm::dvec2 normal;
};

/// A strip along the leg between two points of its cross-section.
void add_strip(std::vector<float>& to, const Leg& leg, const Rim& a, const Rim& b, Kind kind) {
  const auto place = [&](const Rim& rim) { return rim.point_m.x * leg.side + rim.point_m.y * leg.open; };
  const auto facing = [&](const Rim& rim) { return rim.normal.x * leg.side + rim.normal.y * leg.open; };
  for (const auto& [rim, far] : {std::pair{&a, false}, {&b, false}, {&b, true}, {&a, false}, {&b, true}, {&a, true}}) {
    add_vertex(to, (far ? leg.to_m : leg.from_m) + place(*rim), facing(*rim), far ? leg.along_to_m : leg.along_from_m,
               kind);
  }
}

/// An end cap: a fan around the middle of a closed cross-section.
void add_caps(std::vector<float>& to, const Leg& leg, const std::vector<Rim>& ring, Kind kind) {
  glm::dvec2 middle(0.0);
  for (const Rim& rim : ring) middle += rim.point_m / static_cast<double>(ring.size());
  const glm::dvec3 outward = glm::normalize(leg.to_m - leg.from_m);
  const auto place = [&](const glm::dvec2& p) { return p.x * leg.side + p.y * leg.open; };
  for (const bool far : {false, true}) {
    const glm::dvec3 end = far ? leg.to_m : leg.from_m;
    const double along_m = far ? leg.along_to_m : leg.along_from_m;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const glm::dvec2& next = ring[(i + 1) % ring.size()].point_m;
      for (const glm::dvec2& p : {middle, ring[i].point_m, next}) {
        add_vertex(to, end + place(p), far ? outward : -outward, along_m, kind);
      }
    }
  }
}

/// The half of the sheath away from the opening, from one side of the cut plane to the other: a stadium's lower half.
std::vector<Rim> sheath_half(const Leg& leg) {
  const double radius_m = std::min(leg.half_side_m, leg.half_open_m);
  const double flat_side_m = leg.half_side_m - radius_m;  // straight part, when the long side is across
  const double flat_open_m = leg.half_open_m - radius_m;  // ... or towards the opening
  std::vector<Rim> rims;
  rims.push_back({{leg.half_side_m, lift_m}, {1.0, 0.0}});
  for (int i = 0; i <= 2 * arc_parts; ++i) {
    const double angle = -pi * i / (2 * arc_parts);
    const glm::dvec2 direction{std::cos(angle), std::sin(angle)};
    const double shift = i < arc_parts ? flat_side_m : i > arc_parts ? -flat_side_m : 0.0;
    if (i == arc_parts) rims.push_back({{flat_side_m, -flat_open_m - radius_m}, direction});
    rims.push_back(
        {{(i == arc_parts ? -flat_side_m : shift) + radius_m * direction.x, -flat_open_m + radius_m * direction.y},
         direction});
  }
  rims.push_back({{-leg.half_side_m, lift_m}, {-1.0, 0.0}});
  return rims;
}

void add_round(std::vector<float>& to, const Leg& leg, const glm::dvec2& middle_m, double radius_m, Kind kind) {
  std::vector<Rim> ring;
  for (int i = 0; i < core_parts; ++i) {
    const double angle = 2.0 * pi * i / core_parts;
    const glm::dvec2 direction{std::cos(angle), std::sin(angle)};
    ring.push_back({middle_m + radius_m * direction, direction});
  }
  for (std::size_t i = 0; i < ring.size(); ++i) add_strip(to, leg, ring[i], ring[(i + 1) % ring.size()], kind);
  add_caps(to, leg, ring, kind);
}

/// Cores side by side along the cable's long side; the earth conductor in the middle of them.
void add_conductors(std::vector<float>& to, const Leg& leg, const sim::CableType& type) {
  const int count = type.loaded + (type.earth_m2 > 0.0 ? 1 : 0);
  const bool along_side = leg.half_side_m >= leg.half_open_m;
  const double half_long_m = std::max(leg.half_side_m, leg.half_open_m);
  const double half_short_m = std::min(leg.half_side_m, leg.half_open_m);
  double radius_m = std::min(0.5 * type.core_m, 0.92 * half_short_m);
  const double reach_m = half_long_m - std::max(half_short_m, 1.08 * radius_m);
  const double spread_m = std::max(reach_m, count > 1 ? half_long_m - 1.08 * radius_m : 0.0);
  const double apart_m = count > 1 ? 2.0 * spread_m / (count - 1) : half_long_m;
  radius_m = count > 1 ? std::min(radius_m, 0.49 * apart_m) : radius_m;
  for (int i = 0; i < count; ++i) {
    const bool is_earth = type.earth_m2 > 0.0 && i == count / 2;
    const double at_m = count > 1 ? -spread_m + apart_m * i : 0.0;
    const glm::dvec2 middle = along_side ? glm::dvec2(at_m, lift_m) : glm::dvec2(0.0, at_m);
    const double own_m = is_earth ? std::min(std::sqrt(type.earth_m2 / pi), radius_m) : radius_m;
    add_round(to, leg, middle, own_m, is_earth ? earth : core);
  }
}

Line line_between(const glm::dvec3& a, const glm::dvec3& b) {
  return {{a.x, a.y, a.z}, {b.x, b.y, b.z}, {}};
}

void add_leg(CableShape& shape, const Leg& leg, const sim::CableType& type) {
  const std::vector<Rim> half = sheath_half(leg);
  for (std::size_t i = 0; i + 1 < half.size(); ++i) add_strip(shape.solid, leg, half[i], half[i + 1], sheath);
  const Rim left{{-leg.half_side_m, lift_m}, {0.0, 1.0}};
  const Rim right{{leg.half_side_m, lift_m}, {0.0, 1.0}};
  add_strip(shape.solid, leg, left, right, sheath);
  add_strip(shape.ribbon, leg, left, right, sheath);
  add_caps(shape.solid, leg, half, sheath);
  add_conductors(shape.solid, leg, type);
  for (const Rim& rim : {left, right}) {
    const glm::dvec3 aside = rim.point_m.x * leg.side + rim.point_m.y * leg.open;
    shape.rims.push_back(line_between(leg.from_m + aside, leg.to_m + aside));
  }
}

}  // namespace

CableShape cable_shape(const sim::Cable& cable) {
  CableShape shape;
  double along_m = 0.0;
  for (int i = 0; i + 1 < static_cast<int>(cable.route_m.size()); ++i) {
    add_leg(shape, leg_of(cable, i, along_m), cable.type);
    const auto s = static_cast<std::size_t>(i);
    for (std::size_t a = 0; a < 3; ++a) along_m += std::abs(cable.route_m[s + 1][a] - cable.route_m[s][a]);
  }
  return shape;
}

}  // namespace warmbay::render
