// Cables and thermocouples: do they fit the wall and each other?

#include <fmt/format.h>
#include <algorithm>
#include <set>

#include "scenes/file/scene_checks.hpp"
#include "scenes/paint/cable_fit.hpp"
#include "scenes/paint/regions.hpp"
#include "sim/limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double slack_m = sim::limits::plane_merge_m;

/// The sheath of one leg of a cable of the scene.
struct Leg {
  std::size_t cable;
  std::size_t leg;
  sim::LegBox box;
};

bool has_type(const Scene& scene, const DataFiles& data, const SceneMarks& marks, const CableRun& run) {
  const auto* type = find_cable_type(scene, data, run.type);
  if (!type || !find_material(scene, data, type->insulation) || !find_material(scene, data, type->sheath)) return false;
  const auto& faulty = marks.faulty_types;
  return std::find(faulty.begin(), faulty.end(), type->name) == faulty.end();
}

/// Every leg along one axis, and none straight back over the one before.
bool check_route(const CableRun& run, const CableMark& mark, Faults& faults) {
  bool good = true;
  for (std::size_t i = 0; i + 1 < run.route_m.size(); ++i) {
    const auto axis = leg_axis(run.route_m[i], run.route_m[i + 1]);
    if (!axis) {
      faults.add(mark.corners[i + 1], fmt::format("leg {} of {} does not run along one axis, expected a corner that "
                                                  "differs from the one before in x, y or z only",
                                                  i + 1, mark.label));
      good = false;
      continue;
    }
    if (i == 0 || leg_axis(run.route_m[i - 1], run.route_m[i]) != axis) continue;
    const auto along = static_cast<std::size_t>(*axis);
    const double before_m = run.route_m[i][along] - run.route_m[i - 1][along];
    if (before_m * (run.route_m[i + 1][along] - run.route_m[i][along]) > 0.0) continue;
    faults.add(mark.corners[i + 1], fmt::format("leg {} of {} runs back over leg {}", i + 1, mark.label, i));
    good = false;
  }
  return good;
}

void check_inside(const Scene& scene, const Leg& leg, const CableMark& mark, Faults& faults) {
  const auto size_m = wall_size_m(scene.wall);
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const double from_m = leg.box.from_m[axis], to_m = leg.box.to_m[axis];
    if (from_m >= -slack_m && to_m <= size_m[axis] + slack_m) continue;
    faults.add(mark.corners[leg.leg + 1],
               fmt::format("{} leaves the wall: the sheath of leg {} reaches from {} = {:g} to {:g} mm, expected "
                           "within 0 to {:g}",
                           mark.label, leg.leg + 1, "xyz"[axis], 1e3 * from_m, 1e3 * to_m, 1e3 * size_m[axis]));
    return;
  }
  for (const auto& region : regions_of(scene, leg.box.from_m, leg.box.to_m)) {
    if (region.box < 0) continue;
    const auto& box = scene.boxes[static_cast<std::size_t>(region.box)];
    if (box.surroundings.empty()) continue;
    faults.add(mark.corners[leg.leg + 1],
               fmt::format("{} leaves the wall: leg {} runs through a box of the surroundings '{}'", mark.label,
                           leg.leg + 1, box.surroundings));
    return;
  }
}

bool overlap(const sim::LegBox& a, const sim::LegBox& b) {
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (std::min(a.to_m[axis], b.to_m[axis]) - std::max(a.from_m[axis], b.from_m[axis]) <= slack_m) return false;
  }
  return true;
}

/// One fault for each pair of cables, and one for a cable that meets itself.
void check_overlaps(const std::vector<Leg>& legs, const SceneMarks& marks, Faults& faults) {
  std::set<std::pair<std::size_t, std::size_t>> told;
  for (std::size_t late = 0; late < legs.size(); ++late) {
    for (std::size_t early = 0; early < late; ++early) {
      const auto& a = legs[early];
      const auto& b = legs[late];
      const bool neighbours = a.cable == b.cable && a.leg + 1 == b.leg;
      if (neighbours || !overlap(a.box, b.box) || !told.insert({a.cable, b.cable}).second) continue;
      const auto& mark = marks.cables[b.cable];
      faults.add(mark.corners[b.leg + 1],
                 a.cable == b.cable
                     ? fmt::format("{} overlaps itself: leg {} meets leg {}", mark.label, b.leg + 1, a.leg + 1)
                     : fmt::format("{} overlaps {}: its leg {} meets leg {}, expected sheaths that at most touch",
                                   mark.label, marks.cables[a.cable].label, b.leg + 1, a.leg + 1));
    }
  }
}

