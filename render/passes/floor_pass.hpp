#pragma once
// Draws the floor under the wall: a soft shadow, so that the wall stands somewhere.

#include <filesystem>

#include "render/gl/program.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/view_state.hpp"
#include "sim/wall.hpp"

namespace warmbay::render {

class FloorPass {
 public:
  explicit FloorPass(const std::filesystem::path& shaders);
  void set_wall(const sim::Wall& wall);
  void draw(const ViewState& view, const ViewSize& size) const;
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  gl::Program program_;
  gl::VertexArray floor_;
  glm::vec3 wall_size_m_{1.0F};
};

}  // namespace warmbay::render
