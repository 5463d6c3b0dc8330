#pragma once
// Owns one OpenGL object. What makes and frees each kind stands in that kind's own file.

#include <utility>

namespace warmbay::render::gl {

/// Kind: a type with `static unsigned make()` and `static void free(unsigned)`. Needs a current context all its life.
template <class Kind>
class Handle {
 public:
  Handle() : id_(Kind::make()) {}
  ~Handle() {
    if (id_ != 0) Kind::free(id_);
  }
  Handle(Handle&& other) noexcept : id_(std::exchange(other.id_, 0U)) {}
  Handle& operator=(Handle&& other) noexcept {
    std::swap(id_, other.id_);
    return *this;
  }
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;

  [[nodiscard]] unsigned id() const { return id_; }

 private:
  unsigned id_ = 0;
};

}  // namespace warmbay::render::gl
