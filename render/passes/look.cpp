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
  const FaceSurface surface = face_surface(snapshot, view.mode);
  const std::vector<float> shown_k = shown_temperatures(snapshot, view, surface);
  const sim::Grid& grid = wall.grid;
  const Between x = between_centres(grid.x_m, at->x);
  const Between y = between_centres(grid.y_m, at->y);
  double sum_shown_k = 0.0;
  double sum_true_k = 0.0;
  double weights = 0.0;
  for (const auto& [dx, dy] : {std::pair{0, 0}, {1, 0}, {0, 1}, {1, 1}}) {
    const double weight = (dx != 0 ? x.share : 1.0 - x.share) * (dy != 0 ? y.share : 1.0 - y.share);
    if (weight <= 0.0) continue;
    const auto column = static_cast<std::size_t>(x.lower + dx + grid.nx() * (y.lower + dy));
    if (surface.material[column] < 0) continue;
    sum_shown_k += weight * static_cast<double>(shown_k[column]);
    sum_true_k += weight * static_cast<double>(surface.surface_k[column]);
    weights += weight;
  }
  if (weights < 0.5) return std::nullopt;
  const auto column =
      static_cast<std::size_t>(grid.find(sim::Axis::x, at->x) + grid.nx() * grid.find(sim::Axis::y, at->y));
  Picked picked;
  picked.point_m = {at->x, at->y, view.mode == ViewMode::far_face ? grid.z_m.back() : 0.0};
  picked.temperature_k = sum_shown_k / weights;
  picked.true_k = sum_true_k / weights;
  if (surface.material[column] >= 0)
    picked.material = wall.materials[static_cast<std::size_t>(surface.material[column])].name;
  return picked;
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

TemperatureRange SceneView::face_extremes(const sim::Snapshot& snapshot, const ViewState& view) {
  TemperatureRange range{1e9, 0.0};
  for (const float k : shown_temperatures(snapshot, view, face_surface(snapshot, view.mode))) {
    if (k <= 0.0F) continue;
    range.from_k = std::min(range.from_k, static_cast<double>(k));
    range.to_k = std::max(range.to_k, static_cast<double>(k));
  }
  return range.to_k > 0.0 ? range : TemperatureRange{};
}

std::optional<Picked> SceneView::hottest_of_face(const sim::Snapshot& snapshot, ViewState view) {
  if (view.mode == ViewMode::cut_away) view.mode = ViewMode::room_face;
  const sim::Grid& grid = snapshot.wall->grid;
  const FaceSurface surface = face_surface(snapshot, view.mode);
  const auto hottest = std::max_element(surface.surface_k.begin(), surface.surface_k.end());
  if (hottest == surface.surface_k.end() || *hottest <= 0.0F) return std::nullopt;
  const auto column = static_cast<std::size_t>(hottest - surface.surface_k.begin());
  const auto middle = [](const std::vector<double>& edges, std::size_t i) { return 0.5 * (edges[i] + edges[i + 1]); };
  const std::size_t nx = static_cast<std::size_t>(grid.nx());
  Picked picked;
  picked.point_m = {middle(grid.x_m, column % nx), middle(grid.y_m, column / nx),
                    view.mode == ViewMode::far_face ? grid.z_m.back() : 0.0};
  picked.temperature_k = static_cast<double>(shown_temperatures(snapshot, view, surface)[column]);
  picked.true_k = static_cast<double>(*hottest);
  picked.material = snapshot.wall->materials[static_cast<std::size_t>(surface.material[column])].name;
  return picked;
}

}  // namespace warmbay::render
