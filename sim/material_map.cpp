// Reads a wall's voxels and outer faces into codes and surroundings.

#include "sim/material_map.hpp"

#include <algorithm>
#include <cassert>

namespace warmbay::sim {

MaterialMap::MaterialMap(std::shared_ptr<const Wall> wall)
    : wall_(std::move(wall)), layout_(wall_->grid), copper_(lay_out_copper(*wall_, layout_)), tables_(*wall_, copper_) {
  assert(wall_->voxels.size() == wall_->grid.count());
  paint();
  find_outside();
}

void MaterialMap::paint() {
  code_.assign(layout_.size, 0);
  outside_.assign(layout_.size, -1);
  for (int k = 0; k < layout_.nz; ++k)
    for (int j = 0; j < layout_.ny; ++j)
      for (int i = 0; i < layout_.nx; ++i) {
        const Voxel voxel = wall_->voxels[wall_->grid.at(i, j, k)];
        if (voxel.outside)
          outside_[layout_.at(i, j, k)] = static_cast<std::int16_t>(voxel.index);
        else
          set_code(layout_.at(i, j, k), tables_.code_of(voxel.index, 0));
      }
  for (const SheathVoxel& sheath : copper_.sheath)
    set_code(sheath.voxel, tables_.sheath_code(sheath.cable, sheath.along));
}

/// The ghosts at the outer faces.
void MaterialMap::find_outside() {
  const std::array<int, 3> n{layout_.nx, layout_.ny, layout_.nz};
  for (int side = 0; side < 6; ++side) {
    const int normal = side / 2, a = (normal + 1) % 3, b = (normal + 2) % 3;
    for (int p = 0; p < n[a]; ++p)
      for (int q = 0; q < n[b]; ++q) {
        std::array<int, 3> ijk{};
        ijk[normal] = side % 2 == 0 ? -1 : n[normal];
        ijk[a] = p;
        ijk[b] = q;
        outside_[layout_.at(ijk[0], ijk[1], ijk[2])] = static_cast<std::int16_t>(wall_->faces[side]);
      }
  }
}

int MaterialMap::painted_code(std::size_t voxel) const {
  if (tables_.is_sheath(code_[voxel])) return code_[voxel];  // damage leaves a sheath its code
  const std::array<int, 3> ijk = layout_.place(voxel);
  return tables_.code_of(wall_->voxels[grid().at(ijk[0], ijk[1], ijk[2])].index, 0);
}

const SheathVoxel* MaterialMap::sheath_of(std::size_t voxel) const {
  if (!tables_.is_sheath(code_[voxel])) return nullptr;
  const auto found = std::lower_bound(copper_.sheath.begin(), copper_.sheath.end(), voxel,
                                      [](const SheathVoxel& sheath, std::size_t v) { return sheath.voxel < v; });
  return &*found;
}

double MaterialMap::volume_m3(std::size_t voxel) const {
  const std::array<int, 3> ijk = layout_.place(voxel);
  return grid().width_m(Axis::x, ijk[0]) * grid().width_m(Axis::y, ijk[1]) * grid().width_m(Axis::z, ijk[2]);
}

bool MaterialMap::conductivity_varies() const {
  return tables_.any_levels() ||
         std::any_of(code_.begin(), code_.end(), [&](std::uint16_t code) { return tables_.varies(code); });
}

}  // namespace warmbay::sim
