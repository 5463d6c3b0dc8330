// Cells are kept for the voxels that have been hot enough, nothing for the others: a destructive run touches a few per
// cent of a wall. Sums run over a fixed number of shares, so that they do not depend on the number of threads.
//
// Limits: melt goes where foam stands nearest, not where gravity takes it; gas leaves at the temperature of the voxel
// it comes from and does not condense on its way; what touches nothing keeps its shape.

#include "sim/damage/wall_damage.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

constexpr int shares = 16;
constexpr int most_directions = 6;
constexpr double same_distance = 1.001;  // two distances that differ by less are equal, but for rounding

Vec3 middle_m(const Conduction& wall, std::size_t voxel) {
  const std::array<int, 3> ijk = wall.layout().place(voxel);
  Vec3 at_m{};
  for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
    const std::vector<double>& edges = wall.wall().grid.edges_m(axis);
    const auto n = static_cast<std::size_t>(ijk[index_of(axis)]);
    at_m[index_of(axis)] = 0.5 * (edges[n] + edges[n + 1]);
  }
  return at_m;
}

}  // namespace

WallDamage::WallDamage(Conduction& wall, Crew& crew)
    : wall_(wall), crew_(crew), quiet_below_rise_k_(std::numeric_limits<double>::infinity()) {
  for (const Material& material : wall.wall().materials) {
    kinetics_.emplace_back();
    if (material.damage) kinetics_.back().emplace(*material.damage);
    possible_ = possible_ || material.damage;
    if (material.damage)
      quiet_below_rise_k_ = std::min(quiet_below_rise_k_, kinetics_.back()->quiet_below_k() - datum_k);
  }
  if (possible_) cell_of_ = CellRows(wall.layout());
  quiet_rise_k_.assign(wall.tables().codes(), std::numeric_limits<float>::infinity());
  for (std::size_t code = 0; code < quiet_rise_k_.size(); ++code) {
    const int material = wall.tables().material_of(code);
    if (material >= 0 && kinetics_of(material))
      quiet_rise_k_[code] = static_cast<float>(kinetics_of(material)->quiet_below_k() - datum_k);
  }
}

double WallDamage::capacity_j_k(const DamageCell& cell) const {
  const double present_kg = cell.mass_kg * (1.0 - kinetics_of(cell.material)->lost(cell.extent));
  const double air_j_k = cell.state == VoxelState::gone ? wall_.void_capacity_j_k(cell.voxel) : 0.0;
  return present_kg * specific_j_kgk(cell) + air_j_k;
}

void WallDamage::look(const Field& rise_k, DamageState& state) {
  if (!possible_) return;
  const Layout& layout = wall_.layout();
  const auto lowest_k = static_cast<float>(quiet_below_rise_k());
  std::vector<std::vector<std::uint32_t>> fresh(static_cast<std::size_t>(layout.nz));
  crew_.each(layout.nz, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) {
      const std::size_t from = layout.at(0, j, k), end = from + static_cast<std::size_t>(layout.nx);
      int warm = 0;  // most rows are not, and that is told many voxels at a time
      for (std::size_t v = from; v < end; ++v) warm |= static_cast<int>(rise_k[v] >= lowest_k);
      if (warm == 0) continue;
      for (std::size_t v = from; v < end; ++v)
        if (rise_k[v] >= quiet_rise_k_[wall_.code(v)] && cell_of_[v] < 0)
          fresh[static_cast<std::size_t>(k)].push_back(static_cast<std::uint32_t>(v));
    }
  });
  for (const std::vector<std::uint32_t>& plane : fresh)
    for (const std::uint32_t voxel : plane) cell_at(voxel, state);
}

DamageCell& WallDamage::cell_at(std::size_t voxel, DamageState& state) {
  if (cell_of_[voxel] < 0) {
    cell_of_.set(voxel, state.cells.size());
    wall_.watch_row_of(voxel);
    DamageCell cell;
    cell.voxel = static_cast<std::uint32_t>(voxel);
    cell.material = static_cast<std::uint16_t>(wall_.material_of(voxel));
    const double density_kg_m3 = wall_.wall().materials[cell.material].density_kg_m3;
    cell.sound_kg = cell.mass_kg = static_cast<float>(density_kg_m3 * wall_.volume_m3(voxel));
    wall_.set_capacity_j_k(voxel, capacity_j_k(cell));
    state.cells.push_back(cell);
  }
  return state.cells[static_cast<std::size_t>(cell_of_[voxel])];
}

