// The default of `flat` follows from what lies around a leg, so that a cable fits the gap it was laid in.

#include "scenes/paint/cable_fit.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "scenes/data/data_reader.hpp"
#include "scenes/paint/regions.hpp"
#include "sim/limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double same_place_m = sim::limits::plane_merge_m;

/// Where what the wall is made of really changes along the line through a point, its two ends included, rising.
std::vector<double> changes_m(const Scene& scene, sim::Vec3 at_m, sim::Axis axis) {
  const auto along = static_cast<std::size_t>(axis);
  auto planes = boundaries_m(scene, axis);
  std::sort(planes.begin(), planes.end());
  const auto same = [](double a, double b) { return b - a <= same_place_m; };
  planes.erase(std::unique(planes.begin(), planes.end(), same), planes.end());
  std::vector<double> changes{planes.front()};
  std::string before;
  for (std::size_t i = 0; i + 1 < planes.size(); ++i) {
    at_m[along] = 0.5 * (planes[i] + planes[i + 1]);
    auto stuff = stuff_at(scene, at_m);
    if (i > 0 && stuff != before) changes.push_back(planes[i]);
    before = std::move(stuff);
  }
  changes.push_back(planes.back());
  return changes;
}

sim::CableType cable_type_of(const Scene& scene, const DataFiles& data, const std::string& name) {
  const auto* sourced = find_cable_type(scene, data, name);
  assert(sourced);
  sim::CableType type;
  type.name = sourced->name;
  type.loaded = sourced->loaded;
  type.conductor_m2 = sourced->conductor_m2;
  type.earth_m2 = sourced->earth_m2;
  type.resistance_20_ohm_m = resistance_20_ohm_m(*sourced);
  type.core_m = sourced->core_m;
  type.width_m = sourced->width_m;
  type.thickness_m = sourced->thickness_m;
  type.insulation = material_of(scene, data, sourced->insulation);
  type.sheath = material_of(scene, data, sourced->sheath);
  type.rated_k = sourced->rated_k;
  return type;
}

}  // namespace

std::optional<sim::Axis> leg_axis(const sim::Vec3& from_m, const sim::Vec3& to_m) {
  std::optional<sim::Axis> found;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (std::abs(to_m[axis] - from_m[axis]) <= same_place_m) continue;
    if (found) return std::nullopt;
    found = static_cast<sim::Axis>(axis);
  }
  return found;
}

double free_space_m(const Scene& scene, const sim::Vec3& at_m, sim::Axis axis) {
  const double here_m = at_m[static_cast<std::size_t>(axis)];
  double below_m = -INFINITY, beyond_m = INFINITY;
  for (const double change : changes_m(scene, at_m, axis)) {
    if (change <= here_m + same_place_m) below_m = std::max(below_m, change);
    if (change >= here_m - same_place_m) beyond_m = std::min(beyond_m, change);
  }
  return beyond_m - below_m;
}

sim::Axis default_flat(const Scene& scene, const sim::Vec3& from_m, const sim::Vec3& to_m) {
  const auto along = leg_axis(from_m, to_m);
  const auto preferred = along == sim::Axis::z ? sim::Axis::y : sim::Axis::z;
  const auto other = along == sim::Axis::x ? sim::Axis::y : sim::Axis::x;
  sim::Vec3 middle_m{};
  for (std::size_t axis = 0; axis < 3; ++axis) middle_m[axis] = 0.5 * (from_m[axis] + to_m[axis]);
  const double preferred_m = free_space_m(scene, middle_m, preferred);
  return free_space_m(scene, middle_m, other) < preferred_m - same_place_m ? other : preferred;
}

sim::Cable fit_cable(const Scene& scene, const DataFiles& data, const CableRun& run) {
  sim::Cable cable{run.name, cable_type_of(scene, data, run.type), run.route_m, {}};
  for (std::size_t leg = 0; leg + 1 < run.route_m.size(); ++leg) {
    const auto& from_m = run.route_m[leg];
    const auto& to_m = run.route_m[leg + 1];
    const bool given = run.flat && run.flat != leg_axis(from_m, to_m);
    cable.flat.push_back(given ? *run.flat : default_flat(scene, from_m, to_m));
  }
  cable.squeeze = run.squeeze;
  cable.squeeze_at_m = run.squeeze_at_m.value_or(0.5 * sim::route_length_m(cable));
  return cable;
}

}  // namespace warmbay::scenes
