// Setting up the voxels' buffers, and the passes over them. The structures mirror shaders/heat/axial.comp and
// surface.glsl.

#include "render/card/field_on_card.hpp"

#include <glad/gl.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numeric>

#include "render/card/card_constants.hpp"

namespace warmbay::render::card {
namespace {

struct Axial {
  int face, axis;
  float area_m2, sheath_resistance_m2k_w, other_half_m;
  int other;
};
struct Surface {
  int solid, outside, face, axis, film;
  float area_m2, half_m;
  int unused;
};
constexpr int chunk_size = 2048;
constexpr GLuint64 longest_wait_ns = 1'000'000'000;  // a card that takes longer for a copy is lost

float finite(float x) {
  return std::isinf(x) ? endless : x;
}

}  // namespace

FieldOnCard::FieldOnCard(const sim::Conduction& wall, const Kernels& kernels) : layout_(wall.layout()) {
  const std::size_t bytes = layout_.size * sizeof(float);
  for (gl::Storage* field : {&rise, &change, &swept, &upper_, &faces_[0], &faces_[1], &faces_[2]}) {
    field->allocate(bytes);
    field->fill(0, 0, layout_.size);
  }
  resistivity_.store(std::vector<float>(layout_.size, endless));
  capacity.allocate(bytes);
  codes.allocate(bytes);
  take_tables(wall, kernels);
  take_surfaces(wall, kernels);
  take_air(wall, kernels);
}

void FieldOnCard::take_tables(const sim::Conduction& wall, const Kernels& kernels) {
  std::vector<float> tables;
  for (const float r : wall.tables().half_resistivities()) tables.push_back(finite(r));
  const int sheath_from = static_cast<int>(tables.size());
  for (std::size_t code = 0; code < wall.tables().codes(); ++code) {
    sim::Axis along{};
    tables.push_back(static_cast<float>(wall.tables().sheath_axial_w_mk(code, along)));
    tables.push_back(static_cast<float>(index_of(along)));
  }
  film_from_ = tables.size();
  tables.resize(tables.size() + wall.film_tables().size() * sim::FilmTable::entries, 8.0F);
  tables_.store(tables);
  for (const gl::ComputeProgram* kernel : {&kernels.air_slab, &kernels.resistivity, &kernels.surfaces}) {
    kernel->set("sheath_from", sheath_from);
    kernel->set("film_from", static_cast<int>(film_from_));
  }
  std::vector<float> widths;
  for (const sim::Axis axis : {sim::Axis::x, sim::Axis::y, sim::Axis::z})
    widths.insert(widths.end(), wall.padded_widths_m(axis).begin(), wall.padded_widths_m(axis).end());
  widths_.store(widths);
  std::vector<Axial> axial;
  for (const sim::AxialFace& face : wall.axial_faces())
    axial.push_back({static_cast<int>(face.face), index_of(face.axis), face.area_m2, face.sheath_resistance_m2k_w,
                     face.other_half_m, static_cast<int>(face.other)});
  axial_count_ = axial.size();
  axial_.store(axial);
  kernels.axial.set("count", static_cast<int>(axial_count_));
}

void FieldOnCard::take_surfaces(const sim::Conduction& wall, const Kernels& kernels) {
  const std::vector<sim::SurfaceFace>& faces = wall.surfaces();
  host_surface_.resize(faces.size());
  std::iota(host_surface_.begin(), host_surface_.end(), 0);
  std::stable_sort(host_surface_.begin(), host_surface_.end(),
                   [&](int a, int b) { return faces[a].surroundings < faces[b].surroundings; });
  place_of_.resize(faces.size());
  area_m2_.assign(wall.wall().surroundings.size(), 0.0);
  std::vector<Surface> surfaces;
  std::vector<float> films_now;
  std::vector<std::array<int, 2>> chunks;
  for (const int n : host_surface_) {
    const sim::SurfaceFace& face = faces[n];
    const int here = static_cast<int>(surfaces.size());
    place_of_[n] = here;
    area_m2_[face.surroundings] += face.area_m2;
    if (chunks.empty() || chunk_surroundings_.back() != face.surroundings || here - chunks.back()[0] == chunk_size) {
      chunks.push_back({here, here});
      chunk_surroundings_.push_back(face.surroundings);
    }
    chunks.back()[1] = here + 1;
    surfaces.push_back({static_cast<int>(face.solid), static_cast<int>(face.outside), static_cast<int>(face.face),
                        index_of(face.axis), face.film, face.area_m2, face.half_m, 0});
    films_now.push_back(finite(face.film_w_m2k));
  }
  surfaces_.store(surfaces);
  films.store(films_now);
  chunks_.store(chunks);
  kernels.surfaces.set("count", static_cast<int>(surfaces.size()));
}

void FieldOnCard::put(const sim::Conduction& wall, const sim::HeatState& heat,
                      const std::vector<std::uint32_t>& code_flags) {
  rise.put<float>(0, heat.rise_k);
  if (heat.change_k.size() == layout_.size)
    change.put<float>(0, heat.change_k);
  else
    change.fill(0, 0, layout_.size);
  capacity.put<float>(0, wall.capacity());
  std::vector<std::uint32_t> flagged(wall.codes_field().begin(), wall.codes_field().end());
  for (std::size_t v = 0; v < code_flags.size(); ++v) flagged[v] |= code_flags[v];
  codes.put<std::uint32_t>(0, flagged);
  std::vector<float> tables;
  for (const sim::FilmTable& table : wall.film_tables())
    tables.insert(tables.end(), table.films_w_m2k().begin(), table.films_w_m2k().end());
  tables_.put<float>(film_from_, tables);
}

void FieldOnCard::refresh(const Kernels& kernels) const {
  const auto nx = static_cast<std::size_t>(layout_.nx), ny = static_cast<std::size_t>(layout_.ny),
             nz = static_cast<std::size_t>(layout_.nz);
  const auto& [gx, gy, gz] = faces_;
  kernels.resistivity.use();
  tables_.bind(7);
  run(kernels.resistivity, {&rise, &codes, &resistivity_}, groups(nx, 32), groups(ny, 4), nz);
  run(kernels.faces, {&resistivity_, &widths_, &gx, &gy, &gz}, groups(nx + 1, 32), groups(ny + 1, 4), nz + 1);
  run(kernels.axial, {&resistivity_, &axial_, &gx, &gy, &gz}, groups(axial_count_, 64));
  air.refresh(kernels, air_field());
  run(kernels.surfaces, {&rise, &codes, &surfaces_, &films, &gx, &gy, &gz, &tables_}, groups(host_surface_.size(), 64));
}

void FieldOnCard::flow(const Kernels& kernels) const {
  run(kernels.flow, {&rise, &faces_[0], &faces_[1], &faces_[2], &change, &capacity, &swept, &widths_},
      groups(static_cast<std::size_t>(layout_.nx), 32), groups(static_cast<std::size_t>(layout_.ny), 4),
      static_cast<std::size_t>(layout_.nz));
}

void FieldOnCard::sweep(const Kernels& kernels, const gl::Storage& result) const {
  const auto nx = static_cast<std::size_t>(layout_.nx), ny = static_cast<std::size_t>(layout_.ny),
             nz = static_cast<std::size_t>(layout_.nz);
  run(kernels.sweep_x, {&faces_[0], &swept, &change, &upper_}, groups(ny * nz, 32));
  run(kernels.sweep_y, {&faces_[1], &swept, &change, &upper_, &rise, &result}, groups(nx, 32), groups(nz, 2));
  run(kernels.sweep_z, {&faces_[2], &swept, &change, &upper_, &rise, &result}, groups(nx, 32), groups(ny, 2));
}

void FieldOnCard::share(const Kernels& kernels, unsigned texture) const {
  glBindImageTexture(0, texture, 0, GL_TRUE, 0, GL_WRITE_ONLY, GL_R32F);
  run(kernels.share, {&rise, &codes}, groups(static_cast<std::size_t>(layout_.nx), 32),
      groups(static_cast<std::size_t>(layout_.ny), 4), static_cast<std::size_t>(layout_.nz));
  glMemoryBarrier(GL_TEXTURE_FETCH_BARRIER_BIT | GL_SHADER_IMAGE_ACCESS_BARRIER_BIT);
  // Another context may only count on what is complete. It takes the card less than a step does.
  const GLsync written = glFenceSync(GL_SYNC_GPU_COMMANDS_COMPLETE, 0);
  glClientWaitSync(written, GL_SYNC_FLUSH_COMMANDS_BIT, longest_wait_ns);
  glDeleteSync(written);
}

sim::ConductanceState FieldOnCard::save(const sim::Conduction& wall) const {
  sim::ConductanceState state;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    state.voxel_faces[axis].resize(layout_.size);
    faces_[axis].fetch(state.voxel_faces[axis]);
  }
  state.half_resistivity.resize(layout_.size);
  resistivity_.fetch(state.half_resistivity);
  state.air_couplings = air.save();
  std::vector<float> here(host_surface_.size());
  films.fetch(here);
  for (std::size_t n = 0; n < here.size(); ++n) {
    const sim::SurfaceFace& face = wall.surfaces()[n];
    state.surface_films.push_back(here[static_cast<std::size_t>(place_of_[n])]);
    state.surface_faces.push_back(state.voxel_faces[static_cast<std::size_t>(face.axis)][face.face]);
  }
  return state;
}

