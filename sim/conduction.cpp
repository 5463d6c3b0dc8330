// Puts conductances and capacities together from what voxels are made of, and keeps those that depend on temperature up
// to date.

#include "sim/conduction.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/bit_cast.hpp"
#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

std::vector<float> padded_widths(const Grid& grid, Axis axis) {
  const int n = static_cast<int>(grid.edges_m(axis).size()) - 1;
  std::vector<float> widths;
  for (int i = -1; i <= n; ++i) widths.push_back(static_cast<float>(grid.width_m(axis, std::clamp(i, 0, n - 1))));
  return widths;
}

}  // namespace

Conduction::Conduction(std::shared_ptr<const Wall> wall, Crew& crew)
    : map_(std::move(wall)),
      crew_(crew),
      layout_(map_.layout()),
      conductivity_varies_(map_.conductivity_varies()),
      surfaces_(map_, crew),
      air_(map_, crew) {
  for (Field& field : conductance_) field.assign(layout_.size, 0.0F);
  half_resistivity_.assign(layout_.size, infinite);
  taken_rise_k_.assign(layout_.size, infinite);
  row_moved_.assign(layout_.rows(), 0);
  row_watched_.assign(layout_.rows(), 0);
  for (const SheathVoxel& sheath : copper().sheath) watch_row_of(sheath.voxel);
  watch_air();
  find_row_reaches();
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    padded_widths_m_[static_cast<std::size_t>(axis)] = padded_widths(map_.grid(), axis);
  set_capacities();
  find_axial_faces();
}

/// How far a row's temperatures may move before any conductivity in it can have changed enough.
void Conduction::find_row_reaches() {
  row_reach_k_.assign(layout_.rows(), infinite);
  for (int k = 0; k < layout_.nz; ++k)
    for (int j = 0; j < layout_.ny; ++j)
      for (int i = 0; i < layout_.nx; ++i) {
        float& reach_k = row_reach_k_[layout_.row_index(j, k)];
        reach_k = std::min(reach_k, tables().reach_k(code(layout_.at(i, j, k))));
      }
}

void Conduction::set_code(std::size_t voxel, int code) {
  if (map_.code(voxel) == code) return;
  map_.set_code(voxel, code);
  taken_rise_k_[voxel] = std::numeric_limits<float>::quiet_NaN();  // further than any reach
  const std::array<int, 3> ijk = layout_.place(voxel);
  float& reach_k = row_reach_k_[layout_.row_index(ijk[1], ijk[2])];
  reach_k = std::min(reach_k, tables().reach_k(static_cast<std::size_t>(code)));
}

void Conduction::set_sound(std::size_t voxel) {
  set_code(voxel, map_.painted_code(voxel));
  set_capacity_j_k(voxel, sound_capacity_j_k(voxel));
}

void Conduction::renew_air() {
  refreshed_ = false;  // what runs of air carried is to be taken out of the faces again
  air_.renew();
  watch_air();
}

void Conduction::grow_air(const std::vector<std::size_t>& voxels) {
  if (air_.grow(voxels)) refreshed_ = false;
  watch_air();
}

void Conduction::watch_air() {
  for (const AirFace& face : air_.faces()) watch_row_of(face.voxel);
}

void Conduction::set_capacities() {
  capacity_.assign(layout_.size, limits::held_capacity_j_k);
  for (int k = 0; k < layout_.nz; ++k)
    for (int j = 0; j < layout_.ny; ++j)
      for (int i = 0; i < layout_.nx; ++i) {
        const std::size_t voxel = layout_.at(i, j, k);
        if (is_solid(voxel)) capacity_[voxel] = static_cast<float>(sound_capacity_j_k(voxel));
      }
}

