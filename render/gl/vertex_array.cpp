// Vertex arrays: packed floats in, shader inputs out.

#include "render/gl/vertex_array.hpp"

#include <glad/gl.h>

#include <numeric>

namespace warmbay::render::gl {

unsigned VertexArrayKind::make() {
  GLuint id = 0;
  glGenVertexArrays(1, &id);
  return id;
}

void VertexArrayKind::free(unsigned id) {
  const GLuint name = id;
  glDeleteVertexArrays(1, &name);
}

VertexArray::VertexArray(std::vector<int> widths)
    : widths_(std::move(widths)), floats_per_vertex_(std::accumulate(widths_.begin(), widths_.end(), 0)) {
  glBindVertexArray(handle_.id());
  buffer_.bind();
  std::size_t offset = 0;
  for (std::size_t i = 0; i < widths_.size(); ++i) {
    const auto index = static_cast<GLuint>(i);
    glEnableVertexAttribArray(index);
    glVertexAttribPointer(index, widths_[i], GL_FLOAT, GL_FALSE,
                          static_cast<GLsizei>(sizeof(float)) * floats_per_vertex_,
                          reinterpret_cast<const void*>(offset));  // NOLINT: OpenGL takes the offset as a pointer
    offset += sizeof(float) * static_cast<std::size_t>(widths_[i]);
  }
  glBindVertexArray(0);
}

void VertexArray::store(std::span<const float> values) {
  buffer_.store(std::as_bytes(values));
  vertices_ = static_cast<int>(values.size()) / floats_per_vertex_;
}

void VertexArray::draw_triangles() const {
  if (vertices_ == 0) return;
  glBindVertexArray(handle_.id());
  glDrawArrays(GL_TRIANGLES, 0, vertices_);
  glBindVertexArray(0);
}

}  // namespace warmbay::render::gl
