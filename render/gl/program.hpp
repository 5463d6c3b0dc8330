#pragma once
// Shader programs, read from files. A development build reads them again when they change and keeps the last good one.

#include <filesystem>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "render/gl/handle.hpp"

namespace warmbay::render::gl {

struct ProgramKind {
  static unsigned make();
  static void free(unsigned id);
};

class Program {
 public:
  /// Reads, compiles and links a vertex shader and a fragment shader. The fragment shader may be several files, read as
  /// one text in that order (functions that passes share stand in the first, which begins with #version).
  /// On failure ok() is false and error() is one line: "FILE:LINE: text".
  Program(std::filesystem::path vertex_file, std::vector<std::filesystem::path> fragment_files);

  /// In a development build (NDEBUG not defined): reads the files again if one changed. True if a new program is in
  /// use.
  bool refresh();
  /// Reads the files again now; on failure the last good program stays. True on success.
  bool reload();

  [[nodiscard]] bool ok() const { return ok_; }
  /// Why the latest reading failed; empty when it did not.
  [[nodiscard]] const std::string& error() const { return error_; }

  void use() const;
  /// Sets a uniform of the program in use; one that the shader does not have is left alone.
  void set(const char* name, int value) const;
  void set(const char* name, float value) const;
  void set(const char* name, const glm::vec2& value) const;
  void set(const char* name, const glm::vec3& value) const;
  void set(const char* name, const glm::vec4& value) const;
  void set(const char* name, const glm::mat4& value) const;

 private:
  std::filesystem::path vertex_file_;
  std::vector<std::filesystem::path> fragment_files_;
  std::filesystem::file_time_type read_at_{};
  Handle<ProgramKind> handle_;
  bool ok_ = false;
  std::string error_;
};

}  // namespace warmbay::render::gl
