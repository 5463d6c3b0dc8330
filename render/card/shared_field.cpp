// Textures between two contexts, and the fences between their commands.

#include "render/card/shared_field.hpp"

#include <glad/gl.h>

#include <utility>

namespace warmbay::render::card {
namespace {

constexpr GLuint64 longest_wait_ns = 1'000'000'000;  // a card that takes longer for a frame is lost

void wait_and_delete(void* fence) {
  if (fence == nullptr) return;
  const auto sync = static_cast<GLsync>(fence);
  // On the host, not in the card's queue: it is as good as always passed already, and a software renderer's queue need
  // not know of fences.
  glClientWaitSync(sync, 0, longest_wait_ns);
  glDeleteSync(sync);
}

unsigned make_texture(const std::array<int, 3>& size) {
  GLuint id = 0;
  glGenTextures(1, &id);
  glBindTexture(GL_TEXTURE_3D, id);
  glTexStorage3D(GL_TEXTURE_3D, 1, GL_R32F, size[0], size[1], size[2]);
  for (const GLenum filter : {GL_TEXTURE_MAG_FILTER, GL_TEXTURE_MIN_FILTER})
    glTexParameteri(GL_TEXTURE_3D, filter, GL_LINEAR);
  for (const GLenum wrap : {GL_TEXTURE_WRAP_S, GL_TEXTURE_WRAP_T, GL_TEXTURE_WRAP_R})
    glTexParameteri(GL_TEXTURE_3D, wrap, GL_CLAMP_TO_EDGE);
  return id;
}

}  // namespace

SharedField::~SharedField() {
  pool_->give_back({size_, texture_, read_});
}

/// The flush lets the other context see the fence.
void SharedField::drawn() const {
  if (read_ != nullptr) glDeleteSync(static_cast<GLsync>(read_));
  read_ = glFenceSync(GL_SYNC_GPU_COMMANDS_COMPLETE, 0);
  glFlush();
}

void FieldPool::give_back(const Spare& spare) {
  const std::lock_guard lock(mutex_);
  spares_.push_back(spare);
}

std::shared_ptr<const SharedField> FieldPool::take(const std::array<int, 3>& size) {
  std::vector<Spare> spares;
  {
    const std::lock_guard lock(mutex_);
    spares.swap(spares_);
  }
  unsigned texture = 0;
  std::vector<Spare> kept;
  for (const Spare& spare : spares) {
    if (spare.size != size) {  // of a wall that is gone
      wait_and_delete(spare.read);
      glDeleteTextures(1, &spare.texture);
    } else if (texture == 0) {
      wait_and_delete(spare.read);
      texture = spare.texture;
    } else {
      kept.push_back(spare);
    }
  }
  {
    const std::lock_guard lock(mutex_);
    spares_.insert(spares_.end(), kept.begin(), kept.end());
  }
  if (texture == 0) texture = make_texture(size);
  return std::make_shared<const SharedField>(shared_from_this(), size, texture);
}

}  // namespace warmbay::render::card
