// The view of the wall: what is drawn in which order, and when nothing needs drawing.
//
// The wall is drawn into a picture of its own (multisampled where that is cheap) and copied to where it is wanted, so
// that a frame in which only the panels changed costs no more than the copy.

#include "render/scene_view.hpp"

#include <glad/gl.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "render/gl/framebuffer.hpp"
#include "render/passes/cable_pass.hpp"
#include "render/passes/close_up_pass.hpp"
#include "render/passes/damage_pass.hpp"
#include "render/passes/field_textures.hpp"
#include "render/passes/floor_pass.hpp"
#include "render/passes/infrared_face.hpp"
#include "render/passes/line_pass.hpp"
#include "render/passes/wall_pass.hpp"
#include "render/passes/wall_shape.hpp"

namespace warmbay::render {

struct SceneView::Impl {
  Impl(const std::filesystem::path& shaders, const gl::Quality& chosen)
      : quality(chosen),
        wall(shaders),
        damage(shaders),
        boundaries(shaders),
        lines(shaders),
        cable_rims(shaders),
        hollow_rims(shaders),
        cable(shaders),
        floor(shaders),
        infrared(shaders),
        close_up(shaders) {}

  [[nodiscard]] std::vector<gl::Program*> programs() {
    std::vector<gl::Program*> all{&wall.program(),  &damage.program(),     &boundaries.program(),
                                  &lines.program(), &cable_rims.program(), &hollow_rims.program(),
                                  &cable.program(), &floor.program(),      &infrared.program()};
    for (gl::Program* program : close_up.programs()) all.push_back(program);
    return all;
  }
  bool programs_ready();
  void take_snapshot(const std::shared_ptr<const sim::Snapshot>& snapshot,
                     const std::shared_ptr<const card::SharedField>& shared);
  void take_shape(const ViewState& view);
  void take_damage();
  [[nodiscard]] float rim_scale(const ViewState& view, const ViewSize& size) const;
  void draw_cut_away(const ViewState& view, const ViewSize& size);
  void draw_face(const ViewState& view, const ViewSize& size);

  gl::Quality quality;
  FieldTextures field;
  WallPass wall;
  DamagePass damage;
  LinePass boundaries;
  LinePass lines;
  LinePass cable_rims;
  LinePass hollow_rims;
  CablePass cable;
  FloorPass floor;
  InfraredFace infrared;
  CloseUpPass close_up;
  bool has_palette = false;
  std::string error;

  std::optional<gl::Framebuffer> picture;
  std::optional<gl::Framebuffer> small_picture;  // of the close-up
  std::shared_ptr<const sim::Snapshot> closed_up;
  std::optional<CloseUp> closed_up_at;
  ViewState closed_up_view;
  bool stale = true;
  std::shared_ptr<const sim::Snapshot> drawn_snapshot;
  ViewState drawn_view;