double length_m(const CableRun& run) {
  sim::Cable cable;
  cable.route_m = run.route_m;
  return sim::route_length_m(cable);
}

/// A point strictly inside air that cuts the wall away reads nothing of the wall. On the boundary it reads the surface.
bool in_surroundings(const Scene& scene, const sim::Vec3& at_m) {
  const auto size_m = wall_size_m(scene.wall);
  for (auto box = scene.boxes.rbegin(); box != scene.boxes.rend(); ++box) {
    bool within = true, on_boundary = false;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      within = within && at_m[axis] >= box->from_m[axis] - slack_m && at_m[axis] <= box->to_m[axis] + slack_m;
      const bool at_from = at_m[axis] <= box->from_m[axis] + slack_m && box->from_m[axis] > slack_m;
      const bool at_to = at_m[axis] >= box->to_m[axis] - slack_m && box->to_m[axis] < size_m[axis] - slack_m;
      on_boundary = on_boundary || at_from || at_to;
    }
    if (within) return !on_boundary && !box->surroundings.empty();
  }
  return false;
}

void check_point(const Scene& scene, const ThermocoupleSpot& spot, const SpotMark& mark, Faults& faults) {
  const auto size_m = wall_size_m(scene.wall);
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (spot.at_m[axis] >= -slack_m && spot.at_m[axis] <= size_m[axis] + slack_m) continue;
    faults.add(mark.place, fmt::format("{} sits outside the wall: {} is {:g} mm, expected 0 to {:g}", mark.label,
                                       "xyz"[axis], 1e3 * spot.at_m[axis], 1e3 * size_m[axis]));
    return;
  }
  if (in_surroundings(scene, spot.at_m)) {
    faults.add(mark.place,
               fmt::format("{} sits in a box of surroundings, expected a point in or on the wall", mark.label));
  }
}

void check_thermocouples(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  for (std::size_t i = 0; i < scene.thermocouples.size(); ++i) {
    const auto& spot = scene.thermocouples[i];
    const auto& mark = marks.thermocouples[i];
    if (!mark.fine) continue;
    if (spot.on.empty()) {
      if (marks.wall_fine) check_point(scene, spot, mark, faults);
      continue;
    }
    for (std::size_t c = 0; c < scene.cables.size(); ++c) {
      if (scene.cables[c].name != spot.on || !marks.cables[c].fine) continue;
      if (spot.along_m <= length_m(scene.cables[c]) + slack_m) break;
      faults.add(mark.place, fmt::format("{} sits {:g} mm along '{}', expected at most its length, {:g} mm", mark.label,
                                         1e3 * spot.along_m, spot.on, 1e3 * length_m(scene.cables[c])));
      break;
    }
  }
}

}  // namespace

void check_cables(const Scene& scene, const DataFiles& data, const SceneMarks& marks, Faults& faults) {
  std::vector<Leg> legs;
  for (std::size_t c = 0; c < scene.cables.size(); ++c) {
    const auto& run = scene.cables[c];
    const auto& mark = marks.cables[c];
    if (!mark.fine || !check_route(run, mark, faults)) continue;
    if (run.squeeze_at_m && *run.squeeze_at_m > length_m(run) + slack_m) {
      faults.add(mark.squeeze_at, fmt::format("'squeeze_at_mm' is {:g}, expected at most the route's length, {:g}",
                                              1e3 * *run.squeeze_at_m, 1e3 * length_m(run)));
    }
    if (!marks.wall_fine || !has_type(scene, data, marks, run)) continue;
    const auto cable = fit_cable(scene, data, run);
    for (std::size_t leg = 0; leg < cable.flat.size(); ++leg) {
      legs.push_back({c, leg, sim::leg_box(cable, static_cast<int>(leg))});
      check_inside(scene, legs.back(), mark, faults);
    }
  }
  check_overlaps(legs, marks, faults);
  check_thermocouples(scene, marks, faults);
}

}  // namespace warmbay::scenes
