// The floor: one large rectangle; seen only from above it.

#include "render/passes/floor_pass.hpp"

#include <array>

namespace warmbay::render {

FloorPass::FloorPass(const std::filesystem::path& shaders)
    : program_(shaders / "floor.vert", {shaders / "floor.frag"}), floor_({3}) {}

void FloorPass::set_wall(const sim::Wall& wall) {
  const sim::Grid& grid = wall.grid;
  wall_size_m_ = {static_cast<float>(grid.x_m.back()), static_cast<float>(grid.y_m.back()),
                  static_cast<float>(grid.z_m.back())};
  const float reach_m = 1.25F * wall_size_m_.y;
  const float left = -reach_m;
  const float right = wall_size_m_.x + reach_m;
  const float front = -reach_m;
  const float back = wall_size_m_.z + reach_m;
  floor_.store(std::array{left, 0.0F, front, right, 0.0F, front, right, 0.0F, back,  //
                          left, 0.0F, front, right, 0.0F, back, left, 0.0F, back});
}

void FloorPass::draw(const ViewState& view, const ViewSize& size) const {
  if (view.camera.eye_m(size).y <= 0.0) return;
  program_.use();
  program_.set("view_projection", view.camera.view_projection(size));
  program_.set("foot_from_m",
               glm::vec2(static_cast<float>(view.kept.from_m[0]), static_cast<float>(view.kept.from_m[2])));
  program_.set("foot_to_m", glm::vec2(static_cast<float>(view.kept.to_m[0]), static_cast<float>(view.kept.to_m[2])));
  program_.set("wall_height_m", wall_size_m_.y);
  program_.set("background", view.background);
  floor_.draw_triangles();
}

}  // namespace warmbay::render
