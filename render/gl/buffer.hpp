#pragma once
// Buffers of vertices.

#include <cstddef>
#include <span>

#include "render/gl/handle.hpp"

namespace warmbay::render::gl {

struct BufferKind {
  static unsigned make();
  static void free(unsigned id);
};

class Buffer {
 public:
  /// Replaces the content.
  void store(std::span<const std::byte> bytes);
  void bind() const;
  [[nodiscard]] unsigned id() const { return handle_.id(); }

 private:
  Handle<BufferKind> handle_;
};

}  // namespace warmbay::render::gl
