// Marks of damage: two triangles each, over the faces that they lie on.

#include "render/passes/damage_pass.hpp"

#include <glad/gl.h>

#include <algorithm>

#include "render/passes/field_sample.hpp"

namespace warmbay::render {

namespace {

// point, looks along its axis, texture coordinate, lines, crossing and strength, darkened
const std::vector<int> vertex{3, 1, 1, 4, 2, 1};

void add_mark(std::vector<float>& vertices, const sim::Wall& wall, const DamageMark& mark) {
  const auto [u, v] = across(mark.normal);
  const auto& edges_m = wall.grid.edges_m(mark.normal);
  const Between centres = between_centres(edges_m, mark.at_m);
  const double coordinate = (centres.lower + centres.share + 0.5) / static_cast<double>(edges_m.size() - 1);
  const StateLook look = look_of(mark.state);
  const HatchPattern& hatch = look.hatch;
  for (const auto& [pu, pv] : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 0}, {1, 1}, {0, 1}}) {
    glm::vec3 point(0.0F);
    point[sim::index_of(mark.normal)] = static_cast<float>(mark.at_m);
    point[u] = static_cast<float>(pu == 0 ? mark.u_m.from_m : mark.u_m.to_m);
    point[v] = static_cast<float>(pv == 0 ? mark.v_m.from_m : mark.v_m.to_m);
    vertices.insert(vertices.end(), {point.x, point.y, point.z, mark.positive ? 1.0F : -1.0F,
                                     static_cast<float>(coordinate), hatch.per_m_u, hatch.per_m_v, hatch.sway,
                                     hatch.sway_per_m, hatch.crossing, hatch.strength, look.darkened});
  }
}

}  // namespace

StateLook look_of(sim::VoxelState state) {
  switch (state) {
    case sim::VoxelState::gone:
      return {{}, 1.0F};
    case sim::VoxelState::melt:
      return {{220.0F, 220.0F, 0.0F, 0.0F, 0.0F, 0.95F}, 0.45F};
    case sim::VoxelState::charred:
      return {{170.0F, 170.0F, 0.0F, 0.0F, 1.0F, 0.85F}, 0.65F};
    case sim::VoxelState::softened:
      return {{0.0F, 170.0F, 0.40F, 90.0F, 0.0F, 0.80F}, 0.0F};
    case sim::VoxelState::dried:
      return {{150.0F, 150.0F, 0.0F, 0.0F, -1.0F, 0.90F}, 0.0F};
    case sim::VoxelState::sound:
      break;
  }
  return {};
}

DamagePass::DamagePass(const std::filesystem::path& shaders)
    : program_(shaders / "damage.vert", {shaders / "field.glsl", shaders / "hatch.glsl", shaders / "damage.frag"}),
      marks_{gl::VertexArray(vertex), gl::VertexArray(vertex), gl::VertexArray(vertex)} {}

void DamagePass::set_shape(const sim::Wall& wall, const DamageShape& shape) {
  for (int a = 0; a < 3; ++a) {
    std::vector<float> vertices;
    for (const DamageMark& mark : shape.marks)
      if (sim::index_of(mark.normal) == a) add_mark(vertices, wall, mark);
    marks_[static_cast<std::size_t>(a)].store(vertices);
  }
}

void DamagePass::draw(const FieldTextures& field, const ViewState& view, const Eye& eye) const {
  if (std::all_of(marks_.begin(), marks_.end(), [](const gl::VertexArray& m) { return m.vertices() == 0; })) return;
  program_.use();
  field.bind(program_, view.range);
  program_.set("view_projection", eye.view_projection);
  program_.set("eye_m", eye.at_m);
  program_.set("line_px", std::max(1.0F, 1.5F * view.scale));
  // The same planes as the faces': without this some pixels would lie behind them.
  glEnable(GL_POLYGON_OFFSET_FILL);
  glPolygonOffset(-2.0F, -8.0F);
  glDepthMask(GL_FALSE);
  for (int a = 0; a < 3; ++a) {
    if (marks_[static_cast<std::size_t>(a)].vertices() == 0) continue;
    set_plane(program_, static_cast<sim::Axis>(a));
    marks_[static_cast<std::size_t>(a)].draw_triangles();
  }
  glDepthMask(GL_TRUE);
  glDisable(GL_POLYGON_OFFSET_FILL);
}

}  // namespace warmbay::render
