// The infrared view of a face.

#include "render/passes/infrared_face.hpp"

#include <algorithm>

#include "sim/infrared.hpp"

namespace warmbay::render {

namespace {
constexpr int surface_unit = 5;
constexpr double margin_share = 0.07;
constexpr double coldest_shown_k = 173.15;  // what a camera shows of what is too cold for it
}  // namespace

FaceSurface face_surface(const sim::Snapshot& snapshot, ViewMode face) {
  const sim::Wall& wall = *snapshot.wall;
  const sim::Grid& grid = wall.grid;
  const int first = face == ViewMode::far_face ? grid.nz() - 1 : 0;
  const int inward = face == ViewMode::far_face ? -1 : 1;
  const std::size_t columns = static_cast<std::size_t>(grid.nx()) * grid.ny();
  FaceSurface of{std::vector<float>(columns, 0.0F), std::vector<int>(columns, -1)};
  for (int j = 0; j < grid.ny(); ++j) {
    for (int i = 0; i < grid.nx(); ++i) {
      int k = first;
      while (k >= 0 && k < grid.nz() && wall.voxels[grid.at(i, j, k)].outside) k += inward;
      if (k < 0 || k >= grid.nz()) continue;
      double surface = static_cast<double>(snapshot.temperature_k[grid.at(i, j, k)]);
      const int behind = k + inward;
      if (behind >= 0 && behind < grid.nz() && wall.voxels[grid.at(i, j, behind)] == wall.voxels[grid.at(i, j, k)]) {
        const auto thick = [&](int layer) {
          return grid.z_m[static_cast<std::size_t>(layer) + 1] - grid.z_m[static_cast<std::size_t>(layer)];
        };
        const double deeper = static_cast<double>(snapshot.temperature_k[grid.at(i, j, behind)]);
        surface += (surface - deeper) * thick(k) / (thick(k) + thick(behind));
      }
      const auto column = static_cast<std::size_t>(i + grid.nx() * j);
      of.surface_k[column] = static_cast<float>(surface);
      of.material[column] = wall.voxels[grid.at(i, j, k)].index;
    }
  }
  return of;
}

double reflected_k(const sim::Snapshot& snapshot, const ViewState& view) {
  if (view.infrared.reflected_k) return *view.infrared.reflected_k;
  const auto side = static_cast<std::size_t>(view.mode == ViewMode::far_face ? sim::Side::far : sim::Side::room);
  const int before = snapshot.wall->faces[side];
  return before < 0 ? sim::datum_k : snapshot.conditions.surroundings_k[static_cast<std::size_t>(before)];
}

std::vector<float> shown_temperatures(const sim::Snapshot& snapshot, const ViewState& view,
                                      const FaceSurface& surface) {
  const sim::InfraredSettings settings{view.infrared.emissivity, reflected_k(snapshot, view)};
  std::vector<float> shown_k(surface.surface_k.size(), 0.0F);
  for (std::size_t c = 0; c < shown_k.size(); ++c) {
    if (surface.material[c] < 0) continue;
    const double emissivity = snapshot.wall->materials[static_cast<std::size_t>(surface.material[c])].emissivity;
    const double k = sim::apparent_temperature_k(static_cast<double>(surface.surface_k[c]), emissivity, settings);
    shown_k[c] = static_cast<float>(std::max(k, coldest_shown_k));
  }
  return shown_k;
}

FaceFrame face_frame(const sim::Wall& wall, const ViewSize& size) {
  const double width_m = wall.grid.x_m.back();
  const double height_m = wall.grid.y_m.back();
  const double px_per_m = (1.0 - 2.0 * margin_share) * std::min(size.width_px / width_m, size.height_px / height_m);
  return {0.5 * (size.width_px - px_per_m * width_m), 0.5 * (size.height_px - px_per_m * height_m), px_per_m};
}

std::optional<glm::dvec2> face_point(const sim::Wall& wall, ViewMode face, double x_px, double y_px,
                                     const ViewSize& size) {
  const FaceFrame frame = face_frame(wall, size);
  const double width_m = wall.grid.x_m.back();
  const double height_m = wall.grid.y_m.back();
  double x_m = (x_px - frame.left_px) / frame.px_per_m;
  const double y_m = height_m - (y_px - frame.top_px) / frame.px_per_m;
  if (x_m < 0.0 || x_m > width_m || y_m < 0.0 || y_m > height_m) return std::nullopt;
  if (face == ViewMode::far_face) x_m = width_m - x_m;
  return glm::dvec2(x_m, y_m);
}

ScreenPoint face_place(const sim::Wall& wall, ViewMode face, const sim::Vec3& point_m, const ViewSize& size) {
  const FaceFrame frame = face_frame(wall, size);
  const double x_m = face == ViewMode::far_face ? wall.grid.x_m.back() - point_m[0] : point_m[0];
  const double down_m = wall.grid.y_m.back() - point_m[1];
  return {static_cast<float>(frame.left_px + frame.px_per_m * x_m),
          static_cast<float>(frame.top_px + frame.px_per_m * down_m), 0.0F};
}

InfraredFace::InfraredFace(const std::filesystem::path& shaders)
    : program_(shaders / "infrared.vert", {shaders / "field.glsl", shaders / "infrared.frag"}), square_({2}) {
  square_.store(std::array{0.0F, 0.0F, 1.0F, 0.0F, 1.0F, 1.0F, 0.0F, 0.0F, 1.0F, 1.0F, 0.0F, 1.0F});
}

void InfraredFace::draw(const std::shared_ptr<const sim::Snapshot>& snapshot, const FieldTextures& field,
                        const ViewState& view, const ViewSize& size) {
  const sim::Wall& wall = *snapshot->wall;
  surface_.store_r32f_2d(wall.grid.nx(), wall.grid.ny(),
                         shown_temperatures(*snapshot, view, face_surface(*snapshot, view.mode)), gl::Sampling::linear);
  const FaceFrame frame = face_frame(wall, size);
  const glm::dvec2 whole(size.width_px, size.height_px);
  const glm::dvec2 face_px = frame.px_per_m * glm::dvec2(wall.grid.x_m.back(), wall.grid.y_m.back());
  program_.use();
  field.bind(program_, view.face_range.value_or(view.range));
  surface_.bind(surface_unit);
  program_.set("surface_k", surface_unit);
  program_.set("mirrored", view.mode == ViewMode::far_face ? 1.0F : 0.0F);
  program_.set("frame",
               glm::vec4(frame.left_px / whole.x, frame.top_px / whole.y, face_px.x / whole.x, face_px.y / whole.y));
  square_.draw_triangles();
}

}  // namespace warmbay::render
