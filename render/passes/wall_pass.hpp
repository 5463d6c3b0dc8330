#pragma once
// Draws the faces of the wall.

#include <array>
#include <filesystem>

#include "render/gl/program.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/passes/field_textures.hpp"
#include "render/passes/wall_shape.hpp"

namespace warmbay::render {

class WallPass {
 public:
  explicit WallPass(const std::filesystem::path& shaders);
  void set_shape(const sim::Wall& wall, const WallShape& shape);
  void draw(const FieldTextures& field, const ViewState& view, const Eye& eye) const;
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  gl::Program program_;
  std::array<gl::VertexArray, 3> faces_;  // by the axis of their normals
};

}  // namespace warmbay::render
