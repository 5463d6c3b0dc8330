// Shader programs: reading, compiling, linking, and telling where a shader is wrong.

#include "render/gl/program.hpp"

#include <fmt/format.h>
#include <glad/gl.h>

#include <algorithm>
#include <fstream>
#include <glm/gtc/type_ptr.hpp>
#include <optional>
#include <regex>
#include <sstream>

namespace warmbay::render::gl {

unsigned ProgramKind::make() {
  return glCreateProgram();
}
void ProgramKind::free(unsigned id) {
  glDeleteProgram(id);
}

namespace {

/// A shader object; lives only until its program is linked.
class Shader {
 public:
  explicit Shader(GLenum stage) : id_(glCreateShader(stage)) {}
  ~Shader() { glDeleteShader(id_); }
  Shader(const Shader&) = delete;
  Shader& operator=(const Shader&) = delete;
  [[nodiscard]] GLuint id() const { return id_; }

 private:
  GLuint id_;
};

std::optional<std::string> read_text(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return std::nullopt;
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

using Files = std::vector<std::filesystem::path>;
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

/// Compiles files, joined, into `shader`. generated: GLSL to stand after the first file's first line. Empty on success,
/// else one line.
std::string compile(const Shader& shader, const Files& files, const std::string& generated = {}) {
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

std::string link(GLuint program, const Files& files) {
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

std::filesystem::file_time_type newest(const std::filesystem::path& vertex_file, const Files& fragment_files) {
  std::error_code ignored;
  auto latest = std::filesystem::last_write_time(vertex_file, ignored);
  for (const auto& file : fragment_files) latest = std::max(latest, std::filesystem::last_write_time(file, ignored));
  return latest;
}

}  // namespace

Program::Program(std::filesystem::path vertex_file, std::vector<std::filesystem::path> fragment_files)
    : vertex_file_(std::move(vertex_file)), fragment_files_(std::move(fragment_files)) {
  reload();
}

bool Program::reload() {
  read_at_ = newest(vertex_file_, fragment_files_);
  const Shader vertex(GL_VERTEX_SHADER);
  const Shader fragment(GL_FRAGMENT_SHADER);
  error_ = compile(vertex, {vertex_file_});
  if (error_.empty()) error_ = compile(fragment, fragment_files_);
  if (!error_.empty()) return false;
  Handle<ProgramKind> fresh;
  glAttachShader(fresh.id(), vertex.id());
  glAttachShader(fresh.id(), fragment.id());
  error_ = link(fresh.id(), fragment_files_);
  glDetachShader(fresh.id(), vertex.id());
  glDetachShader(fresh.id(), fragment.id());
  if (!error_.empty()) return false;
  handle_ = std::move(fresh);
  ok_ = true;
  return true;
}

bool Program::refresh() {
#ifdef NDEBUG
  return false;
#else
  return newest(vertex_file_, fragment_files_) != read_at_ && reload();
#endif
}

void Program::use() const {
  glUseProgram(handle_.id());
}

namespace {
GLint place(unsigned program, const char* name) {
  return glGetUniformLocation(program, name);
}
}  // namespace

void Program::set(const char* name, int value) const {
  glUniform1i(place(handle_.id(), name), value);
}
void Program::set(const char* name, float value) const {
  glUniform1f(place(handle_.id(), name), value);
}
void Program::set(const char* name, const glm::vec2& value) const {
  glUniform2fv(place(handle_.id(), name), 1, glm::value_ptr(value));
}
void Program::set(const char* name, const glm::vec3& value) const {
  glUniform3fv(place(handle_.id(), name), 1, glm::value_ptr(value));
}
void Program::set(const char* name, const glm::vec4& value) const {
  glUniform4fv(place(handle_.id(), name), 1, glm::value_ptr(value));
}
void Program::set(const char* name, const glm::mat4& value) const {
  glUniformMatrix4fv(place(handle_.id(), name), 1, GL_FALSE, glm::value_ptr(value));
}

ComputeProgram::ComputeProgram(const std::vector<std::filesystem::path>& files, const std::string& generated) {
  const Shader shader(GL_COMPUTE_SHADER);
  error_ = compile(shader, files, generated);
  if (!error_.empty()) return;
  glAttachShader(handle_.id(), shader.id());
  error_ = link(handle_.id(), files);
  glDetachShader(handle_.id(), shader.id());
}

void ComputeProgram::use() const {
  glUseProgram(handle_.id());
}
void ComputeProgram::set(const char* name, int value) const {
  glProgramUniform1i(handle_.id(), place(handle_.id(), name), value);
}
void ComputeProgram::set(const char* name, const glm::ivec3& value) const {
  glProgramUniform3iv(handle_.id(), place(handle_.id(), name), 1, glm::value_ptr(value));
}

}  // namespace warmbay::render::gl