  // What the shape was made from.
  std::shared_ptr<const sim::Wall> shaped_wall;
  CutBox shaped_kept;
  std::optional<CutBox> shaped_opened;
  bool shaped_materials = false;
  WallShape shape;
  std::vector<sim::VoxelState> shaped_states;
  std::optional<NarrowAir> narrow;
  std::vector<sim::VoxelState> shown;  // those, as they are shown
  bool damage_stale = true;
};

bool SceneView::Impl::programs_ready() {
  error.clear();
  for (gl::Program* program : programs()) {
    stale = program->refresh() || stale;
    if (error.empty()) error = program->error();
    if (!program->ok()) return false;
  }
  if (!has_palette) error = "no colour map was set";
  return has_palette;
}

void SceneView::Impl::take_snapshot(const std::shared_ptr<const sim::Snapshot>& snapshot,
                                    const std::shared_ptr<const card::SharedField>& shared) {
  if (snapshot == drawn_snapshot) return;
  field.store(snapshot, shared);
  cable.store(snapshot);
  drawn_snapshot = snapshot;
}

void SceneView::Impl::take_shape(const ViewState& view) {
  const auto& now = drawn_snapshot->wall;
  if (shaped_wall == now && shaped_kept == view.kept && shaped_opened == view.opened &&
      shaped_materials == view.materials) {
    return;
  }
  if (shaped_wall != now) {
    shaped_states.clear();
    shown.clear();
    narrow.reset();
  }
  shaped_wall = now;
  shaped_kept = view.kept;
  shaped_opened = view.opened;
  shaped_materials = view.materials;
  shape = shape_of(*now, view.kept, view.opened);
  damage_stale = true;
  wall.set_shape(*now, shape);
  floor.set_wall(*now);
  boundaries.clear();
  if (view.materials) boundaries.add(shape.boundaries, boundary_style);
  boundaries.store();
  lines.clear();
  lines.add(shape.creases, crease_style);
  lines.store();
  cable_rims.clear();
  cable_rims.add(cable.rims(), rim_style);
  cable_rims.store();
}

/// Most snapshots differ in their temperatures alone.
void SceneView::Impl::take_damage() {
  if (!damage_stale && shaped_states == drawn_snapshot->states) return;
  if (shaped_states != drawn_snapshot->states) {
    shaped_states = drawn_snapshot->states;
    if (!narrow && !shaped_states.empty()) narrow.emplace(drawn_snapshot->wall);
    shown = narrow ? narrow->shown(shaped_states) : shaped_states;
  }
  damage_stale = false;
  const DamageShape made = damage_shape(*drawn_snapshot->wall, shape, shown);
  damage.set_shape(*drawn_snapshot->wall, made);
  hollow_rims.clear();
  hollow_rims.add(made.rims, hollow_style);
  hollow_rims.store();
}

/// Two rims must leave most of a thin cable to be seen.
float SceneView::Impl::rim_scale(const ViewState& view, const ViewSize& size) const {
  const auto& cables = drawn_snapshot->wall->cables;
  if (cables.empty()) return view.scale;
  const sim::Cable& first = cables.front();
  const sim::Vec3 at = sim::route_point(first, 0.5 * sim::route_length_m(first));
  sim::Vec3 beside = at;
  beside[1] += first.type.thickness_m;
  const auto a = view.camera.project(at, size);
  const auto b = view.camera.project(beside, size);
  if (!a || !b) return view.scale;
  const float thick_px = std::hypot(b->x_px - a->x_px, b->y_px - a->y_px);
  return std::clamp(0.25F * thick_px / rim_style.width_px, 0.4F, view.scale);
}

void SceneView::Impl::draw_cut_away(const ViewState& view, const ViewSize& size) {
  take_shape(view);
  take_damage();
  const Eye eye = view.camera.eye(size);
  if (view.floor) floor.draw(view, size);
  glEnable(GL_DEPTH_TEST);
  glDepthMask(GL_TRUE);
  glDepthFunc(GL_LESS);
  wall.draw(field, view, eye);
  glBlendFunc(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA);
  glEnable(GL_BLEND);
  glDepthMask(GL_FALSE);
  glDepthFunc(GL_LEQUAL);
  boundaries.draw(field, view, eye, size, view.scale);
  glDisable(GL_BLEND);
  glDepthFunc(GL_LESS);
  damage.draw(field, view, eye);  // over the boundaries: within a hollow no material meets another

  glEnable(GL_BLEND);
  if (view.cable_through_wall) {
    glDepthMask(GL_FALSE);
    glDepthFunc(GL_GREATER);
    cable.draw_hidden(field, view, size);
  }
  glDisable(GL_BLEND);
  glDepthMask(GL_TRUE);
  glDepthFunc(GL_LESS);
  cable.draw(field, view, size);

  glEnable(GL_BLEND);
  glDepthMask(GL_FALSE);
  glDepthFunc(GL_LEQUAL);
  lines.draw(field, view, eye, size, view.scale);
  cable_rims.draw(field, view, eye, size, rim_scale(view, size));
  hollow_rims.draw(field, view, eye, size, view.scale, hollow_ink);
  glDepthMask(GL_TRUE);
  glDepthFunc(GL_LESS);
  glDisable(GL_BLEND);
  glDisable(GL_DEPTH_TEST);
}

void SceneView::Impl::draw_face(const ViewState& view, const ViewSize& size) {
  infrared.draw(drawn_snapshot, field, view, size);
}

SceneView::SceneView(const std::filesystem::path& shaders, const gl::Quality& quality)
    : impl_(std::make_unique<Impl>(shaders, quality)) {}
SceneView::~SceneView() = default;
SceneView::SceneView(SceneView&&) noexcept = default;
SceneView& SceneView::operator=(SceneView&&) noexcept = default;

void SceneView::set_palette(const Palette& palette) {
  impl_->field.set_palette(palette);
  impl_->has_palette = true;
  impl_->stale = true;
  impl_->closed_up.reset();
}

bool SceneView::draw(const std::shared_ptr<const sim::Snapshot>& snapshot, const ViewState& view,
                     const ViewRectangle& where, const std::shared_ptr<const card::SharedField>& field) {
  Impl& self = *impl_;
  if (!self.programs_ready() || snapshot == nullptr || where.size.width_px < 1 || where.size.height_px < 1)
    return false;
  const unsigned target = gl::bound_framebuffer();
  const bool resized = !self.picture || self.picture->width_px() != where.size.width_px ||
                       self.picture->height_px() != where.size.height_px;
  if (resized) self.picture.emplace(where.size.width_px, where.size.height_px, self.quality.samples);
  if (resized || self.stale || snapshot != self.drawn_snapshot || !(view == self.drawn_view)) {
    std::array<GLint, 4> viewport{};
    glGetIntegerv(GL_VIEWPORT, viewport.data());
    self.take_snapshot(snapshot, field);
    glDisable(GL_SCISSOR_TEST);
    glDisable(GL_CULL_FACE);
    glDisable(GL_BLEND);
    glDisable(GL_DEPTH_TEST);
    self.picture->bind();
    glClearColor(view.background.r, view.background.g, view.background.b, 1.0F);
    glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
    if (view.mode == ViewMode::cut_away) {
      self.draw_cut_away(view, where.size);
    } else {
      self.draw_face(view, where.size);
    }
    self.field.drawn();
    glViewport(viewport[0], viewport[1], viewport[2], viewport[3]);
    self.drawn_view = view;
    self.stale = false;
  }
  glDisable(GL_SCISSOR_TEST);
  self.picture->copy_to(target, where.x_px, where.y_px);
  return true;
}

void SceneView::draw_close_up(const ViewState& view, const CloseUp& close_up, const ViewRectangle& where) {
  Impl& self = *impl_;
  if (!self.drawn_snapshot || !self.error.empty() || where.size.width_px < 1 || where.size.height_px < 1) return;
  const unsigned target = gl::bound_framebuffer();
  const bool resized = !self.small_picture || self.small_picture->width_px() != where.size.width_px ||
                       self.small_picture->height_px() != where.size.height_px;
  if (resized) self.small_picture.emplace(where.size.width_px, where.size.height_px, self.quality.samples);
  if (resized || self.closed_up != self.drawn_snapshot || self.closed_up_at != close_up ||
      !(self.closed_up_view == view)) {
    std::array<GLint, 4> viewport{};
    glGetIntegerv(GL_VIEWPORT, viewport.data());
    self.closed_up = self.drawn_snapshot;
    self.closed_up_at = close_up;
    self.closed_up_view = view;
    self.close_up.store(self.drawn_snapshot->wall, self.shown, close_up);
    glDisable(GL_SCISSOR_TEST);
    self.small_picture->bind();
    glClearColor(view.background.r, view.background.g, view.background.b, 1.0F);
    glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
    self.close_up.draw(self.field, view, where.size);
    self.field.drawn();
    glViewport(viewport[0], viewport[1], viewport[2], viewport[3]);
  }
  self.small_picture->copy_to(target, where.x_px, where.y_px);
}

const std::string& SceneView::error() const {
  return impl_->error;
}

}  // namespace warmbay::render