void Conduction::find_axial_faces() {
  const Grid& grid = map_.grid();
  for (const SheathVoxel& sheath : copper().sheath) {
    const Axis axis = sheath.along;
    const int d = index_of(axis);
    const std::array<int, 3> ijk = layout_.place(sheath.voxel);
    auto half = [&](int n) {
      Axis along{};
      return 0.5 * grid.width_m(axis, n) / tables().sheath_axial_w_mk(code(sheath.voxel), along);
    };
    for (const int direction : {-1, 1}) {
      const int n = ijk[d] + direction;
      if (n < 0 || n >= static_cast<int>(grid.edges_m(axis).size()) - 1) continue;
      const std::size_t other = sheath.voxel + direction * layout_.stride(axis);
      if (!is_solid(other)) continue;
      const std::size_t face = direction > 0 ? sheath.voxel : other;
      const bool alike = code(other) == code(sheath.voxel);
      if (alike && direction < 0) continue;  // its lower neighbour adds this face
      axial_faces_.push_back({face, axis, static_cast<float>(grid.face_m2(axis, ijk)),
                              static_cast<float>(half(ijk[d]) + (alike ? half(n) : 0.0)),
                              alike ? 0.0F : static_cast<float>(grid.width_m(axis, n)), other});
    }
  }
}

/// Half-resistivities of a row of voxels; whether any has changed enough to matter since they were last taken over.
/// drift_k: as refresh() has it, or nullptr.
bool Conduction::refresh_row(const Field& rise_k, int j, int k, float* drift_k) {
  const std::size_t v = layout_.at(0, j, k), row = layout_.row_index(j, k);
  const float reach_k = row_reach_k_[row];
  if (drift_k && *drift_k <= reach_k && !row_watched_[row] && refreshed_ && !restored_) return false;
  // Floats from 0 on are ordered as their bits are, which are compared many at a time; a NaN is furthest.
  int furthest = 0;
  for (int i = 0; i < layout_.nx; ++i)
    furthest = std::max(furthest, bit_cast<int>(std::abs(rise_k[v + i] - taken_rise_k_[v + i])));
  const auto furthest_k = bit_cast<float>(furthest);
  if (drift_k) *drift_k = furthest_k;
  if (furthest_k <= reach_k && refreshed_) return false;
  float* now = &half_resistivity_[v];
  thread_local std::vector<float> fresh;
  fresh.resize(static_cast<std::size_t>(layout_.nx));
  tables().half_resistivities_of(&codes_field()[v], &rise_k[v], layout_.nx, fresh.data());
  int changed = 0;
  for (int i = 0; i < layout_.nx; ++i)
    changed |= static_cast<int>(std::abs(fresh[i] - now[i]) > limits::conductivity_change * fresh[i]);
  const bool moved = changed != 0;
  if (!moved && refreshed_) return false;
  std::copy(fresh.begin(), fresh.end(), now);
  std::copy_n(&rise_k[v], layout_.nx, &taken_rise_k_[v]);
  if (drift_k) *drift_k = 0.0F;
  return true;
}

void Conduction::refresh_voxel_faces(const Field& rise_k, std::vector<float>* row_drift_k) {
  const auto &dx = padded_widths_m_[0], &dy = padded_widths_m_[1], &dz = padded_widths_m_[2];
  crew_.each(layout_.nz, [&](int k) {
    for (int j = 0; j < layout_.ny; ++j) {
      const std::size_t row = layout_.row_index(j, k);
      row_moved_[row] = refresh_row(rise_k, j, k, row_drift_k ? &(*row_drift_k)[row] : nullptr);
    }
  });
  crew_.each(layout_.nz + 1, [&](int layer) {
    const int k = layer - 1;
    for (int j = -1; j < layout_.ny; ++j) {
      if (!(row_moved_[layout_.row_index(j, k)] | row_moved_[layout_.row_index(j + 1, k)] |
            row_moved_[layout_.row_index(j, k + 1)]))
        continue;
      const float* r = &half_resistivity_[layout_.at(-1, j, k)];
      float* gx = &conductance_[0][layout_.at(-1, j, k)];
      float* gy = &conductance_[1][layout_.at(-1, j, k)];
      float* gz = &conductance_[2][layout_.at(-1, j, k)];
      const float y = dy[j + 1], z = dz[k + 1], y_next = dy[j + 2], z_next = dz[k + 2];
      const std::ptrdiff_t row = layout_.row, plane = layout_.plane;
      for (int i = 0; i <= layout_.nx; ++i) {
        gx[i] = y * z / (dx[i] * r[i] + dx[i + 1] * r[i + 1]);
        gy[i] = dx[i] * z / (y * r[i] + y_next * r[i + row]);
        gz[i] = dx[i] * y / (z * r[i] + z_next * r[i + plane]);
      }
    }
  });
  refresh_axial_faces();
}

