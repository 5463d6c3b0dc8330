#pragma once
// How much detail the machine's OpenGL can draw in time.

#include <string>

namespace warmbay::render::gl {

enum class Tier {
  software,  // drawn by the processor (llvmpipe and its like): what costs is pixels and small triangles
  card,      // a graphics card
};

struct Quality {
  Tier tier = Tier::software;
  int samples = 0;  // of the wall's picture, for smooth edges
  friend bool operator==(const Quality&, const Quality&) = default;
};

/// By the name that glGetString(GL_RENDERER) gives.
[[nodiscard]] Quality quality_of(const std::string& renderer_name);
/// Of the current context.
[[nodiscard]] Quality current_quality();
/// "OpenGL 4.5 (Core Profile) Mesa 22.3.6, llvmpipe (LLVM 15.0.6, 256 bits)": for --version and bug reports.
[[nodiscard]] std::string describe_gl();

}  // namespace warmbay::render::gl