/// The level of conductivity and the state that a cell has reached.
void WallDamage::show(const DamageCell& cell) {
  if (cell.state == VoxelState::gone)
    wall_.set_void(cell.voxel);
  else if (wall_.code(cell.voxel) != wall_.tables().code_of(cell.material, cell.level))
    wall_.set_level(cell.voxel, cell.material, cell.level);
}

WallDamage::Books WallDamage::step_cell(DamageCell& cell, HeatState& heat, double dt_s) {
  Books books;
  const Kinetics& kinetics = *kinetics_of(cell.material);
  const double before_j_k = wall_.capacity()[cell.voxel];
  double t_k = datum_k + heat.rise_k[cell.voxel];
  if (kinetics.rules().collapse && cell.state != VoxelState::gone && cell.collapsed < 1.0F) {
    const auto half_way_k = static_cast<float>(t_k - 0.5 * heat.change_k[cell.voxel]);  // of the step
    const float more = (1.0F - cell.collapsed) * kinetics.collapsing(half_way_k, static_cast<float>(dt_s));
    const double heat_j = kinetics.rules().collapse->heat_j_kg * cell.sound_kg * more;
    cell.collapsed += more;
    books.change.heat_j += heat_j;
    t_k -= heat_j / before_j_k;
  }
  const Kinetics::Change change = kinetics.advance(cell.extent, cell.mass_kg, before_j_k, t_k, dt_s);
  books.change += change;
  heat.rise_k[cell.voxel] = static_cast<float>(t_k - datum_k);
  if (change.lost_kg > 0.0) {
    wall_.set_capacity_j_k(cell.voxel, capacity_j_k(cell));
    books.with_gas_j = (before_j_k - wall_.capacity()[cell.voxel]) * (t_k - datum_k);
  }
  if (cell.state != VoxelState::gone) mark(cell, t_k);
  return books;
}

/// The state and the level of conductivity that a cell has come to. Foam's level is set by the melt that it receives.
void WallDamage::mark(DamageCell& cell, double temperature_k) const {
  const Kinetics& kinetics = *kinetics_of(cell.material);
  const Damage& rules = kinetics.rules();
  if (rules.collapse) {
    if (cell.state == VoxelState::sound && rules.softens_k && temperature_k >= *rules.softens_k)
      cell.state = VoxelState::softened;
    return;
  }
  const auto levels = static_cast<float>(wall_.tables().levels_of(cell.material));
  cell.level = static_cast<std::uint8_t>(kinetics.changed(cell.extent) * levels + 0.5F);
  if (kinetics.charred(cell.extent))
    cell.state = VoxelState::charred;
  else if (cell.extent[0] >= state_changes_at && rules.processes[0].kind == Process::Kind::band)
    cell.state = VoxelState::dried;
}

