// Storage buffers. All bindings go through GL_SHADER_STORAGE_BUFFER, so that nothing of the drawing is disturbed.

#include "render/gl/storage.hpp"

#include <glad/gl.h>

#include <algorithm>

namespace warmbay::render::gl {
namespace {
constexpr std::size_t least_bytes = 64;
}

void Storage::allocate(std::size_t bytes) {
  bytes_ = std::max(bytes, least_bytes);
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, id());
  glBufferData(GL_SHADER_STORAGE_BUFFER, static_cast<GLsizeiptr>(bytes_), nullptr, GL_DYNAMIC_COPY);
}

void Storage::store_bytes(std::span<const std::byte> bytes) {
  if (std::max(bytes.size(), least_bytes) != bytes_) allocate(bytes.size());
  put_bytes(0, bytes);
}

void Storage::put_bytes(std::size_t from, std::span<const std::byte> bytes) const {
  if (bytes.empty()) return;
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, id());
  glBufferSubData(GL_SHADER_STORAGE_BUFFER, static_cast<GLintptr>(from), static_cast<GLsizeiptr>(bytes.size()),
                  bytes.data());
}

void Storage::fetch_bytes(std::span<std::byte> bytes) const {
  if (bytes.empty()) return;
  glMemoryBarrier(GL_BUFFER_UPDATE_BARRIER_BIT);
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, id());
  glGetBufferSubData(GL_SHADER_STORAGE_BUFFER, 0, static_cast<GLsizeiptr>(bytes.size()), bytes.data());
}

void Storage::fill(unsigned word, std::size_t first, std::size_t count) const {
  const GLuint value = word;
  glBindBuffer(GL_SHADER_STORAGE_BUFFER, id());
  glClearBufferSubData(GL_SHADER_STORAGE_BUFFER, GL_R32UI, static_cast<GLintptr>(first * sizeof value),
                       static_cast<GLsizeiptr>(count * sizeof value), GL_RED_INTEGER, GL_UNSIGNED_INT, &value);
}

void Storage::bind(unsigned place) const {
  glBindBufferBase(GL_SHADER_STORAGE_BUFFER, place, id());
}

void wait_for_kernels() {
  glMemoryBarrier(GL_SHADER_STORAGE_BARRIER_BIT | GL_BUFFER_UPDATE_BARRIER_BIT | GL_UNIFORM_BARRIER_BIT);
}

std::size_t largest_storage() {
  GLint64 bytes = 0;
  glGetInteger64v(GL_MAX_SHADER_STORAGE_BLOCK_SIZE, &bytes);
  return static_cast<std::size_t>(bytes);
}

}  // namespace warmbay::render::gl