void FieldOnCard::restore(const sim::ConductanceState& state, const Kernels& kernels) const {
  std::vector<float> here(host_surface_.size());
  for (std::size_t n = 0; n < here.size(); ++n)
    here[static_cast<std::size_t>(place_of_[n])] = finite(state.surface_films[n]);
  films.put<float>(0, here);
  if (state.voxel_faces[0].empty()) return refresh(kernels);  // nothing in them depends on what has been
  for (std::size_t axis = 0; axis < 3; ++axis) faces_[axis].put<float>(0, state.voxel_faces[axis]);
  resistivity_.put<float>(0, state.half_resistivity);
  air.restore(state.air_couplings);
}

void FieldOnCard::sum_surfaces(const Kernels& kernels, const gl::Storage& result, std::size_t result_from) const {
  kernels.surface_sum.set("result_from", static_cast<int>(result_from));
  run(kernels.surface_sum, {&rise, &surfaces_, &films, &faces_[0], &faces_[1], &faces_[2], &chunks_, &result},
      chunks());
}

std::vector<sim::SurroundingsReading> FieldOnCard::read_surfaces(const sim::Conduction& wall,
                                                                 const std::uint32_t* words) const {
  std::vector<sim::SurroundingsReading> readings(area_m2_.size());
  std::vector<char> met(area_m2_.size(), 0);
  for (std::size_t c = 0; c < chunks(); ++c, words += 4) {
    const auto s = static_cast<std::size_t>(chunk_surroundings_[c]);
    double heat_w = 0.0;
    float low = 0.0F, high = 0.0F;
    std::memcpy(&heat_w, words, sizeof heat_w);
    std::memcpy(&low, words + 2, sizeof low);
    std::memcpy(&high, words + 3, sizeof high);
    sim::SurroundingsReading& of = readings[s];
    of.heat_w += heat_w;
    of.coldest_surface_k = met[s] ? std::min(of.coldest_surface_k, sim::datum_k + low) : sim::datum_k + low;
    of.hottest_surface_k = met[s] ? std::max(of.hottest_surface_k, sim::datum_k + high) : sim::datum_k + high;
    met[s] = 1;
  }
  for (std::size_t s = 0; s < readings.size(); ++s) {
    readings[s].area_m2 = area_m2_[s];
    if (!met[s]) readings[s].hottest_surface_k = readings[s].coldest_surface_k = wall.surroundings_k()[s];
  }
  return readings;
}

}  // namespace warmbay::render::card