void WallDamage::step(HeatState& heat, double dt_s, DamageState& state) {
  std::array<Books, shares> of_share{};
  notable_.resize(shares);
  shifted_.resize(shares);
  cooled_.resize(shares);
  const std::size_t count = state.cells.size();
  crew_.each(shares, [&](int share) {
    Books& sum = of_share[static_cast<std::size_t>(share)];
    std::vector<std::uint32_t>& notable = notable_[static_cast<std::size_t>(share)];
    std::vector<std::uint32_t>& shifted = shifted_[static_cast<std::size_t>(share)];
    std::vector<std::uint32_t>& cooled = cooled_[static_cast<std::size_t>(share)];
    notable.clear();
    shifted.clear();
    cooled.clear();
    for (std::size_t c = count * share / shares, end = count * (share + 1) / shares; c < end; ++c) {
      DamageCell& cell = state.cells[c];
      const double t_k = datum_k + heat.rise_k[cell.voxel];
      if (t_k < kinetics_of(cell.material)->quiet_below_k() || cell.mass_kg <= 0.0F) continue;
      if (has_news(cell, t_k, state)) notable.push_back(static_cast<std::uint32_t>(c));
      const std::uint8_t level = cell.level;
      const Books books = step_cell(cell, heat, dt_s);
      if (cell.level != level) shifted.push_back(static_cast<std::uint32_t>(c));
      if (std::abs(heat.rise_k[cell.voxel] + datum_k - t_k) > limits::stirred_k) cooled.push_back(cell.voxel);
      sum.change += books.change;
      sum.with_gas_j += books.with_gas_j;
    }
  });
  for (const std::vector<std::uint32_t>& shifted : shifted_)
    for (const std::uint32_t c : shifted)
      if (state.cells[c].state != VoxelState::gone) show(state.cells[c]);
  for (const std::vector<std::uint32_t>& cooled : cooled_)
    for (const std::uint32_t voxel : cooled) stir(heat, wall_.layout(), voxel);
  for (const Books& sum : of_share) {
    state.book(sum.change, dt_s);
    state.with_gas_j += sum.with_gas_j;
  }
}

bool WallDamage::stands(std::size_t voxel, int material, const DamageState& state) const {
  if (wall_.material_of(voxel) != material) return false;
  const std::int32_t cell = cell_of_[voxel];
  return cell < 0 || state.cells[static_cast<std::size_t>(cell)].collapsed < limits::collapse_done;
}

/// Appends to melt_to_ the nearest foam that still stands, all of it where several voxels are as near.
void WallDamage::find_way(std::size_t from, const DamageState& state) {
  const DamageCell& cell = state.cells[static_cast<std::size_t>(cell_of_[from])];
  std::array<std::size_t, most_directions> to{};
  int found = 0;
  double nearest_m = std::numeric_limits<double>::infinity();
  const Vec3 here_m = middle_m(wall_, from);
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    for (const int sign : {-1, 1}) {
      std::size_t voxel = from;
      for (int n = 1; n <= limits::melt_reach; ++n) {
        voxel += sign * wall_.layout().stride(axis);
        if (wall_.is_air(voxel) || (wall_.material_of(voxel) == cell.material && !stands(voxel, cell.material, state)))
          continue;
        if (!stands(voxel, cell.material, state)) break;
        const double away_m = std::abs(middle_m(wall_, voxel)[index_of(axis)] - here_m[index_of(axis)]);
        if (away_m > nearest_m * same_distance) break;
        if (away_m < nearest_m / same_distance) found = 0;
        nearest_m = std::min(nearest_m, away_m);
        to[static_cast<std::size_t>(found++)] = voxel;
        break;
      }
    }
  melt_to_.insert(melt_to_.end(), to.begin(), to.begin() + found);
}

const std::vector<std::size_t>& WallDamage::find_melts_ways(const std::vector<std::uint32_t>& going,
                                                            const DamageState& state) {
  melt_to_.clear();
  melt_from_.assign(1, 0);
  for (const std::uint32_t c : going) {
    find_way(state.cells[c].voxel, state);
    melt_from_.push_back(melt_to_.size());
  }
  return melt_to_;
}

/// The plastic of a voxel goes to the nearest foam in equal parts; where none is in reach it stays, as a lump in the
/// void.
void WallDamage::move_melt(std::size_t from, std::span<const std::size_t> to, Field& rise_k, DamageState& state) {
  if (to.empty()) return;
  DamageCell& cell = state.cells[static_cast<std::size_t>(cell_of_[from])];
  const Kinetics& kinetics = *kinetics_of(cell.material);
  const double melt_kg = cell.mass_kg * (1.0 - kinetics.lost(cell.extent));
  const float warm_k = rise_k[from];
  cell.mass_kg = 0.0F;
  cell.extent = {};
  for (const std::size_t voxel : to) receive(voxel, melt_kg / static_cast<double>(to.size()), warm_k, rise_k, state);
}

