// Framebuffers of renderbuffers: they are copied and read, never sampled.

#include "render/gl/framebuffer.hpp"

#include <glad/gl.h>

#include <algorithm>
#include <cstddef>

namespace warmbay::render::gl {

unsigned FramebufferKind::make() {
  GLuint id = 0;
  glGenFramebuffers(1, &id);
  return id;
}

void FramebufferKind::free(unsigned id) {
  const GLuint name = id;
  glDeleteFramebuffers(1, &name);
}

unsigned RenderbufferKind::make() {
  GLuint id = 0;
  glGenRenderbuffers(1, &id);
  return id;
}

void RenderbufferKind::free(unsigned id) {
  const GLuint name = id;
  glDeleteRenderbuffers(1, &name);
}

unsigned bound_framebuffer() {
  GLint bound = 0;
  glGetIntegerv(GL_DRAW_FRAMEBUFFER_BINDING, &bound);
  return static_cast<unsigned>(bound);
}

namespace {

int offered_samples(int wanted) {
  GLint most = 0;
  glGetIntegerv(GL_MAX_SAMPLES, &most);
  return wanted < 2 ? 0 : std::min(wanted, static_cast<int>(most));
}

void reserve(unsigned renderbuffer, int samples, GLenum format, int width_px, int height_px, GLenum attachment) {
  glBindRenderbuffer(GL_RENDERBUFFER, renderbuffer);
  glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, format, width_px, height_px);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, attachment, GL_RENDERBUFFER, renderbuffer);
}

}  // namespace

Framebuffer::Framebuffer(int width_px, int height_px, int samples)
    : width_px_(std::max(1, width_px)), height_px_(std::max(1, height_px)), samples_(offered_samples(samples)) {
  const unsigned before = bound_framebuffer();
  glBindFramebuffer(GL_FRAMEBUFFER, drawn_.id());
  reserve(colour_.id(), samples_, GL_RGBA8, width_px_, height_px_, GL_COLOR_ATTACHMENT0);
  reserve(depth_.id(), samples_, GL_DEPTH_COMPONENT24, width_px_, height_px_, GL_DEPTH_ATTACHMENT);
  complete_ = glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
  if (samples_ > 1) {
    glBindFramebuffer(GL_FRAMEBUFFER, resolved_.id());
    reserve(resolved_colour_.id(), 0, GL_RGBA8, width_px_, height_px_, GL_COLOR_ATTACHMENT0);
    complete_ = complete_ && glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
  }
  glBindFramebuffer(GL_FRAMEBUFFER, before);
}

void Framebuffer::bind() const {
  glBindFramebuffer(GL_FRAMEBUFFER, drawn_.id());
  glViewport(0, 0, width_px_, height_px_);
}

void Framebuffer::resolve() const {
  if (samples_ < 2) return;
  glBindFramebuffer(GL_READ_FRAMEBUFFER, drawn_.id());
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, resolved_.id());
  glBlitFramebuffer(0, 0, width_px_, height_px_, 0, 0, width_px_, height_px_, GL_COLOR_BUFFER_BIT, GL_NEAREST);
}

void Framebuffer::copy_to(unsigned target, int x_px, int y_px) const {
  resolve();
  glBindFramebuffer(GL_READ_FRAMEBUFFER, samples_ > 1 ? resolved_.id() : drawn_.id());
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, target);
  glBlitFramebuffer(0, 0, width_px_, height_px_, x_px, y_px, x_px + width_px_, y_px + height_px_, GL_COLOR_BUFFER_BIT,
                    GL_NEAREST);
  glBindFramebuffer(GL_FRAMEBUFFER, target);
}

std::vector<std::uint8_t> Framebuffer::read_rgba8() const {
  const unsigned before = bound_framebuffer();
  resolve();
  glBindFramebuffer(GL_READ_FRAMEBUFFER, samples_ > 1 ? resolved_.id() : drawn_.id());
  const std::size_t row = static_cast<std::size_t>(width_px_) * 4;
  std::vector<std::uint8_t> rows(row * static_cast<std::size_t>(height_px_));
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, width_px_, height_px_, GL_RGBA, GL_UNSIGNED_BYTE, rows.data());
  for (std::size_t top = 0, bottom = static_cast<std::size_t>(height_px_) - 1; top < bottom; ++top, --bottom) {
    std::swap_ranges(rows.begin() + static_cast<std::ptrdiff_t>(top * row),
                     rows.begin() + static_cast<std::ptrdiff_t>((top + 1) * row),
                     rows.begin() + static_cast<std::ptrdiff_t>(bottom * row));
  }
  glBindFramebuffer(GL_FRAMEBUFFER, before);
  return rows;
}

}  // namespace warmbay::render::gl
