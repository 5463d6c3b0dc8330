// Cuts a box into the pieces that each box of a scene, from the last painted to the first, leaves of it.

#include "scenes/paint/regions.hpp"

#include <algorithm>
#include <cmath>

#include "sim/limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double sliver_m = sim::limits::plane_merge_m;

bool thick(const sim::Vec3& from_m, const sim::Vec3& to_m) {
  return to_m[0] - from_m[0] > sliver_m && to_m[1] - from_m[1] > sliver_m && to_m[2] - from_m[2] > sliver_m;
}

/// Appends what of `piece` lies outside [from, to], and returns what lies inside.
Region cut(Region piece, const sim::Vec3& from_m, const sim::Vec3& to_m, std::vector<Region>& outside) {
  for (std::size_t axis = 0; axis < 3; ++axis) {
    auto below = piece;
    below.to_m[axis] = std::min(piece.to_m[axis], from_m[axis]);
    if (thick(below.from_m, below.to_m)) outside.push_back(below);
    piece.from_m[axis] = std::max(piece.from_m[axis], from_m[axis]);
    auto beyond = piece;
    beyond.from_m[axis] = std::max(piece.from_m[axis], to_m[axis]);
    if (thick(beyond.from_m, beyond.to_m)) outside.push_back(beyond);
    piece.to_m[axis] = std::min(piece.to_m[axis], to_m[axis]);
  }
  return piece;
}

bool meet(const Region& piece, const sim::Vec3& from_m, const sim::Vec3& to_m) {
  sim::Vec3 low{}, high{};
  for (std::size_t axis = 0; axis < 3; ++axis) {
    low[axis] = std::max(piece.from_m[axis], from_m[axis]);
    high[axis] = std::min(piece.to_m[axis], to_m[axis]);
  }
  return thick(low, high);
}

/// Takes [from, to] out of `rest` and adds it to `found` as made by `box`.
void take(const sim::Vec3& from_m, const sim::Vec3& to_m, int box, std::vector<Region>& rest,
          std::vector<Region>& found) {
  std::vector<Region> left;
  for (const auto& piece : rest) {
    if (!meet(piece, from_m, to_m)) {
      left.push_back(piece);
      continue;
    }
    auto inside = cut(piece, from_m, to_m, left);
    inside.box = box;
    found.push_back(inside);
  }
  rest = std::move(left);
}

bool holds(const Box& box, const sim::Vec3& at_m) {
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (at_m[axis] < box.from_m[axis] || at_m[axis] > box.to_m[axis]) return false;
  }
  return true;
}

}  // namespace

std::vector<Region> regions_of(const Scene& scene, const sim::Vec3& from_m, const sim::Vec3& to_m) {
  std::vector<Region> found;
  std::vector<Region> rest;
  if (thick(from_m, to_m)) rest.push_back({from_m, to_m, Region::in_nothing});
  for (int i = static_cast<int>(scene.boxes.size()) - 1; i >= 0 && !rest.empty(); --i) {
    const auto& box = scene.boxes[static_cast<std::size_t>(i)];
    take(box.from_m, box.to_m, i, rest, found);
  }
  take({0.0, 0.0, 0.0}, {scene.wall.width_m, scene.wall.height_m, layers_m(scene.wall)}, Region::in_layers, rest,
       found);
  found.insert(found.end(), rest.begin(), rest.end());
  return found;
}

int made_of(const Scene& scene, const sim::Vec3& at_m) {
  for (int i = static_cast<int>(scene.boxes.size()) - 1; i >= 0; --i) {
    if (holds(scene.boxes[static_cast<std::size_t>(i)], at_m)) return i;
  }
  return at_m[2] <= layers_m(scene.wall) ? Region::in_layers : Region::in_nothing;
}

std::string stuff_at(const Scene& scene, const sim::Vec3& at_m) {
  const int box = made_of(scene, at_m);
  if (box >= 0) {
    const auto& painted = scene.boxes[static_cast<std::size_t>(box)];
    return painted.surroundings.empty() ? painted.material : painted.surroundings;
  }
  if (box == Region::in_nothing) return {};
  double behind_m = 0.0;
  for (const auto& layer : scene.wall.layers) {
    behind_m += layer.thickness_m;
    if (at_m[2] > behind_m && &layer != &scene.wall.layers.back()) continue;
    if (!layer.studs) return layer.material;
    for (const auto& stud : studs_m(*layer.studs, scene.wall.width_m)) {
      if (at_m[0] >= stud.from_m && at_m[0] <= stud.to_m) return layer.studs->material;
    }
    return layer.material;
  }
  return {};
}

std::vector<double> boundaries_m(const Scene& scene, sim::Axis axis) {
  const auto along = static_cast<std::size_t>(axis);
  const double end_m = wall_size_m(scene.wall)[along];
  std::vector<double> planes{0.0, end_m};
  const auto add = [&](double plane_m) {
    if (plane_m > 0.0 && plane_m < end_m) planes.push_back(plane_m);
  };
  double behind_m = 0.0;
  for (const auto& layer : scene.wall.layers) {
    behind_m += layer.thickness_m;
    if (axis == sim::Axis::z) add(behind_m);
    if (axis != sim::Axis::x || !layer.studs) continue;
    for (const auto& stud : studs_m(*layer.studs, scene.wall.width_m)) {
      add(stud.from_m);
      add(stud.to_m);
    }
  }
  for (const auto& box : scene.boxes) {
    add(box.from_m[along]);
    add(box.to_m[along]);
  }
  return planes;
}

std::vector<sim::Interval> studs_m(const Studs& studs, double width_m) {
  std::vector<sim::Interval> found;
  const double from_n = std::max(0.0, std::ceil((-studs.width_m - studs.first_m) / studs.spacing_m));
  for (double n = from_n;; n += 1.0) {
    const double from_m = studs.first_m + n * studs.spacing_m;
    if (from_m >= width_m) return found;
    const sim::Interval stud{std::max(from_m, 0.0), std::min(from_m + studs.width_m, width_m)};
    if (stud.to_m > stud.from_m) found.push_back(stud);
  }
}

}  // namespace warmbay::scenes
