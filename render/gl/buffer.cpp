// Buffers of vertices.

#include "render/gl/buffer.hpp"

#include <glad/gl.h>

namespace warmbay::render::gl {

unsigned BufferKind::make() {
  GLuint id = 0;
  glGenBuffers(1, &id);
  return id;
}

void BufferKind::free(unsigned id) {
  const GLuint name = id;
  glDeleteBuffers(1, &name);
}

void Buffer::store(std::span<const std::byte> bytes) {
  bind();
  glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(bytes.size()), bytes.data(), GL_DYNAMIC_DRAW);
}

void Buffer::bind() const {
  glBindBuffer(GL_ARRAY_BUFFER, id());
}

}  // namespace warmbay::render::gl
