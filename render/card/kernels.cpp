// Compiling and running the heat's kernels.

#include "render/card/kernels.hpp"

#include <glad/gl.h>

#include <algorithm>

#include "render/card/card_constants.hpp"

namespace warmbay::render::card {
namespace {

using Path = std::filesystem::path;

gl::ComputeProgram kernel(const Path& folder, std::initializer_list<const char*> files) {
  static const std::string constants = card_constants();
  std::vector<Path> paths{folder / "common.glsl"};
  for (const char* file : files) paths.push_back(folder / file);
  return gl::ComputeProgram(paths, constants);
}

}  // namespace

Kernels::Kernels(const Path& folder)
    : flow(kernel(folder, {"flow.comp"})),
      links(kernel(folder, {"links.comp"})),
      sweep_x(kernel(folder, {"sweep_x.comp"})),
      sweep_y(kernel(folder, {"sweep_line.comp"})),
      sweep_z(kernel(folder, {"sweep_line.comp"})),
      copper_links(kernel(folder, {"copper_types.glsl", "copper_links.comp"})),
      copper(kernel(folder, {"copper_types.glsl", "copper.comp"})),
      copper_sheath(kernel(folder, {"copper_types.glsl", "copper_sheath.comp"})),
      air_nodes(kernel(folder, {"slab.glsl", "air_nodes.comp"})),
      air_flow(kernel(folder, {"air_flow.comp"})),
      air_step(kernel(folder, {"slab.glsl", "air_step.comp"})),
      air_slab(kernel(folder, {"tables.glsl", "moving_air.glsl", "slab.glsl", "air_slab.comp"})),
      resistivity(kernel(folder, {"tables.glsl", "resistivity.comp"})),
      faces(kernel(folder, {"faces.comp"})),
      axial(kernel(folder, {"axial.comp"})),
      runs(kernel(folder, {"moving_air.glsl", "runs.comp"})),
      surfaces(kernel(folder, {"tables.glsl", "surface.glsl", "surfaces.comp"})),
      surface_sum(kernel(folder, {"surface.glsl", "surface_sum.comp"})),
      gather_field(kernel(folder, {"gather.comp"})),
      gather_films(kernel(folder, {"gather.comp"})),
      scatter(kernel(folder, {"scatter.comp"})),
      share(kernel(folder, {"share.comp"})),
      copy(kernel(folder, {"copy.comp"})),
      judge(kernel(folder, {"judge.comp"})),
      damage(kernel(folder, {"damage.comp"})),
      look(kernel(folder, {"look.comp"})),
      put_cells(kernel(folder, {"put_cells.comp"})),
      find_going(kernel(folder, {"find_going.comp"})),
      see_cells(kernel(folder, {"see_cells.comp"})) {}

template <class Use>
void Kernels::each(const Use& use) {
  for (const gl::ComputeProgram* one :
       {&flow,      &links,       &sweep_x,      &sweep_y,      &sweep_z,     &copper_links, &copper, &copper_sheath,
        &air_nodes, &air_flow,    &air_step,     &air_slab,     &resistivity, &faces,        &axial,  &runs,
        &surfaces,  &surface_sum, &gather_field, &gather_films, &scatter,     &damage,       &look,   &put_cells,
        &share,     &copy,        &judge,        &find_going,   &see_cells})
    use(*one);
}

std::unique_ptr<Kernels> Kernels::load(const Path& shaders, const sim::Layout& layout, std::string& error) {
  std::unique_ptr<Kernels> kernels(new Kernels(shaders / "heat"));  // NOLINT: the constructor is private
  error.clear();
  kernels->each([&](const gl::ComputeProgram& one) {
    if (error.empty()) error = one.error();
  });
  if (!error.empty()) return nullptr;
  kernels->lay_out(layout);
  return kernels;
}

void Kernels::lay_out(const sim::Layout& layout) {
  const auto row = static_cast<int>(layout.row), plane = static_cast<int>(layout.plane);
  each([&](const gl::ComputeProgram& one) {
    one.set("voxels", glm::ivec3(layout.nx, layout.ny, layout.nz));
    one.set("row", row);
    one.set("plane", plane);
  });
  auto lines = [](const gl::ComputeProgram& sweep, int stride, int count, int across, int lines_across, bool last) {
    sweep.set("stride", stride);
    sweep.set("count", count);
    sweep.set("across", across);
    sweep.set("lines", lines_across);
    sweep.set("last", last ? 1 : 0);
  };
  lines(sweep_y, row, layout.ny, plane, layout.nz, false);
  lines(sweep_z, plane, layout.nz, row, layout.ny, true);
}

void run(const gl::ComputeProgram& kernel, std::initializer_list<const gl::Storage*> buffers, std::size_t groups_x,
         std::size_t groups_y, std::size_t groups_z) {
  if (groups_x == 0 || groups_y == 0 || groups_z == 0) return;
  unsigned place = 0;
  for (const gl::Storage* buffer : buffers) {
    if (buffer) buffer->bind(place);
    ++place;
  }
  kernel.use();
  glDispatchCompute(static_cast<GLuint>(groups_x), static_cast<GLuint>(groups_y), static_cast<GLuint>(groups_z));
  gl::wait_for_kernels();
}

void copy(const Kernels& kernels, const gl::Storage& from, const gl::Storage& to, std::size_t words) {
  constexpr std::size_t most_groups = 4096;
  kernels.copy.set("count", static_cast<int>(words));
  run(kernels.copy, {&from, &to}, std::min(groups(words, 256), most_groups));
}

}  // namespace warmbay::render::card
