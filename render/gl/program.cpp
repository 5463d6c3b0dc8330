// Programs of a vertex and a fragment shader.

#include "render/gl/program.hpp"

#include <glad/gl.h>

#include <algorithm>
#include <glm/gtc/type_ptr.hpp>

#include "render/gl/shader.hpp"

namespace warmbay::render::gl {

unsigned ProgramKind::make() {
  return glCreateProgram();
}
void ProgramKind::free(unsigned id) {
  glDeleteProgram(id);
}

namespace {

std::filesystem::file_time_type newest(const std::filesystem::path& vertex_file, const ShaderFiles& fragment_files) {
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

void Program::set(const char* name, int value) const {
  glUniform1i(place_of(handle_.id(), name), value);
}
void Program::set(const char* name, float value) const {
  glUniform1f(place_of(handle_.id(), name), value);
}
void Program::set(const char* name, const glm::vec2& value) const {
  glUniform2fv(place_of(handle_.id(), name), 1, glm::value_ptr(value));
}
void Program::set(const char* name, const glm::vec3& value) const {
  glUniform3fv(place_of(handle_.id(), name), 1, glm::value_ptr(value));
}
void Program::set(const char* name, const glm::vec4& value) const {
  glUniform4fv(place_of(handle_.id(), name), 1, glm::value_ptr(value));
}
void Program::set(const char* name, const glm::mat4& value) const {
  glUniformMatrix4fv(place_of(handle_.id(), name), 1, GL_FALSE, glm::value_ptr(value));
}

}  // namespace warmbay::render::gl
