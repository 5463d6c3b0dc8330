#pragma once
// Vertex arrays: how the bytes of a buffer become the inputs of a vertex shader.

#include <cstddef>
#include <span>
#include <vector>

#include "render/gl/buffer.hpp"
#include "render/gl/handle.hpp"

namespace warmbay::render::gl {

struct VertexArrayKind {
  static unsigned make();
  static void free(unsigned id);
};

/// Vertices of floats only: attribute i has widths[i] floats, packed one after the other.
class VertexArray {
 public:
  explicit VertexArray(std::vector<int> widths);
  /// Replaces the vertices. values: a whole number of vertices.
  void store(std::span<const float> values);
  void draw_triangles() const;
  [[nodiscard]] int vertices() const { return vertices_; }

 private:
  std::vector<int> widths_;
  int floats_per_vertex_ = 0;
  Handle<VertexArrayKind> handle_;
  Buffer buffer_;
  int vertices_ = 0;
};

}  // namespace warmbay::render::gl
