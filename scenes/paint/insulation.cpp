// Every change starts from the scene as it was opened, so that any order of changes gives the same wall and going back
// gives the opened one exactly.

#include "scenes/paint/insulation.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

#include "scenes/paint/cable_fit.hpp"
#include "scenes/paint/regions.hpp"
#include "scenes/read/fault.hpp"
#include "scenes/read/file_units.hpp"
#include "sim/limits.hpp"

namespace warmbay::scenes {

namespace {

constexpr double slack_m = sim::limits::plane_merge_m;
constexpr double margin_m = 0.001;          // what stays of a fill before and behind what lies in it
constexpr double thinnest_m = 0.010;        // of a layer or a box of fill
constexpr double thickest_layer_m = 0.400;  // deeper than any framed wall
constexpr double channel_gap_m = 0.020;     // a box further from its cable than this is a void, not a channel

/// [from, to] along z.
struct Reach {
  double from_m;
  double to_m;
};

/// To a tenth of a micrometre, by way of millimetres: a number that a file holds exactly.
double rounded(double metres) {
  return millimetre.to_si(std::round(millimetre.from_si(metres) * 1e4) / 1e4);
}

bool fills_bays(const Scene& scene, const DataFiles& data, const std::string& material) {
  const auto* found = find_material(scene, data, material);
  return found && found->fills_bays;
}

std::vector<sim::LegBox> sheaths(const Scene& scene, const DataFiles& data) {
  std::vector<sim::LegBox> boxes;
  for (const auto& run : scene.cables) {
    const auto cable = fit_cable(scene, data, run);
    for (int leg = 0; leg < static_cast<int>(cable.flat.size()); ++leg) boxes.push_back(sim::leg_box(cable, leg));
  }
  return boxes;
}

bool meet(const Box& box, const sim::Vec3& from_m, const sim::Vec3& to_m) {
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (box.to_m[axis] <= from_m[axis] + slack_m || box.from_m[axis] >= to_m[axis] - slack_m) return false;
  }
  return true;
}

/// The box holds the sheath's cross-section with at most channel_gap_m to spare on each side.
bool fits_closely(const Box& box, const sim::LegBox& sheath) {
  if (!box.surroundings.empty() || !meet(box, sheath.from_m, sheath.to_m)) return false;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    if (static_cast<sim::Axis>(axis) == sheath.along) continue;
    const double before_m = sheath.from_m[axis] - box.from_m[axis];
    const double behind_m = box.to_m[axis] - sheath.to_m[axis];
    if (std::min(before_m, behind_m) < -slack_m || std::max(before_m, behind_m) > channel_gap_m) return false;
  }
  return true;
}

/// Something is painted everywhere under a box, so that the box may go.
bool covers_something(Scene scene, std::size_t index) {
  const auto box = scene.boxes[index];
  scene.boxes.erase(scene.boxes.begin() + static_cast<std::ptrdiff_t>(index));
  const auto under = regions_of(scene, box.from_m, box.to_m);
  return std::none_of(under.begin(), under.end(), [](const Region& one) { return one.box == Region::in_nothing; });
}

bool is_channel(const Scene& scene, std::size_t index, const std::vector<sim::LegBox>& cables) {
  const auto& box = scene.boxes[index];
  const auto close = [&](const sim::LegBox& sheath) { return fits_closely(box, sheath); };
  return std::any_of(cables.begin(), cables.end(), close);
}

Reach layer_reach(const WallSection& wall, std::size_t index) {
  Reach reach{0.0, 0.0};
  for (std::size_t i = 0; i <= index; ++i) {
    reach.from_m = reach.to_m;
    reach.to_m += wall.layers[i].thickness_m;
  }
  return reach;
}

/// The layer that a box lies in; nothing when it reaches through several.
std::optional<Reach> layer_of(const WallSection& wall, const Box& box) {
  for (std::size_t i = 0; i < wall.layers.size(); ++i) {
    const auto reach = layer_reach(wall, i);
    if (box.from_m[2] >= reach.from_m - slack_m && box.to_m[2] <= reach.to_m + slack_m) return reach;
  }
  return std::nullopt;
}

/// The z about which a box grows: of the first cable that runs through it, else of its middle.
double centre_of(const Box& box, const std::vector<sim::LegBox>& cables) {
  for (const auto& sheath : cables) {
    const double middle_m = 0.5 * (sheath.from_m[2] + sheath.to_m[2]);
    const bool inside = middle_m > box.from_m[2] && middle_m < box.to_m[2];
    if (inside && meet(box, sheath.from_m, sheath.to_m)) return middle_m;
  }
  return 0.5 * (box.from_m[2] + box.to_m[2]);
}