void WallDamage::receive(std::size_t voxel, double melt_kg, double melt_rise_k, Field& rise_k, DamageState& state) {
  DamageCell& cell = cell_at(voxel, state);
  changed_cells_.push_back(static_cast<std::uint32_t>(cell_of_[voxel]));
  const double whole_kg = cell.mass_kg + melt_kg;
  for (float& extent : cell.extent) extent = static_cast<float>(extent * cell.mass_kg / whole_kg);
  const double before_j_k = wall_.capacity()[voxel], more_j_k = melt_kg * specific_j_kgk(cell);
  cell.mass_kg = static_cast<float>(whole_kg);
  const double solid_kg_m3 = kinetics_of(cell.material)->rules().collapse->solid_density_kg_m3;
  const double solid = (cell.mass_kg - cell.sound_kg) / (solid_kg_m3 * wall_.volume_m3(voxel));
  cell.level = static_cast<std::uint8_t>(
      std::min(solid / limits::melt_level_solid + 0.5, static_cast<double>(limits::melt_levels)));
  if (cell.level > 0) cell.state = VoxelState::melt;
  wall_.set_capacity_j_k(voxel, capacity_j_k(cell));
  rise_k[voxel] = static_cast<float>((before_j_k * rise_k[voxel] + more_j_k * melt_rise_k) / wall_.capacity()[voxel]);
  show(cell);
}

std::vector<std::size_t> WallDamage::draw_back(Field& rise_k, double time_s, DamageState& state,
                                               std::vector<Occurrence>& seen) {
  std::vector<std::uint32_t> going;
  for (std::size_t c = 0; c < state.cells.size(); ++c)
    if (state.cells[c].collapsed >= limits::collapse_done && state.cells[c].state != VoxelState::gone)
      going.push_back(static_cast<std::uint32_t>(c));
  static_cast<void>(find_melts_ways(going, state));
  return draw_back(going, rise_k, time_s, state, seen);
}

std::vector<std::size_t> WallDamage::draw_back(const std::vector<std::uint32_t>& going, Field& rise_k, double time_s,
                                               DamageState& state, std::vector<Occurrence>& seen) {
  std::vector<std::size_t> voids;
  changed_cells_.clear();
  for (std::size_t n = 0; n < going.size(); ++n) {
    const std::size_t voxel = state.cells[going[n]].voxel;
    move_melt(voxel, std::span(melt_to_).subspan(melt_from_[n], melt_from_[n + 1] - melt_from_[n]), rise_k, state);
    voids.push_back(voxel);
    DamageCell& cell = state.cells[static_cast<std::size_t>(cell_of_[voxel])];
    cell.state = VoxelState::gone;
    cell.level = 0;
    changed_cells_.push_back(static_cast<std::uint32_t>(cell_of_[voxel]));
    state.void_m3 += wall_.volume_m3(voxel);
    wall_.set_capacity_j_k(voxel, capacity_j_k(cell));
    state.with_gas_j -= wall_.void_capacity_j_k(voxel) * rise_k[voxel];  // air flows in, as warm as the void is
    show(cell);
    if (tell_once(state.told_material[cell.material], Happening::melt_back))
      seen.push_back({Happening::melt_back, time_s, -1, wall_.wall().materials[cell.material].name, 0.0,
                      middle_m(wall_, voxel), 0.0});
  }
  for (Occurrence& one : seen)
    if (one.what == Happening::melt_back && one.time_s == time_s) one.value = state.void_m3;
  std::sort(changed_cells_.begin(), changed_cells_.end());
  changed_cells_.erase(std::unique(changed_cells_.begin(), changed_cells_.end()), changed_cells_.end());
  return voids;
}

bool WallDamage::exposed(std::size_t voxel) const {
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    for (const int sign : {-1, 1}) {
      const std::size_t beside = voxel + sign * wall_.layout().stride(axis);
      if (wall_.is_air(beside) || wall_.outside_index(beside) >= 0 || wall_.sheath_of(beside)) return true;
    }
  return false;
}

/// Whether tell() may have something to say of a cell: a threshold is passed that its material has not been told for.
bool WallDamage::has_news(const DamageCell& cell, double temperature_k, const DamageState& state) const {
  const Damage& rules = kinetics_of(cell.material)->rules();
  auto untold = [&](Happening what) {
    return !(state.told_material[cell.material] & (1U << static_cast<unsigned>(what)));
  };
  return (rules.softens_k && temperature_k >= *rules.softens_k && untold(Happening::softening)) ||
         (cell.state == VoxelState::charred && untold(Happening::charring)) ||
         (rules.ignites_k && temperature_k >= *rules.ignites_k && untold(Happening::ignition_risk));
}

