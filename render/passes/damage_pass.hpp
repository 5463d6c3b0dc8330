#pragma once
// Draws what heat has done to the shown faces: hollows, and hatching on what is dried, softened, melted or charred.

#include <array>
#include <filesystem>

#include "render/gl/program.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/passes/damage_shape.hpp"
#include "render/passes/field_textures.hpp"
#include "render/passes/hatch.hpp"

namespace warmbay::render {

/// How a state is drawn: lines, and how much of the temperature's colour gives way to near black.
struct StateLook {
  HatchPattern hatch;
  float darkened = 0.0F;  // 1: a hollow, of no temperature at all
};
[[nodiscard]] StateLook look_of(sim::VoxelState state);

class DamagePass {
 public:
  explicit DamagePass(const std::filesystem::path& shaders);
  void set_shape(const sim::Wall& wall, const DamageShape& shape);
  /// On the faces of the wall, right after them: depth test on; writes no depth.
  void draw(const FieldTextures& field, const ViewState& view, const Eye& eye) const;
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  gl::Program program_;
  std::array<gl::VertexArray, 3> marks_;  // by the axis of their normals
};

}  // namespace warmbay::render
