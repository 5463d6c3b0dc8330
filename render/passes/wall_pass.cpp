// Faces of the wall: two triangles each.

#include "render/passes/wall_pass.hpp"

#include <algorithm>
#include <array>

namespace warmbay::render {

WallPass::WallPass(const std::filesystem::path& shaders)
    : program_(shaders / "wall.vert", {shaders / "field.glsl", shaders / "wall.frag"}), faces_({3, 3, 1}) {}

void WallPass::set_shape(const WallShape& shape) {
  std::vector<float> vertices;
  vertices.reserve(shape.faces.size() * 6 * 7);
  for (const Face& face : shape.faces) {
    const auto n = static_cast<std::size_t>(sim::index_of(face.normal));
    const auto [u, v] = across(face.normal);
    for (const auto& [pu, pv] : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 0}, {1, 1}, {0, 1}}) {
      std::array<float, 7> vertex{};
      vertex[n] = static_cast<float>(face.at_m);
      vertex[static_cast<std::size_t>(u)] = static_cast<float>(pu == 0 ? face.u_m.from_m : face.u_m.to_m);
      vertex[static_cast<std::size_t>(v)] = static_cast<float>(pv == 0 ? face.v_m.from_m : face.v_m.to_m);
      vertex[3 + n] = face.positive ? 1.0F : -1.0F;
      vertex[6] = face.cut ? 1.0F : 0.0F;
      vertices.insert(vertices.end(), vertex.begin(), vertex.end());
    }
  }
  faces_.store(vertices);
}

void WallPass::draw(const FieldTextures& field, const ViewState& view, const ViewSize& size) const {
  program_.use();
  field.bind(program_, view.range);
  program_.set("view_projection", view.camera.view_projection(size));
  program_.set("eye_m", glm::vec3(view.camera.eye_m(size)));
  program_.set("isotherm_every_k", view.isotherms ? static_cast<float>(view.isotherm_every_k) : 0.0F);
  program_.set("line_px", std::max(1.0F, 1.5F * view.scale));
  program_.set("hatching", view.materials ? 1.0F : 0.0F);
  faces_.draw_triangles();
}

}  // namespace warmbay::render
