#pragma once
// Where a card's kernels run: an OpenGL context that one thread at a time has.

#include <memory>
#include <string>

#include "render/gl/headless_gl.hpp"

namespace warmbay::render::card {

class Context {
 public:
  Context() = default;
  virtual ~Context() = default;
  Context(const Context&) = delete;
  Context& operator=(const Context&) = delete;
  /// Makes it current on the calling thread; cheap when it is.
  virtual void enter() = 0;
  /// Lets another thread have it.
  virtual void leave() = 0;
};

/// One without a display (EGL).
class HeadlessContext : public Context {
 public:
  explicit HeadlessContext(std::unique_ptr<gl::HeadlessGl> gl) : gl_(std::move(gl)) {}
  void enter() override { gl_->enter(); }
  void leave() override { gl_->leave(); }

 private:
  std::unique_ptr<gl::HeadlessGl> gl_;
};

}  // namespace warmbay::render::card
