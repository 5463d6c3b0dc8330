#pragma once
// The heat's kernels (shaders/heat), compiled for one grid.

#include <filesystem>
#include <initializer_list>
#include <memory>
#include <string>

#include "render/gl/compute_program.hpp"
#include "render/gl/storage.hpp"
#include "sim/layout.hpp"

namespace warmbay::render::card {

struct Kernels {
  /// nullptr on failure, with one line in `error`. Needs a current context of OpenGL 4.3.
  [[nodiscard]] static std::unique_ptr<Kernels> load(const std::filesystem::path& shaders, const sim::Layout& layout,
                                                     std::string& error);

  gl::ComputeProgram flow, links, sweep_x, sweep_y, sweep_z;
  gl::ComputeProgram copper_links, copper, copper_sheath;
  gl::ComputeProgram air_nodes, air_flow, air_step, air_slab;
  gl::ComputeProgram resistivity, faces, axial, runs, surfaces, surface_sum;
  gl::ComputeProgram gather_field, gather_films, scatter, share, copy, judge;
  gl::ComputeProgram damage, look, put_cells, find_going, see_cells;

 private:
  explicit Kernels(const std::filesystem::path& folder);
  void lay_out(const sim::Layout& layout);
  template <class Use>
  void each(const Use& use);
};

/// Binds the buffers to places 0, 1, ... and runs so many groups; what follows sees what it has written.
void run(const gl::ComputeProgram& kernel, std::initializer_list<const gl::Storage*> buffers, std::size_t groups_x,
         std::size_t groups_y = 1, std::size_t groups_z = 1);

/// Copies so many words from the beginning of one buffer to that of another.
void copy(const Kernels& kernels, const gl::Storage& from, const gl::Storage& to, std::size_t words);

/// Groups of `size` that cover `count`.
[[nodiscard]] inline std::size_t groups(std::size_t count, std::size_t size) {
  return (count + size - 1) / size;
}

}  // namespace warmbay::render::card
