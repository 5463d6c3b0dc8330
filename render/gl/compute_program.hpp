#pragma once
// Programs of one compute shader: what a graphics card works the heat out with.

#include <filesystem>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "render/gl/program.hpp"

namespace warmbay::render::gl {

/// A compute shader, read from files as one text in that order. Not read again while it runs: its results would change
/// under the reader's hands.
class ComputeProgram {
 public:
  /// generated: GLSL that stands right after the first line, #version, of the first file.
  explicit ComputeProgram(const std::vector<std::filesystem::path>& files, const std::string& generated = {});
  /// Why it failed, as "FILE:LINE: text"; empty when it did not.
  [[nodiscard]] const std::string& error() const { return error_; }

  void use() const;
  /// Sets a uniform, whichever program is in use; one that the shader does not have is left alone.
  void set(const char* name, int value) const;
  void set(const char* name, const glm::ivec3& value) const;

 private:
  Handle<ProgramKind> handle_;
  std::string error_;
};

}  // namespace warmbay::render::gl
