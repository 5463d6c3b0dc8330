#pragma once
// Pictures without a window: whatever can be drawn, as a PNG file.

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace warmbay::render {

struct ShotSize {
  int width_px = 1280;
  int height_px = 720;
  int samples = 4;
};

/// A picture, r, g, b, a bytes, row by row from the top.
struct Picture {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> rgba;  // width_px * height_px * 4; alpha is 255 everywhere
};

/// Calls `draw` with a framebuffer of that size bound and its viewport set (needs a current context, from
/// gl::HeadlessGl or a window), and returns what it drew. An empty picture on failure, with one line in `error`.
[[nodiscard]] Picture draw_picture(const ShotSize& size, const std::function<void()>& draw, std::string& error);

/// Writes a picture as a PNG file, beside its place first and then renamed. Empty on success, else one line.
[[nodiscard]] std::string write_png(const Picture& picture, const std::filesystem::path& file);

/// Both. Empty on success, else one line.
[[nodiscard]] std::string shoot(const std::filesystem::path& file, const ShotSize& size,
                                const std::function<void()>& draw);

}  // namespace warmbay::render
