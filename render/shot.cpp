// Pictures without a window.

#include "render/shot.hpp"

#include <fmt/format.h>
#include <stb/stb_image_write.h>

#include "render/gl/framebuffer.hpp"
#include "scenes/output/write_file.hpp"

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
  if (png.empty()) return fmt::format("{}: the picture could not be encoded", file.string());
  const auto fault = scenes::write_file(file, png);
  return fault ? scenes::to_line(*fault) : std::string{};
}

std::string shoot(const std::filesystem::path& file, const ShotSize& size, const std::function<void()>& draw) {
  std::string error;
  const Picture picture = draw_picture(size, draw, error);
  return error.empty() ? write_png(picture, file) : error;
}

}  // namespace warmbay::render
