#pragma once
// Draws lines on the wall: creases, boundaries between materials, the rims of the cable.

#include <filesystem>
#include <optional>
#include <vector>

#include "render/gl/program.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/passes/field_textures.hpp"
#include "render/passes/wall_shape.hpp"

namespace warmbay::render {

struct LineStyle {
  float width_px = 1.0F;
  float opacity = 1.0F;
};
inline constexpr LineStyle crease_style{1.8F, 0.85F};
inline constexpr LineStyle boundary_style{1.3F, 0.60F};
inline constexpr LineStyle rim_style{1.8F, 0.95F};
inline constexpr LineStyle hollow_style{2.2F, 1.0F};
/// Round a hollow: seen on its black and on whatever is beside it.
inline constexpr glm::vec3 hollow_ink{1.0F, 1.0F, 1.0F};

class LinePass {
 public:
  explicit LinePass(const std::filesystem::path& shaders);
  void clear();
  void add(const std::vector<Line>& lines, const LineStyle& style);
  /// Uploads what was added since clear().
  void store();
  /// scale: of the widths; ink: of its own; nothing: light or dark, whichever is seen against the temperature's colour.
  void draw(const FieldTextures& field, const ViewState& view, const Eye& eye, const ViewSize& size, float scale,
            const std::optional<glm::vec3>& ink = {}) const;
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  gl::Program program_;
  gl::VertexArray lines_;
  std::vector<float> vertices_;
};

}  // namespace warmbay::render
