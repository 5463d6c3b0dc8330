#pragma once
// Shaders on their way into a program: reading, compiling, linking, and telling where one is wrong.

#include <filesystem>
#include <string>
#include <vector>

namespace warmbay::render::gl {

/// The language's version that a shader of this build begins with.
#ifdef __EMSCRIPTEN__
inline constexpr const char* shading_language = "#version 300 es";
#else
inline constexpr const char* shading_language = "#version 330 core";
#endif

using ShaderFiles = std::vector<std::filesystem::path>;

/// A shader object; lives only until its program is linked.
class Shader {
 public:
  /// stage: OpenGL's name of it, as GL_VERTEX_SHADER.
  explicit Shader(unsigned stage);
  ~Shader();
  Shader(const Shader&) = delete;
  Shader& operator=(const Shader&) = delete;
  [[nodiscard]] unsigned id() const { return id_; }

 private:
  unsigned id_;
};

/// Compiles files, joined, into `shader`. generated: GLSL to stand after the first file's first line. Empty on success,
/// else one line, "FILE:LINE: text". Drawing shaders are written for OpenGL 3.3; on a page they are compiled for OpenGL
/// ES 3.0, which has all that they use.
[[nodiscard]] std::string compile(const Shader& shader, const ShaderFiles& files, const std::string& generated = {});

/// Links a program whose shaders are attached. files: of what is said when it fails, the last.
[[nodiscard]] std::string link(unsigned program, const ShaderFiles& files);

/// Where a uniform is in a program; -1, which OpenGL passes over: nowhere.
[[nodiscard]] int place_of(unsigned program, const char* uniform);

}  // namespace warmbay::render::gl