/// The box along z when it is thickness_m thick: about centre_m in the same shares as now, and within its layer.
Reach resized(const Box& box, double centre_m, double thickness_m, const Reach& within) {
  const double ratio = thickness_m / (box.to_m[2] - box.from_m[2]);
  Reach reach{centre_m - ratio * (centre_m - box.from_m[2]), centre_m + ratio * (box.to_m[2] - centre_m)};
  const double push_m = std::max(0.0, within.from_m - reach.from_m) - std::max(0.0, reach.to_m - within.to_m);
  return {std::max(within.from_m, reach.from_m + push_m), std::min(within.to_m, reach.to_m + push_m)};
}

/// The thinnest a box may be: it keeps what lies in it, boxes painted later and cables.
double least_box_m(const Scene& scene, std::size_t index, const std::vector<sim::LegBox>& cables) {
  const auto& box = scene.boxes[index];
  const double centre_m = centre_of(box, cables);
  const double before_m = centre_m - box.from_m[2], behind_m = box.to_m[2] - centre_m;
  double ratio = thinnest_m / (before_m + behind_m);
  const auto keep = [&](double from_m, double to_m) {
    if (from_m < box.from_m[2] + slack_m || to_m > box.to_m[2] - slack_m) return;  // reaches out of it anyway
    ratio = std::max({ratio, (centre_m - from_m + margin_m) / before_m, (to_m + margin_m - centre_m) / behind_m});
  };
  for (std::size_t later = index + 1; later < scene.boxes.size(); ++later) {
    const auto& other = scene.boxes[later];
    if (meet(box, other.from_m, other.to_m)) keep(other.from_m[2], other.to_m[2]);
  }
  for (const auto& sheath : cables) {
    if (meet(box, sheath.from_m, sheath.to_m)) keep(sheath.from_m[2], sheath.to_m[2]);
  }
  return std::min(ratio, 1.0) * (before_m + behind_m);
}

/// The thinnest a layer may be: cables, boxes that are no fill and instruments inside it stay inside.
double least_layer_m(const Scene& scene, const DataFiles& data, std::size_t index,
                     const std::vector<sim::LegBox>& cables) {
  const auto reach = layer_reach(scene.wall, index);
  double deepest_m = reach.from_m;
  const auto keep = [&](double z_m) {
    if (z_m > reach.from_m + slack_m && z_m < reach.to_m - slack_m) deepest_m = std::max(deepest_m, z_m);
  };
  for (const auto& sheath : cables) {
    keep(sheath.from_m[2]);
    keep(sheath.to_m[2]);
  }
  for (const auto& box : scene.boxes) {
    keep(box.from_m[2]);
    if (!fills_bays(scene, data, box.material)) keep(box.to_m[2]);
  }
  for (const auto& spot : scene.thermocouples) {
    if (spot.on.empty()) keep(spot.at_m[2]);
  }
  const double thickness_m = reach.to_m - reach.from_m;
  return std::min(thickness_m, std::max(thinnest_m, deepest_m - reach.from_m + margin_m));
}

void set_box_thickness(Scene& scene, std::size_t index, double thickness_m, const std::vector<sim::LegBox>& cables) {
  auto& box = scene.boxes[index];
  const auto within = layer_of(scene.wall, box);
  assert(within);
  const auto reach = resized(box, centre_of(box, cables), thickness_m, *within);
  box.from_m[2] = rounded(reach.from_m);
  box.to_m[2] = rounded(reach.to_m);
}

/// A layer changes its thickness; what lies behind it moves along, what lies in it stays.
void set_layer_thickness(Scene& scene, std::size_t index, double thickness_m) {
  const auto reach = layer_reach(scene.wall, index);
  const double new_end_m = rounded(reach.from_m + thickness_m);
  const double moved_m = new_end_m - reach.to_m;
  const auto move = [&](double& z_m) {
    if (z_m >= reach.to_m - slack_m) {
      z_m = rounded(z_m + moved_m);
    } else if (z_m > new_end_m) {
      z_m = new_end_m;  // a box of fill that the thinner layer cuts off
    }
  };
  for (auto& box : scene.boxes) {
    move(box.from_m[2]);
    move(box.to_m[2]);
  }
  for (auto& run : scene.cables) {
    for (auto& corner : run.route_m) move(corner[2]);
  }
  for (auto& spot : scene.thermocouples) move(spot.at_m[2]);
  scene.wall.layers[index].thickness_m = rounded(new_end_m - reach.from_m);
  if (scene.wall.depth_m) scene.wall.depth_m = rounded(*scene.wall.depth_m + moved_m);
}

/// Names of all that may fill a bay, the present one first.
std::vector<std::string> fill_names(const DataFiles& data, const std::string& present) {
  std::vector<std::string> names{present};
  for (const auto& one : data.materials) {
    if (one.fills_bays && one.material.name != present) names.push_back(one.material.name);
  }
  return names;
}

