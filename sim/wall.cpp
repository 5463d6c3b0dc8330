// Geometry of cable routes.

#include "sim/wall.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace warmbay::sim {
namespace {

Axis axis_of(const Vec3& from_m, const Vec3& to_m) {
  int longest = 0;
  for (int a = 1; a < 3; ++a)
    if (std::abs(to_m[a] - from_m[a]) > std::abs(to_m[longest] - from_m[longest])) longest = a;
  return static_cast<Axis>(longest);
}

double half_size_m(const Cable& cable, int leg, Axis axis) {
  return 0.5 * (cable.flat[static_cast<std::size_t>(leg)] == axis ? cable.type.thickness_m : cable.type.width_m);
}

}  // namespace

Conditions initial_conditions(const Wall& wall) {
  Conditions conditions;
  for (const Surroundings& s : wall.surroundings) conditions.surroundings_k.push_back(s.temperature_k);
  return conditions;
}

LegBox leg_box(const Cable& cable, int leg) {
  const auto first = static_cast<std::size_t>(leg);
  assert(first + 1 < cable.route_m.size() && cable.flat.size() + 1 == cable.route_m.size());
  const Vec3& a = cable.route_m[first];
  const Vec3& b = cable.route_m[first + 1];
  LegBox box{a, b, axis_of(a, b)};
  for (int i = 0; i < 3; ++i) {
    box.from_m[i] = std::min(a[i], b[i]);
    box.to_m[i] = std::max(a[i], b[i]);
    if (i == index_of(box.along)) continue;
    const double half_m = half_size_m(cable, leg, static_cast<Axis>(i));
    box.from_m[i] -= half_m;
    box.to_m[i] += half_m;
  }
  const int d = index_of(box.along);
  const bool rising = b[d] > a[d];
  auto reach = [&](int neighbour, bool at_upper_end) {
    if (leg_box(Cable{cable.name,
                      cable.type,
                      {cable.route_m[neighbour], cable.route_m[neighbour + 1]},
                      {cable.flat[static_cast<std::size_t>(neighbour)]}},
                0)
            .along == box.along)
      return;
    const double half_m = half_size_m(cable, neighbour, box.along);
    (at_upper_end ? box.to_m[d] : box.from_m[d]) += at_upper_end ? half_m : -half_m;
  };
  if (first > 0) reach(leg - 1, !rising);
  if (first + 2 < cable.route_m.size()) reach(leg + 1, rising);
  return box;
}

double route_length_m(const Cable& cable) {
  double length_m = 0.0;
  for (std::size_t i = 0; i + 1 < cable.route_m.size(); ++i)
    for (int a = 0; a < 3; ++a) length_m += std::abs(cable.route_m[i + 1][a] - cable.route_m[i][a]);
  return length_m;
}

Vec3 route_point(const Cable& cable, double along_m) {
  double left_m = std::max(along_m, 0.0);
  for (std::size_t i = 0; i + 1 < cable.route_m.size(); ++i) {
    const Vec3& a = cable.route_m[i];
    const Vec3& b = cable.route_m[i + 1];
    const int d = index_of(axis_of(a, b));
    const double length_m = std::abs(b[d] - a[d]);
    if (left_m <= length_m) {
      Vec3 point = a;
      point[d] += b[d] > a[d] ? left_m : -left_m;
      return point;
    }
    left_m -= length_m;
  }
  return cable.route_m.back();
}

}  // namespace warmbay::sim
