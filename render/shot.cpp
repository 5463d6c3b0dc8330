// Pictures without a window.

#include "render/shot.hpp"

#include <fmt/format.h>
#include <stb/stb_image_write.h>

#include <fstream>
#include <system_error>

#include "render/gl/framebuffer.hpp"

namespace warmbay::render {

Picture draw_picture(const ShotSize& size, const std::function<void()>& draw, std::string& error) {
  const gl::Framebuffer frame(size.width_px, size.height_px, size.samples);
  if (!frame.complete()) {
    error = fmt::format("OpenGL gives no picture of {} x {} pixels", size.width_px, size.height_px);
    return {};
  }
  frame.bind();
  draw();
  Picture picture{frame.width_px(), frame.height_px(), frame.read_rgba8()};
  for (std::size_t i = 3; i < picture.rgba.size(); i += 4) picture.rgba[i] = 255;
  return picture;
}

std::string write_png(const Picture& picture, const std::filesystem::path& file) {
  if (picture.rgba.empty()) return fmt::format("{}: there is no picture to write", file.string());
  // Encoded in memory first: stb's own file writing does not notice a full disk.
  std::string png;
  const auto append = [](void* to, void* bytes, int count) {
    static_cast<std::string*>(to)->append(static_cast<const char*>(bytes), static_cast<std::size_t>(count));
  };
  stbi_write_png_to_func(append, &png, picture.width_px, picture.height_px, 4, picture.rgba.data(),
                         picture.width_px * 4);
  std::filesystem::path beside = file;
  beside += ".part";
  std::ofstream out(beside, std::ios::binary);
  out.write(png.data(), static_cast<std::streamsize>(png.size()));
  out.close();
  const bool written = out.good() && !png.empty();
  std::error_code failed;
  if (written) std::filesystem::rename(beside, file, failed);
  if (written && !failed) return {};
  std::error_code ignored;
  std::filesystem::remove(beside, ignored);
  return fmt::format("{}: the picture could not be written{}", file.string(), failed ? ": " + failed.message() : "");
}

std::string shoot(const std::filesystem::path& file, const ShotSize& size, const std::function<void()>& draw) {
  std::string error;
  const Picture picture = draw_picture(size, draw, error);
  return error.empty() ? write_png(picture, file) : error;
}

}  // namespace warmbay::render
