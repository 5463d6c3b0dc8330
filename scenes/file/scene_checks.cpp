// Names and the wall. Each fault is reported where the offending value stands in the file.

#include "scenes/file/scene_checks.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

#include "scenes/paint/grid_lines.hpp"
#include "scenes/paint/regions.hpp"
#include "sim/limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double slack_m = sim::limits::plane_merge_m;

std::string_view word_of(Named kind) {
  switch (kind) {
    case Named::material:
      return "material";
    case Named::surroundings:
      return "surroundings";
    case Named::cable_type:
      return "cable type";
    case Named::cable:
      return "cable";
    case Named::thermocouple:
      return "thermocouple";
    case Named::device:
      return "protective device";
  }
  return "";
}

/// All names of a kind that a scene may use.
std::vector<std::string> names_of(Named kind, const DataFiles& data, const SceneMarks& marks) {
  std::vector<std::string> names;
  for (const auto& given : marks.given) {
    if (given.kind == kind && !given.name.empty()) names.push_back(given.name);
  }
  if (kind == Named::material) {
    for (const auto& one : data.materials) names.push_back(one.material.name);
  }
  if (kind == Named::cable_type) {
    for (const auto& one : data.cable_types) names.push_back(one.name);
  }
  if (kind == Named::device) {
    for (const auto& one : data.devices) names.push_back(one.name);
  }
  return names;
}

std::string box_words(const sim::Vec3& from_m, const sim::Vec3& to_m) {
  return fmt::format("x {:g} to {:g}, y {:g} to {:g}, z {:g} to {:g} mm", 1e3 * from_m[0], 1e3 * to_m[0],
                     1e3 * from_m[1], 1e3 * to_m[1], 1e3 * from_m[2], 1e3 * to_m[2]);
}

void check_depth(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  if (scene.wall.depth_m && layers_m(scene.wall) > *scene.wall.depth_m + slack_m) {
    faults.add(marks.depth, fmt::format("the layers are {:g} mm thick together, expected at most 'depth_mm', {:g}",
                                        1e3 * layers_m(scene.wall), 1e3 * *scene.wall.depth_m));
  }
}

void check_boxes_inside(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  const auto size_m = wall_size_m(scene.wall);
  for (std::size_t i = 0; i < scene.boxes.size(); ++i) {
    if (!marks.boxes[i].fine) continue;
    const auto& box = scene.boxes[i];
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (box.from_m[axis] >= -slack_m && box.to_m[axis] <= size_m[axis] + slack_m) continue;
      faults.add(marks.boxes[i].range[axis],
                 fmt::format("{} leaves the wall: {} runs from {:g} to {:g} mm, expected within 0 to {:g}",
                             marks.boxes[i].label, "xyz"[axis], 1e3 * box.from_m[axis], 1e3 * box.to_m[axis],
                             1e3 * size_m[axis]));
    }
  }
}

/// Something fills every part of the wall, and not all of it is air of surroundings.
void check_filled(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  const bool boxes_fine = std::all_of(marks.boxes.begin(), marks.boxes.end(), [](const auto& box) { return box.fine; });
  if (!boxes_fine) return;
  const auto size_m = wall_size_m(scene.wall);
  for (const auto& region : regions_of(scene, {0.0, 0.0, layers_m(scene.wall)}, size_m)) {
    if (region.box != Region::in_nothing) continue;
    faults.add(marks.depth, fmt::format("nothing fills the wall at {}, expected a layer or a box there",
                                        box_words(region.from_m, region.to_m)));
    return;
  }
  const auto whole = regions_of(scene, {0.0, 0.0, 0.0}, size_m);
  const bool solid = std::any_of(whole.begin(), whole.end(), [&](const Region& region) {
    return region.box < 0 || scene.boxes[static_cast<std::size_t>(region.box)].surroundings.empty();
  });
  if (!solid) faults.add(marks.wall, "boxes of surroundings cut the whole wall away, expected some of it to be left");
}

void check_start(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  const auto named = [](const std::string& name) { return !name.empty(); };
  const bool faces = std::any_of(scene.faces.begin(), scene.faces.end(), named);
  const auto of_surroundings = [](const Box& box) { return !box.surroundings.empty(); };
  const bool boxes = std::any_of(scene.boxes.begin(), scene.boxes.end(), of_surroundings);
  if (!faces && !boxes && !scene.wall.start_k) {
    faults.add(marks.wall,
               "no face has surroundings, so there is no settled start: expected 'start_c' or surroundings "
               "in [faces]");
  }
}

}  // namespace

void check_names(const DataFiles& data, const SceneMarks& marks, Faults& faults) {
  for (const auto& reference : marks.references) {
    const auto names = names_of(reference.kind, data, marks);
    if (std::find(names.begin(), names.end(), reference.name) != names.end()) continue;
    faults.add(reference.mark,
               fmt::format("{} names the {} '{}', which there is not{}", reference.whose, word_of(reference.kind),
                           reference.name, did_you_mean(reference.name, names)));
  }
  std::map<std::pair<Named, std::string>, Mark> first;
  for (const auto& given : marks.given) {
    if (given.name.empty()) continue;
    const auto [found, fresh] = first.try_emplace({given.kind, given.name}, given.mark);
    if (fresh) continue;
    faults.add(given.mark, fmt::format("the {} '{}' is there already at line {}, expected names that differ",
                                       word_of(given.kind), given.name, found->second.line));
  }
}

void check_supply(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  const auto branch = [](const Step& step) { return step.kind == SupplyKind::branch; };
  const bool some =
      scene.supply.kind == SupplyKind::branch || std::any_of(scene.steps.begin(), scene.steps.end(), branch);
  if (some || !marks.supply_kinds_fine) return;
  for (const auto& one : marks.branch_keys) {
    faults.add(one.mark, fmt::format("{} has '{}', expected that only where [supply] or a step has kind = \"branch\"",
                                     one.whose, one.key));
  }
}

void check_wall(const Scene& scene, const SceneMarks& marks, Faults& faults) {
  check_start(scene, marks, faults);
  if (!marks.wall_fine) return;
  check_depth(scene, marks, faults);
  check_boxes_inside(scene, marks, faults);
  check_filled(scene, marks, faults);
}

void check_grid(const Scene& scene, const DataFiles& data, const SceneMarks& marks, Faults& faults) {
  constexpr std::size_t most_planes = 500;  // along one axis
  constexpr double most_edges = 20000.0;    // along one axis, before they are laid
  constexpr double most_voxels = 20.0e6;    // about 2 GB while it runs
  const auto lines = grid_lines(scene, data);
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (lines[axis].planes_m.size() > most_planes) {
      faults.add(marks.grid, fmt::format("{} boundaries lie along {}, expected at most {}", lines[axis].planes_m.size(),
                                         "xyz"[axis], most_planes));
    } else if (expected_edges(lines[axis], scene.grid) > most_edges) {
      faults.add(marks.grid, fmt::format("the grid is far too fine along {}, expected a larger fine_mm, coarse_mm or "
                                         "growth",
                                         "xyz"[axis]));
    } else {
      continue;
    }
    return;
  }
  const auto voxels = static_cast<double>(lay_grid(lines, scene.grid).count());
  if (voxels > most_voxels) {
    faults.add(marks.grid, fmt::format("the grid has {:.0f} million voxels, expected at most {:.0f}: a larger fine_mm, "
                                       "coarse_mm or growth, or fewer fine boxes",
                                       voxels / 1e6, most_voxels / 1e6));
  }
}

}  // namespace warmbay::scenes
