// Questions about the view that need no OpenGL: how it opens, where a point is on the screen, what lies under the
// pointer, where an isotherm's temperature is written.

#include <algorithm>
#include <cmath>

#include "render/passes/field_sample.hpp"
#include "render/passes/infrared_face.hpp"
#include "render/passes/wall_shape.hpp"
#include "render/scene_view.hpp"

namespace warmbay::render {

namespace {

sim::Vec3 size_of(const sim::Wall& wall) {
  return {wall.grid.x_m.back(), wall.grid.y_m.back(), wall.grid.z_m.back()};
}

/// From the room down to the cable's middle, and from a little under its lowest part to the top: below stays the
/// room-side face, so that a wall is seen and not a section; above lies the field around the cable.
std::optional<CutBox> first_opening(const sim::Wall& wall, const sim::Vec3& size_m) {
  if (wall.cables.empty()) return std::nullopt;
  const auto& route = wall.cables.front().route_m;
  double lowest_m = route.front()[1];
  double depth_m = route.front()[2];
  for (const sim::Vec3& corner : route) {
    lowest_m = std::min(lowest_m, corner[1]);
    depth_m = std::max(depth_m, corner[2]);
  }
  const double step_m = lowest_m - 0.55 * std::min(lowest_m, size_m[1] - lowest_m);
  if (depth_m < 0.02 * size_m[2]) return std::nullopt;
  return CutBox{{0.0, step_m, 0.0}, {size_m[0], size_m[1], depth_m}};
}

}  // namespace

ViewState first_view(const sim::Wall& wall) {
  const sim::Vec3 size_m = size_of(wall);
  ViewState view;
  view.camera = Camera(size_m);
  view.kept = {{0.0, 0.0, 0.0}, size_m};
  view.opened = first_opening(wall, size_m);
  return view;
}

std::optional<ScreenPoint> SceneView::project(const sim::Wall& wall, const ViewState& view, const sim::Vec3& point_m,
                                              const ViewSize& size) {
  if (view.mode == ViewMode::cut_away) return view.camera.project(point_m, size);
  return face_place(wall, view.mode, point_m, size);
}

namespace {

std::optional<Picked> pick_on_face(const sim::Snapshot& snapshot, const ViewState& view, double x_px, double y_px,
                                   const ViewSize& size) {
  const sim::Wall& wall = *snapshot.wall;
  const auto at = face_point(wall, view.mode, x_px, y_px, size);
  if (!at) return std::nullopt;
  const auto surface_k = surface_temperatures(snapshot, view.mode);
  const sim::Grid& grid = wall.grid;
  const Between x = between_centres(grid.x_m, at->x);
  const Between y = between_centres(grid.y_m, at->y);
  double sum_k = 0.0;
  double weights = 0.0;
  for (const auto& [dx, dy] : {std::pair{0, 0}, {1, 0}, {0, 1}, {1, 1}}) {
    const double weight = (dx != 0 ? x.share : 1.0 - x.share) * (dy != 0 ? y.share : 1.0 - y.share);
    if (weight <= 0.0) continue;
    const auto k = surface_k[static_cast<std::size_t>(x.lower + dx + grid.nx() * (y.lower + dy))];
    if (k < 150.0F) continue;
    sum_k += weight * static_cast<double>(k);
    weights += weight;
  }
  if (weights < 0.5) return std::nullopt;
  return Picked{{at->x, at->y, view.mode == ViewMode::far_face ? grid.z_m.back() : 0.0}, sum_k / weights, {}};
}

}  // namespace

std::optional<Picked> SceneView::pick(const sim::Snapshot& snapshot, const ViewState& view, double x_px, double y_px,
                                      const ViewSize& size) {
  if (view.mode != ViewMode::cut_away) return pick_on_face(snapshot, view, x_px, y_px, size);
  const sim::Wall& wall = *snapshot.wall;
  const Ray ray = view.camera.ray(x_px, y_px, size);
  Face face;
  const auto distance_m = first_hit_m(shape_of(wall, view.kept, view.opened), ray, &face);
  if (!distance_m) return std::nullopt;
  Picked picked;
  sim::Vec3 inside_m{};
  for (int a = 0; a < 3; ++a) {
    const auto i = static_cast<std::size_t>(a);
    picked.point_m[i] = ray.from_m[a] + *distance_m * ray.direction[a];
    inside_m[i] = picked.point_m[i];
  }
  inside_m[static_cast<std::size_t>(sim::index_of(face.normal))] += face.positive ? -1e-6 : 1e-6;
  const auto temperature_k = temperature_at(snapshot, picked.point_m);
  const std::size_t at = index_at(wall, inside_m);
  const sim::Voxel& voxel = wall.voxels[at];
  if (!temperature_k || voxel.outside) return std::nullopt;
  if (!snapshot.states.empty()) picked.state = snapshot.states[at];
  picked.temperature_k = *temperature_k;
  picked.material = wall.materials[voxel.index].name;
  return picked;
}

std::vector<IsothermLabel> SceneView::isotherm_labels(const sim::Snapshot& snapshot, const ViewState& view) {
  std::vector<IsothermLabel> labels;
  if (!view.isotherms || !view.opened || view.isotherm_every_k <= 0.0 || view.mode != ViewMode::cut_away) return labels;
  // Along upright lines on the opened face, from the bottom up; one label per level and line, on the side where it
  // falls.
  const CutBox& open = *view.opened;
  const double tall_m = open.to_m[1] - open.from_m[1];
  const int samples = 160;
  const double apart_m = 0.045 * snapshot.wall->grid.y_m.back();
  for (const double share : {0.10, 0.43, 0.76}) {
    sim::Vec3 at{open.from_m[0] + share * (open.to_m[0] - open.from_m[0]), 0.0, open.to_m[2]};
    std::optional<double> before_k;
    double last_label_m = -1.0;
    for (int i = 1; i < samples; ++i) {
      at[1] = open.from_m[1] + tall_m * i / samples;
      const auto now_k = temperature_at(snapshot, at);
      if (before_k && now_k && *now_k < *before_k) {
        const double level = std::floor(sim::celsius_from_kelvin(*before_k) / view.isotherm_every_k);
        const double level_k = sim::kelvin_from_celsius(level * view.isotherm_every_k);
        if (*now_k < level_k && at[1] - last_label_m > apart_m) {
          const double back = (level_k - *now_k) / (*before_k - *now_k);
          labels.push_back({{at[0], at[1] - back * tall_m / samples, at[2]}, level_k});
          last_label_m = at[1];
        }
      }
      before_k = now_k;
    }
  }
  return labels;
}

TemperatureRange SceneView::face_extremes(const sim::Snapshot& snapshot, ViewMode face) {
  TemperatureRange range{1e9, 0.0};
  for (const float k : surface_temperatures(snapshot, face)) {
    if (k < 150.0F) continue;
    range.from_k = std::min(range.from_k, static_cast<double>(k));
    range.to_k = std::max(range.to_k, static_cast<double>(k));
  }
  return range.to_k > 0.0 ? range : TemperatureRange{};
}

}  // namespace warmbay::render
