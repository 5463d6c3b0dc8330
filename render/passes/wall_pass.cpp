// Faces of the wall: two triangles each.

#include "render/passes/wall_pass.hpp"

#include <algorithm>
#include <array>

#include "render/passes/field_sample.hpp"
#include "render/passes/hatch.hpp"

namespace warmbay::render {

WallPass::WallPass(const std::filesystem::path& shaders)
    : program_(shaders / "wall.vert", {shaders / "field.glsl", shaders / "hatch.glsl", shaders / "wall.frag"}),
      faces_{gl::VertexArray({3, 1, 1, 4, 2}), gl::VertexArray({3, 1, 1, 4, 2}), gl::VertexArray({3, 1, 1, 4, 2})} {}

namespace {

void add_face(std::vector<float>& vertices, const sim::Wall& wall, const Face& face) {
  const auto [u, v] = across(face.normal);
  const auto& edges_m = wall.grid.edges_m(face.normal);
  const Between centres = between_centres(edges_m, face.at_m);
  const double coordinate = (centres.lower + centres.share + 0.5) / static_cast<double>(edges_m.size() - 1);
  const HatchPattern hatch =
      face.cut ? pattern_of(hatch_of(wall.materials[static_cast<std::size_t>(face.material)])) : HatchPattern{};
  for (const auto& [pu, pv] : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 0}, {1, 1}, {0, 1}}) {
    glm::vec3 point(0.0F);
    point[sim::index_of(face.normal)] = static_cast<float>(face.at_m);
    point[u] = static_cast<float>(pu == 0 ? face.u_m.from_m : face.u_m.to_m);
    point[v] = static_cast<float>(pv == 0 ? face.v_m.from_m : face.v_m.to_m);
    vertices.insert(vertices.end(),
                    {point.x, point.y, point.z, face.positive ? 1.0F : -1.0F, static_cast<float>(coordinate),
                     hatch.per_m_u, hatch.per_m_v, hatch.sway, hatch.sway_per_m, hatch.crossing, hatch.strength});
  }
}

}  // namespace

void WallPass::set_shape(const sim::Wall& wall, const WallShape& shape) {
  for (int a = 0; a < 3; ++a) {
    std::vector<float> vertices;
    for (const Face& face : shape.faces) {
      if (sim::index_of(face.normal) == a) add_face(vertices, wall, face);
    }
    faces_[static_cast<std::size_t>(a)].store(vertices);
  }
}

void WallPass::draw(const FieldTextures& field, const ViewState& view, const Eye& eye) const {
  program_.use();
  field.bind(program_, view.range);
  program_.set("view_projection", eye.view_projection);
  program_.set("eye_m", eye.at_m);
  program_.set("isotherm_every_k", view.isotherms ? static_cast<float>(view.isotherm_every_k) : 0.0F);
  program_.set("line_px", std::max(1.0F, 1.3F * view.scale));
  program_.set("hatched", view.materials ? 1.0F : 0.0F);
  for (int a = 0; a < 3; ++a) {
    set_plane(program_, static_cast<sim::Axis>(a));
    faces_[static_cast<std::size_t>(a)].draw_triangles();
  }
}

}  // namespace warmbay::render
