#pragma once
// Draws the cables in their own temperature, and a trace of them where the wall hides them.

#include <filesystem>
#include <memory>
#include <vector>

#include "render/gl/program.hpp"
#include "render/gl/texture.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/passes/field_textures.hpp"
#include "render/passes/wall_shape.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

class CablePass {
 public:
  explicit CablePass(const std::filesystem::path& shaders);
  /// Uploads the shapes of another wall's cables, and the temperatures of another snapshot.
  void store(const std::shared_ptr<const sim::Snapshot>& snapshot);
  /// The edges of the cables' cut sheaths, for the line pass.
  [[nodiscard]] const std::vector<Line>& rims() const { return rims_; }

  /// The cables themselves: depth test on.
  void draw(const FieldTextures& field, const ViewState& view, const ViewSize& size) const;
  /// The hidden parts: with the depth test turned round, after the wall and before the cables.
  void draw_hidden(const FieldTextures& field, const ViewState& view, const ViewSize& size) const;
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  struct One {
    gl::VertexArray solid{{3, 3, 2}};
    gl::VertexArray ribbon{{3, 3, 2}};
    gl::Texture line_k;
    float length_m = 1.0F;
    float live_m = 1.0F;  // how far it carries current
  };
  void prepare(const FieldTextures& field, const ViewState& view, const ViewSize& size, bool ghost) const;

  gl::Program program_;
  std::shared_ptr<const sim::Wall> wall_;
  std::vector<One> cables_;
  std::vector<Line> rims_;
};

/// Temperatures of a cable at `count` even places along its route: pairs of conductor and sheath, K.
[[nodiscard]] std::vector<float> even_line(const sim::CableLine& line, double length_m, int count);

}  // namespace warmbay::render