void WallDamage::tell(const Field& rise_k, double time_s, DamageState& state, std::vector<Occurrence>& seen) const {
  const DamageCell* risk = nullptr;
  for (const std::vector<std::uint32_t>& of_share : notable_)
    for (const std::uint32_t index : of_share) {
      const DamageCell& cell = state.cells[index];
      const Damage& rules = kinetics_of(cell.material)->rules();
      const double t_k = datum_k + rise_k[cell.voxel];
      auto say = [&](Happening what) {
        if (tell_once(state.told_material[cell.material], what))
          seen.push_back(
              {what, time_s, -1, wall_.wall().materials[cell.material].name, 0.0, middle_m(wall_, cell.voxel), t_k});
      };
      if (rules.softens_k && t_k >= *rules.softens_k && cell.state != VoxelState::gone) say(Happening::softening);
      if (cell.state == VoxelState::charred) say(Happening::charring);
      if (rules.ignites_k && t_k >= *rules.ignites_k && !risk && exposed(cell.voxel)) risk = &cell;
    }
  if (risk && tell_once(state.told_material[risk->material], Happening::ignition_risk))
    seen.push_back({Happening::ignition_risk, time_s, -1, wall_.wall().materials[risk->material].name, 0.0,
                    middle_m(wall_, risk->voxel), datum_k + rise_k[risk->voxel]});
}

void WallDamage::tell_of_all(const Field& rise_k, double time_s, DamageState& state, std::vector<Occurrence>& seen) {
  notable_.assign(1, {});
  for (std::size_t c = 0; c < state.cells.size(); ++c)
    if (has_news(state.cells[c], datum_k + rise_k[state.cells[c].voxel], state))
      notable_[0].push_back(static_cast<std::uint32_t>(c));
  tell(rise_k, time_s, state, seen);
}

void WallDamage::renew(const DamageState& state) {
  for (const DamageCell& cell : state.cells) {
    wall_.set_capacity_j_k(cell.voxel, capacity_j_k(cell));
    show(cell);
  }
}

void WallDamage::renew(const DamageState& state, const std::vector<std::uint32_t>& which) {
  for (const std::uint32_t c : which) {
    wall_.set_capacity_j_k(state.cells[c].voxel, capacity_j_k(state.cells[c]));
    show(state.cells[c]);
  }
}

void WallDamage::adopt(const DamageState& state) {
  if (!possible_) return;
  cell_of_.clear([&](std::size_t voxel) { wall_.set_sound(voxel); });
  for (std::size_t c = 0; c < state.cells.size(); ++c) {
    const DamageCell& cell = state.cells[c];
    cell_of_.set(cell.voxel, c);
    wall_.watch_row_of(cell.voxel);
    const double present_kg = cell.mass_kg * (1.0 - kinetics_of(cell.material)->lost(cell.extent));
    const double air_j_k = cell.state == VoxelState::gone ? wall_.void_capacity_j_k(cell.voxel) : 0.0;
    wall_.set_capacity_j_k(cell.voxel, present_kg * specific_j_kgk(cell) + air_j_k);
    show(cell);
  }
}

double WallDamage::void_across_m2(const DamageState& state, std::size_t sheath_voxel) const {
  const Axis along = wall_.sheath_of(sheath_voxel)->along;
  const auto slab = static_cast<std::size_t>(wall_.layout().place(sheath_voxel)[index_of(along)]);
  const std::vector<double>& edges = wall_.wall().grid.edges_m(along);
  double across_m2 = 0.0;
  for (const DamageCell& cell : state.cells)
    if (cell.state == VoxelState::gone && wall_.layout().place(cell.voxel)[index_of(along)] == static_cast<int>(slab))
      across_m2 += wall_.volume_m3(cell.voxel) / (edges[slab + 1] - edges[slab]);
  return across_m2;
}

}  // namespace warmbay::sim
