#pragma once
// What a part of a wall is made of, as boxes in space rather than voxels: exact, and cheap for the few boxes of a
// scene.

#include <vector>

#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// A piece of the wall of one make. box: index into Scene::boxes, or in_layers, or in_nothing (painted by nobody).
struct Region {
  static constexpr int in_layers = -1;
  static constexpr int in_nothing = -2;
  sim::Vec3 from_m;
  sim::Vec3 to_m;
  int box = in_nothing;
};

/// The pieces that fill the box between two corners, m, without overlap. Slivers thinner than a grid plane's tolerance
/// (sim/limits.hpp, plane_merge_m) are left out.
[[nodiscard]] std::vector<Region> regions_of(const Scene& scene, const sim::Vec3& from_m, const sim::Vec3& to_m);

/// The last box painted over a point, or Region::in_layers or Region::in_nothing. A point on a boundary is in either.
[[nodiscard]] int made_of(const Scene& scene, const sim::Vec3& at_m);

/// The name of what lies at a point: a material's, or of surroundings; empty where nothing does. Studs included.
[[nodiscard]] std::string stuff_at(const Scene& scene, const sim::Vec3& at_m);

/// Coordinates along an axis where what the wall is made of may change, m: its ends, layers, studs and boxes.
[[nodiscard]] std::vector<double> boundaries_m(const Scene& scene, sim::Axis axis);

/// [from, to] of every stud of a layer along x, clipped at the wall, m.
[[nodiscard]] std::vector<sim::Interval> studs_m(const Studs& studs, double width_m);

}  // namespace warmbay::scenes
