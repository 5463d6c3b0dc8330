#pragma once
// Textures: fields of numbers and colours that shaders read.

#include <array>
#include <cstdint>
#include <span>

#include "render/gl/handle.hpp"

namespace warmbay::render::gl {

struct TextureKind {
  static unsigned make();
  static void free(unsigned id);
};

enum class Sampling { nearest, linear };

/// A texture of two or three dimensions, clamped at its edges; its target is fixed by what is first stored in it.
class Texture {
 public:
  /// w x h texels of r, g, b, a bytes, row by row from the bottom.
  void store_rgba8_2d(int width, int height, std::span<const std::uint8_t> rgba, Sampling sampling);
  /// w x h texels of one float each; `values` empty: storage only.
  void store_r32f_2d(int width, int height, std::span<const float> values, Sampling sampling);
  /// w texels of two floats each, as a texture one texel high (2-D, so that every driver takes it the same way).
  void store_rg32f_row(int width, std::span<const float> pairs, Sampling sampling);
  /// w x h x d floats, x fastest. The same size again only replaces the values.
  void store_r32f_3d(int width, int height, int depth, std::span<const float> values, Sampling sampling);
  void bind(int unit) const;
  [[nodiscard]] unsigned id() const { return handle_.id(); }

 private:
  void sampling(Sampling sampling) const;
  Handle<TextureKind> handle_;
  unsigned target_ = 0;
  std::array<int, 3> size_{};
};

}  // namespace warmbay::render::gl
