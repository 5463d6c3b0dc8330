// Uploading. The grid is graded, textures are even: a one-row texture per axis tells where a coordinate lies among the
// voxel centres. 4,096 entries along an axis are finer than a
// pixel at any distance the camera allows.

#include "render/passes/field_textures.hpp"

#include <glad/gl.h>

#include <array>

#include "render/passes/field_sample.hpp"
#include "render/passes/wall_shape.hpp"

namespace warmbay::render {

namespace {

constexpr int place_entries = 4096;

double even_place_m(const std::vector<double>& edges_m, int entry) {
  return edges_m.front() + (edges_m.back() - edges_m.front()) * entry / (place_entries - 1);
}

/// For one axis: the texture coordinate (0..1) of temperatures at even places.
std::vector<float> place_row(const std::vector<double>& edges_m) {
  const auto count = static_cast<double>(edges_m.size() - 1);
  std::vector<float> row(place_entries);
  for (int i = 0; i < place_entries; ++i) {
    const Between centres = between_centres(edges_m, even_place_m(edges_m, i));
    row[static_cast<std::size_t>(i)] = static_cast<float>((centres.lower + centres.share + 0.5) / count);
  }
  return row;
}

glm::vec3 size_of(const sim::Grid& grid) {
  return {static_cast<float>(grid.x_m.back()), static_cast<float>(grid.y_m.back()),
          static_cast<float>(grid.z_m.back())};
}

}  // namespace

void FieldTextures::set_palette(const Palette& palette) {
  std::vector<std::uint8_t> rgba;
  for (const glm::vec3& rgb : palette.entries()) {
    for (int c = 0; c < 3; ++c) rgba.push_back(static_cast<std::uint8_t>(std::lround(255.0F * rgb[c])));
    rgba.push_back(255);
  }
  palette_entries_ = static_cast<int>(palette.entries().size());
  palette_.store_rgba8_2d(palette_entries_, 1, rgba, gl::Sampling::linear);
}

void FieldTextures::store_wall(const sim::Wall& wall) {
  const sim::Grid& grid = wall.grid;
  size_m_ = size_of(grid);
  for (int a = 0; a < 3; ++a) {
    const auto row = place_row(grid.edges_m(static_cast<sim::Axis>(a)));
    places_[static_cast<std::size_t>(a)].store_r32f_2d(place_entries, 1, row, gl::Sampling::nearest);
  }

  filled_.clear();
  sources_.clear();
  for (int k = 0; k < grid.nz(); ++k) {
    for (int j = 0; j < grid.ny(); ++j) {
      for (int i = 0; i < grid.nx(); ++i) {
        if (!wall.voxels[grid.at(i, j, k)].outside) continue;
        const std::size_t first = sources_.size();
        for (int n = 0; n < 27; ++n) {
          const std::array<int, 3> at{i + n % 3 - 1, j + n / 3 % 3 - 1, k + n / 9 - 1};
          if (at[0] < 0 || at[1] < 0 || at[2] < 0 || at[0] >= grid.nx() || at[1] >= grid.ny() || at[2] >= grid.nz())
            continue;
          const std::size_t neighbour = grid.at(at[0], at[1], at[2]);
          if (!wall.voxels[neighbour].outside) sources_.push_back(neighbour);
        }
        if (sources_.size() > first) filled_.push_back({grid.at(i, j, k), first, sources_.size() - first});
      }
    }
  }
}

void FieldTextures::store(const std::shared_ptr<const sim::Snapshot>& snapshot,
                          const std::shared_ptr<const card::SharedField>& field) {
  shared_ = field;
  if (snapshot->wall != wall_) {
    wall_ = snapshot->wall;
    store_wall(*wall_);
  }
  if (shared_) return;
  const sim::Grid& grid = wall_->grid;
  if (filled_.empty()) {
    temperature_.store_r32f_3d(grid.nx(), grid.ny(), grid.nz(), snapshot->temperature_k, gl::Sampling::linear);
    return;
  }
  values_k_ = snapshot->temperature_k;
  for (const Filled& fill : filled_) {
    float sum_k = 0.0F;
    for (std::size_t s = 0; s < fill.count; ++s) sum_k += snapshot->temperature_k[sources_[fill.first + s]];
    values_k_[fill.voxel] = sum_k / static_cast<float>(fill.count);
  }
  temperature_.store_r32f_3d(grid.nx(), grid.ny(), grid.nz(), values_k_, gl::Sampling::linear);
}

void FieldTextures::drawn() const {
  if (shared_) shared_->drawn();
}

void FieldTextures::bind(const gl::Program& program, const TemperatureRange& range) const {
  if (shared_) {
    glActiveTexture(GL_TEXTURE0);
    glBindTexture(GL_TEXTURE_3D, shared_->texture());
  } else {
    temperature_.bind(0);
  }
  for (int a = 0; a < 3; ++a) places_[static_cast<std::size_t>(a)].bind(place_unit(a));
  palette_.bind(4);
  program.set("temperature_k", 0);
  program.set("place_x", place_unit(0));
  program.set("place_y", place_unit(1));
  program.set("place_z", place_unit(2));
  program.set("palette", 4);
  program.set("wall_size_m", size_m_);
  program.set("palette_entries", static_cast<float>(palette_entries_));
  program.set("range_k", glm::vec2(static_cast<float>(range.from_k), static_cast<float>(range.to_k)));
}

void set_plane(const gl::Program& program, sim::Axis normal) {
  auto unit = [](int axis) {
    glm::vec3 along(0.0F);
    along[axis] = 1.0F;
    return along;
  };
  const auto [u, v] = across(normal);
  program.set("axis_n", unit(sim::index_of(normal)));
  program.set("axis_u", unit(u));
  program.set("axis_v", unit(v));
  program.set("place_u", FieldTextures::place_unit(u));
  program.set("place_v", FieldTextures::place_unit(v));
}

}  // namespace warmbay::render