void Conduction::refresh_axial_faces() {
  for (const AxialFace& face : axial_faces_) {
    const float other = face.other_half_m > 0.0F ? face.other_half_m * half_resistivity_[face.other] : 0.0F;
    conductance_[static_cast<std::size_t>(face.axis)][face.face] =
        face.area_m2 / (face.sheath_resistance_m2k_w + other);
  }
}

void Conduction::refresh_air(const Field& rise_k) {
  const std::vector<AirSlab>& slabs = air_.slabs();
  crew_.each(
      static_cast<int>(slabs.size()), air_.faces().size(), [&](int n) { return slabs[n].first_face; },
      [&](int n) { air_.refresh_slab(n, rise_k); });
  crew_.each(static_cast<int>(air_.runs().size()), [&](int n) {
    const AirRun& run = air_.runs()[n];
    refresh_run(run, air_.run_extra_w_mk(run, rise_k));
  });
}

/// The faces along a run of air, which conducts so much more than still air does.
void Conduction::refresh_run(const AirRun& run, double extra_w_mk) {
  const std::ptrdiff_t stride = layout_.stride(run.axis);
  const auto v0 = static_cast<std::ptrdiff_t>(run.first);
  const std::array<std::ptrdiff_t, 3> step{1, layout_.row, layout_.plane};
  const int d = index_of(run.axis), a = (d + 1) % 3, b = (d + 2) % 3;
  const std::array<std::ptrdiff_t, 3> ijk{v0 % layout_.row, v0 % layout_.plane / layout_.row, v0 / layout_.plane};
  const float area_m2 = padded_widths_m_[a][ijk[a]] * padded_widths_m_[b][ijk[b]];
  auto half_m2k_w = [&](std::ptrdiff_t place) {  // of the voxel `place` steps along the run
    const std::size_t voxel = run.first + place * step[d];
    const float r = half_resistivity_[voxel], width = padded_widths_m_[d][ijk[d] + place];
    return place < 0 || place >= run.count ? width * r : width / static_cast<float>(1.0 / r + 2.0 * extra_w_mk);
  };
  for (std::ptrdiff_t place = -1; place < run.count; ++place)
    conductance_[d][run.first + place * stride] = area_m2 / (half_m2k_w(place) + half_m2k_w(place + 1));
}

void Conduction::refresh(const Field& rise_k, std::vector<float>* row_drift_k) {
  if (conductivity_varies_ || !refreshed_) refresh_voxel_faces(rise_k, row_drift_k);
  refresh_air(rise_k);
  surfaces_.refresh(rise_k, !refreshed_, conductance_);
  refreshed_ = true;
  restored_ = false;
}

ConductanceState Conduction::save() const {
  ConductanceState state;
  if (conductivity_varies_ || !air_.runs().empty()) {
    state.voxel_faces = conductance_;
    state.half_resistivity = half_resistivity_;
  }
  state.air_couplings = {air_.save(0), air_.save(1)};
  state.surface_taken_k = surfaces_.taken_k();
  for (const SurfaceFace& face : surfaces()) {
    state.surface_films.push_back(face.film_w_m2k);
    state.surface_faces.push_back(conductance_[static_cast<std::size_t>(face.axis)][face.face]);
  }
  return state;
}

void Conduction::restore(const ConductanceState& state) {
  if (!state.voxel_faces[0].empty()) {
    conductance_ = state.voxel_faces;
    half_resistivity_ = state.half_resistivity;
    std::fill(taken_rise_k_.begin(), taken_rise_k_.end(), infinite);
    refreshed_ = true;
    restored_ = true;
  }
  for (int node = 0; node < 2; ++node) air_.restore(node, state.air_couplings[node]);
  surfaces_.restore(state.surface_taken_k, state.surface_films);
  for (std::size_t n = 0; n < state.surface_faces.size(); ++n) {
    const SurfaceFace& face = surfaces()[n];
    conductance_[static_cast<std::size_t>(face.axis)][face.face] = state.surface_faces[n];
  }
}

}  // namespace warmbay::sim
