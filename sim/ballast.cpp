// Finds the blocks of rows that may be light from what their voxels are made of, never from what has become of them
// (but for voids), so that it makes no difference when it is done.

#include "sim/ballast.hpp"

#include <algorithm>
#include <limits>

#include "sim/limits.hpp"

namespace warmbay::sim {

Ballast::Ballast(const Conduction& wall, Crew& crew)
    : wall_(wall), crew_(crew), blocks_((wall.layout().ny + block_rows - 1) / block_rows) {
  const PropertyTables& tables = wall.tables();
  constexpr float endless = std::numeric_limits<float>::infinity();
  code_quickness_s_m2_.assign(tables.codes(), endless);
  std::vector<float> quickest_of_material(wall.wall().materials.size(), endless);  // whatever heat makes of it
  for (std::size_t code = 1; code < tables.codes(); ++code) {
    const float* const halves = &tables.half_resistivities()[code * resistivity_table::entries];
    Axis along = Axis::x;
    const double best_w_mk = std::max(0.5 / *std::min_element(halves, halves + resistivity_table::entries),
                                      tables.sheath_axial_w_mk(code, along));
    const double capacity_j_m3k = tables.sound_j_m3k(code);
    float& quickness = code_quickness_s_m2_[code];
    if (tables.is_air(code))
      quickness = 0.0F;  // what moves and radiates in it is not in the tables
    else if (capacity_j_m3k <= limits::ballast_most_j_m3k)
      quickness = static_cast<float>(capacity_j_m3k / (4.0 * best_w_mk));
    if (const int material = tables.material_of(code); material >= 0)
      quickest_of_material[material] = std::min(quickest_of_material[material], quickness);
  }
  for (std::size_t code = 1; code < tables.codes(); ++code)
    if (const int material = tables.material_of(code); material >= 0)
      code_quickness_s_m2_[code] = quickest_of_material[material];
}

/// A voxel's capacity over the most that it can conduct where it conducts least: a face conducts at most as well as the
/// voxel's own half.
void Ballast::find_quickest() {
  const Layout& layout = wall_.layout();
  const auto& dx = wall_.padded_widths_m(Axis::x);
  const auto &dy = wall_.padded_widths_m(Axis::y), &dz = wall_.padded_widths_m(Axis::z);
  quickest_s_.assign(static_cast<std::size_t>(layout.nz) * blocks_, std::numeric_limits<float>::infinity());
  crew_.each(layout.nz, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) {
      float& quickest_s = quickest_s_[static_cast<std::size_t>(k) * blocks_ + j / block_rows];
      const float across_m = std::max(dy[j + 1], dz[k + 1]);
      for (int i = 0; i < layout.nx; ++i) {
        const std::size_t v = layout.at(i, j, k);
        if (!wall_.is_solid(v)) continue;
        const float widest_m = std::max(across_m, dx[i + 1]);
        quickest_s = std::min(quickest_s, code_quickness_s_m2_[wall_.code(v)] * widest_m * widest_m);
      }
    }
  });
}

void Ballast::voids_changed() {
  known_for_s_ = 0.0;
  quickest_s_.clear();
}

void Ballast::voids_grew(const std::vector<std::size_t>& voxels) {
  known_for_s_ = 0.0;
  if (quickest_s_.empty()) return;
  for (const std::size_t voxel : voxels) {
    const auto [i, j, k] = wall_.layout().place(voxel);
    quickest_s_[static_cast<std::size_t>(k) * blocks_ + j / block_rows] = 0.0F;
  }
}

bool Ballast::prepare(double dt_s) {
  if (dt_s <= known_for_s_) return false;
  known_for_s_ = dt_s;
  if (quickest_s_.empty()) find_quickest();
  const auto light_s = static_cast<float>(2.0 * dt_s / limits::ballast_from);  // twice: what is damaged may get lighter
  std::ptrdiff_t size = 0;
  first_.assign(quickest_s_.size(), -1);
  for (std::size_t n = 0; n < first_.size(); ++n) {
    if (!(quickest_s_[n] < light_s)) continue;
    first_[n] = size;
    size += block_rows * wall_.layout().row;
  }
  ballasted_j_k_.assign(static_cast<std::size_t>(size), 1.0F);
  return true;
}

std::ptrdiff_t Ballast::place_of(std::size_t voxel) const {
  const auto [i, j, k] = wall_.layout().place(voxel);
  return carries(j, k) ? static_cast<std::ptrdiff_t>(row_place(block(j, k), j)) + i + 1 : -1;
}

}  // namespace warmbay::sim
