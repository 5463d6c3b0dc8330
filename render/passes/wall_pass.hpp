#pragma once
// Draws the faces of the wall.

#include <filesystem>

#include "render/gl/program.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/passes/field_textures.hpp"
#include "render/passes/wall_shape.hpp"

namespace warmbay::render {

class WallPass {
 public:
  explicit WallPass(const std::filesystem::path& shaders);
  void set_shape(const WallShape& shape);
  void draw(const FieldTextures& field, const ViewState& view, const ViewSize& size) const;
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  gl::Program program_;
  gl::VertexArray faces_;
};

}  // namespace warmbay::render