/// Cables keep the way they lie, even where that was the default and followed from what lay around them.
void pin_flat(Scene& scene, const DataFiles& data) {
  for (auto& run : scene.cables) {
    const auto flat = fit_cable(scene, data, run).flat;
    const bool alike = std::all_of(flat.begin(), flat.end(), [&](sim::Axis axis) { return axis == flat.front(); });
    if (!run.flat && alike) run.flat = flat.front();
  }
}

bool offers(const InsulationChoices::Fill& fill, const std::string& material) {
  return std::find(fill.materials.begin(), fill.materials.end(), material) != fill.materials.end();
}

}  // namespace

Insulation insulation_of(const Scene& scene) {
  Insulation insulation;
  for (const auto& layer : scene.wall.layers) {
    insulation.layer_material.push_back(layer.material);
    insulation.layer_thickness_m.push_back(layer.thickness_m);
  }
  for (const auto& box : scene.boxes) {
    insulation.box_material.push_back(box.material);
    insulation.box_thickness_m.push_back(box.to_m[2] - box.from_m[2]);
    insulation.box_there.push_back(true);
  }
  return insulation;
}

InsulationChoices insulation_choices(const Scene& scene, const DataFiles& data) {
  InsulationChoices choices;
  const auto cables = sheaths(scene, data);
  for (std::size_t i = 0; i < scene.wall.layers.size(); ++i) {
    const auto& layer = scene.wall.layers[i];
    if (!fills_bays(scene, data, layer.material)) continue;
    const InsulationPart part{InsulationPart::Kind::layer, i, label_of("layer", layer.name, i)};
    choices.fills.push_back({part, fill_names(data, layer.material)});
    choices.thicknesses.push_back(
        {part, least_layer_m(scene, data, i, cables), std::max(layer.thickness_m, thickest_layer_m)});
  }
  for (std::size_t i = 0; i < scene.boxes.size(); ++i) {
    const auto& box = scene.boxes[i];
    const InsulationPart part{InsulationPart::Kind::box, i, label_of("box", box.name, i)};
    if (is_channel(scene, i, cables)) {
      if (covers_something(scene, i)) choices.channels.push_back({part});
      continue;
    }
    if (!fills_bays(scene, data, box.material)) continue;
    choices.fills.push_back({part, fill_names(data, box.material)});
    if (const auto within = layer_of(scene.wall, box)) {
      choices.thicknesses.push_back({part, least_box_m(scene, i, cables), within->to_m - within->from_m});
    }
  }
  return choices;
}

Scene with_insulation(const Scene& scene, const Insulation& insulation, const DataFiles& data) {
  assert(insulation.layer_material.size() == scene.wall.layers.size() &&
         insulation.box_there.size() == scene.boxes.size());
  const auto opened = insulation_of(scene);
  if (insulation == opened) return scene;
  const auto choices = insulation_choices(scene, data);
  const auto cables = sheaths(scene, data);
  Scene changed = scene;
  pin_flat(changed, data);
  for (const auto& fill : choices.fills) {
    const bool is_layer = fill.part.kind == InsulationPart::Kind::layer;
    const auto& wanted = (is_layer ? insulation.layer_material : insulation.box_material)[fill.part.index];
    auto& material = is_layer ? changed.wall.layers[fill.part.index].material : changed.boxes[fill.part.index].material;
    if (offers(fill, wanted)) material = wanted;
  }
  // Boxes before layers: their room is that of the layers as opened; and layers from the back, each moving the rest.
  for (auto kind : {InsulationPart::Kind::box, InsulationPart::Kind::layer}) {
    for (auto choice = choices.thicknesses.rbegin(); choice != choices.thicknesses.rend(); ++choice) {
      if (choice->part.kind != kind) continue;
      const auto i = choice->part.index;
      const bool is_layer = kind == InsulationPart::Kind::layer;
      const double wanted_m = (is_layer ? insulation.layer_thickness_m : insulation.box_thickness_m)[i];
      if (wanted_m == (is_layer ? opened.layer_thickness_m : opened.box_thickness_m)[i]) continue;
      const double thickness_m = std::clamp(wanted_m, choice->least_m, choice->most_m);
      is_layer ? set_layer_thickness(changed, i, thickness_m) : set_box_thickness(changed, i, thickness_m, cables);
    }
  }
  for (auto channel = choices.channels.rbegin(); channel != choices.channels.rend(); ++channel) {
    const auto i = channel->part.index;
    if (!insulation.box_there[i]) changed.boxes.erase(changed.boxes.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return changed;
}

}  // namespace warmbay::scenes
