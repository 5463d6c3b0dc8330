// Lines as rectangles with soft edges: OpenGL's own wide lines are not to be had in the core profile, and these also
// cover the stepped edges of the faces where there is no multisampling.

#include "render/passes/line_pass.hpp"

namespace warmbay::render {

LinePass::LinePass(const std::filesystem::path& shaders)
    : program_(shaders / "line.vert", {shaders / "field.glsl", shaders / "line.frag"}), lines_({3, 3, 2, 2, 3, 3}) {}

void LinePass::clear() {
  vertices_.clear();
}

void LinePass::add(const std::vector<Line>& lines, const LineStyle& style) {
  for (const Line& line : lines) {
    for (const auto& [end, side] :
         {std::pair{0.0F, -1.0F}, {1.0F, -1.0F}, {1.0F, 1.0F}, {0.0F, -1.0F}, {1.0F, 1.0F}, {0.0F, 1.0F}}) {
      for (const double c : line.from_m) vertices_.push_back(static_cast<float>(c));
      for (const double c : line.to_m) vertices_.push_back(static_cast<float>(c));
      vertices_.insert(vertices_.end(), {end, side, style.width_px, style.opacity});
      for (const sim::Vec3& normal : line.normals) {
        for (const double c : normal) vertices_.push_back(static_cast<float>(c));
      }
    }
  }
}

void LinePass::store() {
  lines_.store(vertices_);
}

void LinePass::draw(const FieldTextures& field, const ViewState& view, const Eye& eye, const ViewSize& size,
                    float scale, const std::optional<glm::vec3>& ink) const {
  if (lines_.vertices() == 0) return;
  program_.use();
  field.bind(program_, view.range);
  program_.set("view_projection", eye.view_projection);
  program_.set("eye_m", eye.at_m);
  program_.set("view_px", glm::vec2(static_cast<float>(size.width_px), static_cast<float>(size.height_px)));
  program_.set("scale", scale);
  program_.set("own_ink", ink ? glm::vec4(*ink, 1.0F) : glm::vec4(0.0F));
  lines_.draw_triangles();
}

}  // namespace warmbay::render
