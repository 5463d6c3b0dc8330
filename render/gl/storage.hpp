#pragma once
// Storage buffers of compute shaders: memory on the card that kernels read and write.

#include <cstddef>
#include <span>
#include <vector>

#include "render/gl/buffer.hpp"

namespace warmbay::render::gl {

class Storage {
 public:
  /// Room for so many bytes, content undefined. Never less than a few: an empty buffer cannot be bound.
  void allocate(std::size_t bytes);
  /// Room for the values, and the values.
  template <class Values>
  void store(const Values& values) {
    store_bytes(std::as_bytes(std::span(values)));
  }
  /// The same for what changes its length often: the buffer never shrinks, and grows to twice of what is wanted.
  template <class Values>
  void store_with_room(const Values& values) {
    const std::span<const std::byte> bytes = std::as_bytes(std::span(values));
    if (bytes.size() > bytes_) allocate(2 * bytes.size());
    put_bytes(0, bytes);
  }
  /// Replaces what begins at an index; the buffer keeps its size.
  template <class T, class Values>
  void put(std::size_t first, const Values& values) const {
    put_bytes(first * sizeof(T), std::as_bytes(std::span(values)));
  }
  /// Waits for the kernels and copies the content from its beginning.
  template <class Values>
  void fetch(Values& values) const {
    fetch_bytes(std::as_writable_bytes(std::span(values)));
  }
  /// Every word of [first, first + count) becomes `word`.
  void fill(unsigned word, std::size_t first, std::size_t count) const;

  void bind(unsigned place) const;
  [[nodiscard]] std::size_t bytes() const { return bytes_; }
  [[nodiscard]] unsigned id() const { return handle_.id(); }

 private:
  void store_bytes(std::span<const std::byte> bytes);
  void put_bytes(std::size_t from, std::span<const std::byte> bytes) const;
  void fetch_bytes(std::span<std::byte> bytes) const;

  Handle<BufferKind> handle_;
  std::size_t bytes_ = 0;
};

/// Kernels that follow see what those before have written.
void wait_for_kernels();

/// Largest storage buffer of the current context, bytes.
[[nodiscard]] std::size_t largest_storage();

}  // namespace warmbay::render::gl
