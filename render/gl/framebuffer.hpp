#pragma once
// Framebuffers: pictures that are drawn into instead of the window.

#include <cstdint>
#include <vector>

#include "render/gl/handle.hpp"
#include "render/gl/texture.hpp"

namespace warmbay::render::gl {

struct FramebufferKind {
  static unsigned make();
  static void free(unsigned id);
};
struct RenderbufferKind {
  static unsigned make();
  static void free(unsigned id);
};

/// Colour and depth of a fixed size. samples: 0 or 1 for none; as many as the driver has otherwise.
class Framebuffer {
 public:
  Framebuffer(int width_px, int height_px, int samples);

  /// Drawing goes into it from here on; the viewport becomes the whole of it.
  void bind() const;
  /// Copies the (resolved) colour into another framebuffer, its lower left corner at (x_px, y_px). target: its id.
  void copy_to(unsigned target, int x_px, int y_px) const;
  /// The (resolved) colour, r, g, b, a bytes, row by row from the top.
  [[nodiscard]] std::vector<std::uint8_t> read_rgba8() const;

  [[nodiscard]] bool complete() const { return complete_; }
  [[nodiscard]] int width_px() const { return width_px_; }
  [[nodiscard]] int height_px() const { return height_px_; }
  [[nodiscard]] int samples() const { return samples_; }

 private:
  void resolve() const;
  int width_px_;
  int height_px_;
  int samples_;
  bool complete_ = false;
  Handle<FramebufferKind> drawn_;     // multisampled when samples_ > 1
  Handle<FramebufferKind> resolved_;  // only used when samples_ > 1
  Handle<RenderbufferKind> colour_;
  Handle<RenderbufferKind> resolved_colour_;
  Handle<RenderbufferKind> depth_;
};

/// The framebuffer that drawing goes into now.
[[nodiscard]] unsigned bound_framebuffer();

}  // namespace warmbay::render::gl
