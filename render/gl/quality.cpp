// Quality by the renderer's name. Software: no multisampling, because it costs half as much again there; the drawn
// edges are smoothed in the shader instead.

#include "render/gl/quality.hpp"

#include <glad/gl.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>

namespace warmbay::render::gl {

Quality quality_of(const std::string& renderer_name) {
  std::string lower = renderer_name;
  std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return std::tolower(c); });
  constexpr std::array<std::string_view, 5> software{"llvmpipe", "softpipe", "swrast", "swr", "software"};
  const bool found = std::any_of(software.begin(), software.end(),
                                 [&](std::string_view name) { return lower.find(name) != std::string::npos; });
  return found ? Quality{Tier::software, 0} : Quality{Tier::card, 4};
}

namespace {

std::string text_of(GLenum what) {
  const auto* text = reinterpret_cast<const char*>(glGetString(what));  // NOLINT: OpenGL's strings are unsigned char
  return text == nullptr ? "?" : text;
}

}  // namespace

Quality current_quality() {
  return quality_of(text_of(GL_RENDERER));
}

std::string describe_gl() {
  return "OpenGL " + text_of(GL_VERSION) + ", " + text_of(GL_RENDERER);
}

}  // namespace warmbay::render::gl
