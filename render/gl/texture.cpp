// Textures. Stored tightly packed (unpack alignment 1), because rows of a wall's fields are of any length.

#include "render/gl/texture.hpp"

#include <glad/gl.h>

namespace warmbay::render::gl {

unsigned TextureKind::make() {
  GLuint id = 0;
  glGenTextures(1, &id);
  return id;
}

void TextureKind::free(unsigned id) {
  const GLuint name = id;
  glDeleteTextures(1, &name);
}

namespace {

const void* data_or_null(const auto& values) {
  return values.empty() ? nullptr : static_cast<const void*>(values.data());
}

}  // namespace

void Texture::sampling(Sampling sampling) const {
  const GLint filter = sampling == Sampling::nearest ? GL_NEAREST : GL_LINEAR;
  glTexParameteri(target_, GL_TEXTURE_MAG_FILTER, filter);
  glTexParameteri(target_, GL_TEXTURE_MIN_FILTER, filter);
  for (const GLenum wrap : {GL_TEXTURE_WRAP_S, GL_TEXTURE_WRAP_T, GL_TEXTURE_WRAP_R}) {
    glTexParameteri(target_, wrap, GL_CLAMP_TO_EDGE);
  }
  glTexParameteri(target_, GL_TEXTURE_MAX_LEVEL, 0);
}

void Texture::store_rgba8_2d(int width, int height, std::span<const std::uint8_t> rgba, Sampling how) {
  target_ = GL_TEXTURE_2D;
  glBindTexture(target_, id());
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glTexImage2D(target_, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, data_or_null(rgba));
  sampling(how);
}

void Texture::store_r32f_2d(int width, int height, std::span<const float> values, Sampling how) {
  target_ = GL_TEXTURE_2D;
  glBindTexture(target_, id());
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glTexImage2D(target_, 0, GL_R32F, width, height, 0, GL_RED, GL_FLOAT, data_or_null(values));
  sampling(how);
}

void Texture::store_rg32f_row(int width, std::span<const float> pairs, Sampling how) {
  target_ = GL_TEXTURE_2D;
  glBindTexture(target_, id());
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glTexImage2D(target_, 0, GL_RG32F, width, 1, 0, GL_RG, GL_FLOAT, data_or_null(pairs));
  sampling(how);
}

void Texture::store_r32f_3d(int width, int height, int depth, std::span<const float> values, Sampling how) {
  const std::array<int, 3> size{width, height, depth};
  const bool same = target_ == GL_TEXTURE_3D && size_ == size;
  target_ = GL_TEXTURE_3D;
  glBindTexture(target_, id());
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  if (same) {
    glTexSubImage3D(target_, 0, 0, 0, 0, width, height, depth, GL_RED, GL_FLOAT, data_or_null(values));
    return;
  }
  size_ = size;
  glTexImage3D(target_, 0, GL_R32F, width, height, depth, 0, GL_RED, GL_FLOAT, data_or_null(values));
  sampling(how);
}

void Texture::bind(int unit) const {
  glActiveTexture(static_cast<GLenum>(GL_TEXTURE0 + unit));
  glBindTexture(target_, id());
}

}  // namespace warmbay::render::gl
