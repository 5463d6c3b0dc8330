// Programs of one compute shader.

#include "render/gl/compute_program.hpp"

#include <glad/gl.h>

#include <glm/gtc/type_ptr.hpp>

#include "render/gl/shader.hpp"

namespace warmbay::render::gl {

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
  glProgramUniform1i(handle_.id(), place_of(handle_.id(), name), value);
}
void ComputeProgram::set(const char* name, const glm::ivec3& value) const {
  glProgramUniform3iv(handle_.id(), place_of(handle_.id(), name), 1, glm::value_ptr(value));
}

}  // namespace warmbay::render::gl
