// A close-up is the face of a thin slice of the wall, drawn by the same passes as the whole.

#include "render/passes/close_up_pass.hpp"

#include <glad/gl.h>

namespace warmbay::render {

namespace {

constexpr double slice_m = 1e-3;
constexpr float far_m = 1e3F;

CutBox slice_of(const CloseUp& close_up) {
  const auto n = static_cast<std::size_t>(sim::index_of(close_up.normal));
  CutBox slice{close_up.middle_m, close_up.middle_m};
  for (std::size_t a = 0; a < 3; ++a) {
    slice.from_m[a] -= 0.5 * close_up.side_m;
    slice.to_m[a] += 0.5 * close_up.side_m;
  }
  const bool positive = close_up_axes(close_up.normal).positive;
  slice.from_m[n] = close_up.middle_m[n] - (positive ? slice_m : 0.0);
  slice.to_m[n] = close_up.middle_m[n] + (positive ? 0.0 : slice_m);
  return slice;
}

}  // namespace

Eye eye_of(const CloseUp& close_up) {
  const auto [right, up, positive] = close_up_axes(close_up.normal);
  const auto n = sim::index_of(close_up.normal);
  const glm::vec3 middle(close_up.middle_m[0], close_up.middle_m[1], close_up.middle_m[2]);
  const auto scale = static_cast<float>(2.0 / close_up.side_m);
  Eye eye{glm::mat4(0.0F), middle};
  eye.view_projection[right][0] = scale;
  eye.view_projection[up][1] = scale;
  eye.view_projection[3] = {-scale * middle[right], -scale * middle[up], 0.0F, 1.0F};
  eye.at_m[n] += positive ? far_m : -far_m;
  return eye;
}

void CloseUpPass::store(const std::shared_ptr<const sim::Wall>& wall, const std::vector<sim::VoxelState>& shown,
                        const CloseUp& close_up) {
  const bool moved = wall != of_ || close_up_ != close_up;
  if (!moved && shown_ == shown) return;
  if (moved) {
    of_ = wall;
    close_up_ = close_up;
    eye_ = eye_of(close_up);
    shape_ = shape_of(*of_, slice_of(close_up), std::nullopt);
    wall_.set_shape(*of_, shape_);
    lines_.clear();
    lines_.add(shape_.boundaries, boundary_style);
    lines_.store();
  }
  shown_ = shown;
  const DamageShape damage = damage_shape(*of_, shape_, shown);
  damage_.set_shape(*of_, damage);
  rims_.clear();
  rims_.add(damage.rims, hollow_style);
  rims_.store();
}

void CloseUpPass::draw(const FieldTextures& field, const ViewState& view, const ViewSize& size) const {
  glEnable(GL_DEPTH_TEST);
  glDepthMask(GL_TRUE);
  glDepthFunc(GL_LESS);
  wall_.draw(field, view, eye_);
  glBlendFunc(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA);
  glEnable(GL_BLEND);
  glDisable(GL_DEPTH_TEST);
  lines_.draw(field, view, eye_, size, view.scale);
  glDisable(GL_BLEND);
  // Over the lines: within a hollow no material meets another.
  damage_.draw(field, view, eye_);
  glEnable(GL_BLEND);
  rims_.draw(field, view, eye_, size, view.scale, hollow_ink);
  glDisable(GL_BLEND);
}

}  // namespace warmbay::render
