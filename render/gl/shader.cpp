// Shaders on their way into a program.

#include "render/gl/shader.hpp"

#include <fmt/format.h>
#include <glad/gl.h>

#include <algorithm>
#include <fstream>
#include <optional>
#include <regex>
#include <sstream>
#include <string_view>

namespace warmbay::render::gl {

Shader::Shader(unsigned stage) : id_(glCreateShader(stage)) {}
Shader::~Shader() {
  glDeleteShader(id_);
}

namespace {

std::optional<std::string> read_text(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return std::nullopt;
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

using Files = ShaderFiles;
/// Files that are joined number their lines from 1, 10001, 20001 ...: so a line tells its file.
constexpr std::size_t lines_per_file = 10000;

/// The first complaint of a driver's log as "FILE:LINE: text". Drivers write "0:12(5): error: ...", "0(12) : error
/// C1008: ..." or "ERROR: 0:12: ...": the number of the source text, which not every driver keeps, then the line.
std::string complaint(const Files& files, const std::string& log, bool generated = false) {
  static const std::regex located(R"(^\s*(?:ERROR:\s*)?\d+[:(](\d+)\)?(?:\(\d+\))?\s*:\s*(.*)$)");
  std::istringstream lines(log);
  std::string first;
  for (std::string line; std::getline(lines, line);) {
    while (!line.empty() && (line.back() == '\r' || line.back() == '\0' || line.back() == ' ')) line.pop_back();
    std::smatch found;
    if (std::regex_match(line, found, located)) {
      const std::size_t number = std::stoul(found[1].str());
      std::size_t index = number / lines_per_file;
      const bool in_generated = generated && index == files.size();
      if (index >= files.size() && !in_generated) index = files.size() - 1;
      const std::size_t own_line = number - index * lines_per_file;
      const std::string name = in_generated ? "generated constants" : files[index].string();
      return fmt::format("{}:{}: {}", name, own_line, found[2].str());
    }
    if (first.empty()) first = line;
  }
  return fmt::format("{}: {}", files.back().string(), first.empty() ? "the driver refuses it without a reason" : first);
}

/// The first line says the language. OpenGL ES wants its own, and to be told how precise numbers are.
void speak_dialect([[maybe_unused]] std::string& source) {
#ifdef __EMSCRIPTEN__
  constexpr std::string_view desktop = "#version 330 core\n";
  if (source.starts_with(desktop))
    source.replace(0, desktop.size(),
                   std::string(shading_language) +
                       "\nprecision highp float; precision highp int; precision highp sampler2D; "
                       "precision highp sampler3D;\n#line 2\n");
#endif
}

}  // namespace

std::string compile(const Shader& shader, const Files& files, const std::string& generated) {
  std::string source;
  for (std::size_t i = 0; i < files.size(); ++i) {
    const auto text = read_text(files[i]);
    if (!text) return fmt::format("{}: this shader cannot be read", files[i].string());
    if (i > 0) source += fmt::format("#line {}\n", i * lines_per_file + 1);
    source += *text + "\n";
  }
  if (!generated.empty()) {  // numbered as if it were a further file
    const std::string numbered = fmt::format("#line {}\n{}#line 2\n", files.size() * lines_per_file + 1, generated);
    source.insert(source.find('\n') + 1, numbered);
  }
  speak_dialect(source);
  const char* pointer = source.c_str();
  glShaderSource(shader.id(), 1, &pointer, nullptr);
  glCompileShader(shader.id());
  GLint good = GL_FALSE;
  glGetShaderiv(shader.id(), GL_COMPILE_STATUS, &good);
  if (good == GL_TRUE) return {};
  GLint length = 0;
  glGetShaderiv(shader.id(), GL_INFO_LOG_LENGTH, &length);
  std::string log(static_cast<std::size_t>(std::max(length, 1)), '\0');
  glGetShaderInfoLog(shader.id(), length, nullptr, log.data());
  return complaint(files, log, !generated.empty());
}

std::string link(unsigned program, const Files& files) {
  glLinkProgram(program);
  GLint good = GL_FALSE;
  glGetProgramiv(program, GL_LINK_STATUS, &good);
  if (good == GL_TRUE) return {};
  GLint length = 0;
  glGetProgramiv(program, GL_INFO_LOG_LENGTH, &length);
  std::string log(static_cast<std::size_t>(std::max(length, 1)), '\0');
  glGetProgramInfoLog(program, length, nullptr, log.data());
  return complaint({files.back()}, log);
}

int place_of(unsigned program, const char* uniform) {
  return glGetUniformLocation(program, uniform);
}

}  // namespace warmbay::render::gl
