// Builds conductances and capacities from a wall's description, and keeps the temperature-dependent ones up to date.

#include "sim/conduction.hpp"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>

#include "sim/film.hpp"
#include "sim/limits.hpp"
#include "sim/no_aliases.hpp"

namespace warmbay::sim {
namespace {

/// Heat capacity of a void's air, J/(m3 K): as it is at 20 °C throughout.
double air_capacity_j_m3k() {
  static const double at_20_celsius = air_at(kelvin_from_celsius(20.0)).heat_capacity_j_m3k;
  return at_20_celsius;
}

constexpr float infinite = std::numeric_limits<float>::infinity();

/// Where a code's 1 / 2k at a temperature lies in the table: an entry, and how far on the way to the next one.
struct TableEntry {
  TableEntry(int code, float rise_k) {
    const float wanted = (rise_k - resistivity_table::from_rise_k) / resistivity_table::spacing_k;
    constexpr float top = resistivity_table::entries - 1.001F;
    const float capped = wanted < top ? wanted : top;  // a NaN, too, ends at an entry of the table
    const float place = capped > 0.0F ? capped : 0.0F;
    const int n = static_cast<int>(place);
    entry = code * resistivity_table::entries + n;
    share = place - static_cast<float>(n);
  }
  [[nodiscard]] float of(const float* table, const float* step) const { return table[entry] + share * step[entry]; }
  int entry;
  float share;
};

double width_m(const Grid& grid, Axis axis, int n) {
  const std::vector<double>& edges = grid.edges_m(axis);
  return edges[static_cast<std::size_t>(n) + 1] - edges[static_cast<std::size_t>(n)];
}

/// Widths of a padded row of voxels along an axis; ghosts are as wide as their neighbours.
std::vector<float> padded_widths(const Grid& grid, Axis axis) {
  const int n = static_cast<int>(grid.edges_m(axis).size()) - 1;
  std::vector<float> widths;
  for (int i = -1; i <= n; ++i) widths.push_back(static_cast<float>(width_m(grid, axis, std::clamp(i, 0, n - 1))));
  return widths;
}

}  // namespace

Conduction::Conduction(std::shared_ptr<const Wall> wall, Crew& crew)
    : wall_(std::move(wall)),
      crew_(crew),
      layout_(wall_->grid),
      copper_(lay_out_copper(*wall_, layout_)),
      surroundings_k_(wall_->surroundings.size(), 0.0),
      air_((assign_codes(), *this), crew) {
  assert(wall_->voxels.size() == wall_->grid.count());
  for (Field& field : conductance_) field.assign(layout_.size, 0.0F);
  half_resistivity_.assign(layout_.size, infinite);
  taken_rise_k_.assign(layout_.size, infinite);
  row_moved_.assign(layout_.rows(), 0);
  row_watched_.assign(layout_.rows(), 0);
  for (const SheathVoxel& sheath : copper_.sheath) watch_row_of(sheath.voxel);
  watch_air();
  find_reaches();
  for (int axis = 0; axis < 3; ++axis) padded_widths_m_[axis] = padded_widths(wall_->grid, static_cast<Axis>(axis));
  set_capacities();
  find_axial_faces();
  find_surfaces();
}

void Conduction::assign_codes() {
  code_.assign(layout_.size, 0);
  outside_.assign(layout_.size, -1);
  for (int k = 0; k < layout_.nz; ++k)
    for (int j = 0; j < layout_.ny; ++j)
      for (int i = 0; i < layout_.nx; ++i) {
        const Voxel voxel = wall_->voxels[wall_->grid.at(i, j, k)];
        if (voxel.outside)
          outside_[layout_.at(i, j, k)] = static_cast<std::int16_t>(voxel.index);
        else
          code_[layout_.at(i, j, k)] = static_cast<std::uint16_t>(voxel.index + 1);
      }
  add_code([](double) { return 0.0; }, false, false, -1, 0.0);
  for (std::size_t m = 0; m < wall_->materials.size(); ++m) {
    const Material& material = wall_->materials[m];
    add_code([&](double t) { return material.conductivity_w_mk.at(t); }, !material.conductivity_w_mk.constant(),
             material.air_space, static_cast<int>(m), material.emissivity);
  }
  first_sheath_code_ = static_cast<int>(code_varies_.size());
  for (const SheathVoxel& sheath : copper_.sheath) {
    const CrossSection& section = copper_.lines[static_cast<std::size_t>(sheath.cable)].section;
    int code = 0;
    while (code < static_cast<int>(sheath_codes_.size()) &&
           (sheath_codes_[code].cable != sheath.cable || sheath_codes_[code].along != sheath.along))
      ++code;
    if (code == static_cast<int>(sheath_codes_.size())) {
      sheath_codes_.push_back({sheath.cable, sheath.along, section.sheath_axial_w_m_k / sheath.section_m2,
                               section.sheath_capacity_j_mk / sheath.section_m2});
      add_code([](double) { return limits::sheath_spreading_w_mk; }, false, false, -1,
               wall_->cables[static_cast<std::size_t>(sheath.cable)].type.sheath.emissivity);
    }
    code_[sheath.voxel] = static_cast<std::uint16_t>(first_sheath_code_ + code);
  }
  after_sheath_codes_ = static_cast<int>(code_varies_.size());
  add_levels();
  resistivity_step_.resize(resistivity_table_.size());
  for (std::size_t n = 0; n + 1 < resistivity_table_.size(); ++n)
    resistivity_step_[n] = (n + 1) % resistivity_table::entries == 0 || n < resistivity_table::entries
                               ? 0.0F
                               : resistivity_table_[n + 1] - resistivity_table_[n];
  for (const std::uint16_t code : code_) conductivity_varies_ = conductivity_varies_ || code_varies_[code];
  for (const int levels : levels_) conductivity_varies_ = conductivity_varies_ || levels > 0;
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

int Conduction::add_code(const std::function<double(double)>& conductivity_w_mk, bool varies, bool air, int material,
                         double emissivity) {
  for (int n = 0; n < resistivity_table::entries; ++n)
    resistivity_table_.push_back(static_cast<float>(
        0.5 / conductivity_w_mk(datum_k + resistivity_table::from_rise_k + n * double{resistivity_table::spacing_k})));
  code_varies_.push_back(varies);
  code_is_air_.push_back(air);
  code_material_.push_back(material);
  code_emissivity_.push_back(emissivity);
  return static_cast<int>(code_varies_.size()) - 1;
}

/// Rows for what damage makes of the materials: so much of the way to the changed conductivity, or so much melt in the
/// foam's pores (its plastic conducts beside the foam; two thirds of what lies about at random lies along the heat's
/// way: Glicksman, in Hilyard & Cunningham (1994), from memory); and one for a void.
void Conduction::add_levels() {
  for (std::size_t m = 0; m < wall_->materials.size(); ++m) {
    const Material& material = wall_->materials[m];
    const Damage* damage = material.damage.get();
    first_level_code_.push_back(static_cast<int>(code_varies_.size()));
    levels_.push_back(!damage                             ? 0
                      : damage->collapse                  ? limits::melt_levels
                      : damage->changed_conductivity_w_mk ? limits::changed_levels
                                                          : 0);
    for (int level = 1; level <= levels_.back(); ++level) {
      auto conductivity_w_mk = [&](double t) {
        const double sound_w_mk = material.conductivity_w_mk.at(t);
        if (damage->collapse)
          return sound_w_mk + 2.0 / 3.0 * level * limits::melt_level_solid * damage->collapse->solid_conductivity_w_mk;
        const double done = static_cast<double>(level) / limits::changed_levels;
        return (1.0 - done) * sound_w_mk + done * damage->changed_conductivity_w_mk->at(t);
      };
      add_code(conductivity_w_mk, true, false, static_cast<int>(m), material.emissivity);
    }
  }
  void_code_ = add_code([](double t) { return air_at(t).conductivity_w_mk; }, true, true, -1, 0.0);
}

int Conduction::code_of(int material, int level) const {
  const auto m = static_cast<std::size_t>(material);
  return level == 0 ? material + 1 : first_level_code_[m] + std::min(level, levels_[m]) - 1;
}

/// How far a temperature may move before a conductivity can have changed by limits::conductivity_change: per code, from
/// the steepest stretch of its table, and per row of voxels.
void Conduction::find_reaches() {
  constexpr float share = 0.9F * limits::conductivity_change;  // of the change: what rounding leaves open
  for (std::size_t code = 0; code < code_varies_.size(); ++code) {
    const float* table = &resistivity_table_[code * resistivity_table::entries];
    float steepest = 0.0F;
    for (int n = 0; n + 1 < resistivity_table::entries; ++n)
      if (std::isfinite(table[n]))
        steepest = std::max(steepest, std::abs(table[n + 1] - table[n]) / std::min(table[n], table[n + 1]));
    code_reach_k_.push_back(steepest > 0.0F ? share * resistivity_table::spacing_k / steepest : infinite);
  }
  row_reach_k_.assign(row_moved_.size(), infinite);
  for (int k = 0; k < layout_.nz; ++k)
    for (int j = 0; j < layout_.ny; ++j)
      for (int i = 0; i < layout_.nx; ++i)
        row_reach_k_[layout_.row_index(j, k)] =
            std::min(row_reach_k_[layout_.row_index(j, k)], code_reach_k_[code_[layout_.at(i, j, k)]]);
}

void Conduction::set_code(std::size_t voxel, int code) {
  if (code_[voxel] == code) return;
  code_[voxel] = static_cast<std::uint16_t>(code);
  taken_rise_k_[voxel] = std::numeric_limits<float>::quiet_NaN();  // further than any reach
  const std::array<int, 3> ijk = layout_.place(voxel);
  float& reach_k = row_reach_k_[layout_.row_index(ijk[1], ijk[2])];
  reach_k = std::min(reach_k, code_reach_k_[static_cast<std::size_t>(code)]);
}

double Conduction::volume_m3(std::size_t voxel) const {
  const std::array<int, 3> ijk = layout_.place(voxel);
  return width_m(wall_->grid, Axis::x, ijk[0]) * width_m(wall_->grid, Axis::y, ijk[1]) *
         width_m(wall_->grid, Axis::z, ijk[2]);
}

double Conduction::sound_j_m3k(std::size_t code) const {
  const int n = static_cast<int>(code) - first_sheath_code_;
  if (n >= 0 && n < static_cast<int>(sheath_codes_.size())) return sheath_codes_[n].capacity_j_m3k;
  if (code_material_[code] < 0) return air_capacity_j_m3k();
  const Material& material = wall_->materials[static_cast<std::size_t>(code_material_[code])];
  return material.density_kg_m3 * material.heat_capacity_j_kgk;
}

double Conduction::sound_capacity_j_k(std::size_t voxel) const {
  const int code = code_[voxel];
  if (code >= first_sheath_code_ && code < after_sheath_codes_)
    return sound_j_m3k(static_cast<std::size_t>(code)) * volume_m3(voxel);
  const std::array<int, 3> ijk = layout_.place(voxel);
  const Material& material = wall_->materials[wall_->voxels[wall_->grid.at(ijk[0], ijk[1], ijk[2])].index];
  return material.density_kg_m3 * material.heat_capacity_j_kgk * volume_m3(voxel);
}

void Conduction::set_sound(std::size_t voxel) {
  const std::array<int, 3> ijk = layout_.place(voxel);
  set_code(voxel, wall_->voxels[wall_->grid.at(ijk[0], ijk[1], ijk[2])].index + 1);
  set_capacity_j_k(voxel, sound_capacity_j_k(voxel));
}

double Conduction::void_capacity_j_k(std::size_t voxel) const {
  return air_capacity_j_m3k() * volume_m3(voxel);
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
        if (code_[voxel] != 0) capacity_[voxel] = static_cast<float>(sound_capacity_j_k(voxel));
      }
}

void Conduction::find_axial_faces() {
  for (const SheathVoxel& sheath : copper_.sheath) {
    const Axis axis = sheath.along;
    const int d = index_of(axis), a = (d + 1) % 3, b = (d + 2) % 3;
    const std::array<int, 3> ijk = layout_.place(sheath.voxel);
    const auto axis_a = static_cast<Axis>(a), axis_b = static_cast<Axis>(b);
    const double area_m2 = width_m(wall_->grid, axis_a, ijk[a]) * width_m(wall_->grid, axis_b, ijk[b]);
    auto half = [&](int n) {
      const int code = code_[sheath.voxel];
      return 0.5 * width_m(wall_->grid, axis, n) / sheath_codes_[code - first_sheath_code_].axial_w_mk;
    };
    for (const int direction : {-1, 1}) {
      const int n = ijk[d] + direction;
      if (n < 0 || n >= static_cast<int>(wall_->grid.edges_m(axis).size()) - 1) continue;
      const std::size_t other = sheath.voxel + direction * layout_.stride(axis);
      if (!is_solid(other)) continue;
      const std::size_t face = direction > 0 ? sheath.voxel : other;
      const bool alike = code_[other] == code_[sheath.voxel];
      if (alike && direction < 0) continue;  // its lower neighbour adds this face
      axial_faces_.push_back({face, axis, static_cast<float>(area_m2),
                              static_cast<float>(half(ijk[d]) + (alike ? half(n) : 0.0)),
                              alike ? 0.0F : static_cast<float>(width_m(wall_->grid, axis, n)), other});
    }
  }
}

double Conduction::run_length_m(std::array<int, 3> ijk, Axis normal, bool towards_positive, Axis along) const {
  const int d = index_of(along);
  const int n = static_cast<int>(wall_->grid.edges_m(along).size()) - 1;
  const std::ptrdiff_t outward = towards_positive ? layout_.stride(normal) : -layout_.stride(normal);
  auto faces_out = [&](int c) {
    std::array<int, 3> at = ijk;
    at[d] = c;
    const std::size_t voxel = layout_.at(at[0], at[1], at[2]);
    return is_solid(voxel) && !is_solid(voxel + outward);
  };
  int low = ijk[d], high = ijk[d];
  while (low > 0 && faces_out(low - 1)) --low;
  while (high + 1 < n && faces_out(high + 1)) ++high;
  const std::vector<double>& edges = wall_->grid.edges_m(along);
  return edges[static_cast<std::size_t>(high) + 1] - edges[static_cast<std::size_t>(low)];
}

int Conduction::film_for(int surroundings, Facing facing, double length_m, double emissivity) {
  for (std::size_t t = 0; t < film_tables_.size(); ++t)
    if (film_tables_[t].fits(surroundings, facing, length_m, emissivity)) return static_cast<int>(t);
  const double times = wall_->surroundings[static_cast<std::size_t>(surroundings)].natural_times;
  film_tables_.emplace_back(surroundings, facing, length_m, emissivity, times);
  return static_cast<int>(film_tables_.size()) - 1;
}

void Conduction::add_surface(std::array<int, 3> ijk, Axis normal, bool towards_positive) {
  const std::size_t solid = layout_.at(ijk[0], ijk[1], ijk[2]);
  const std::ptrdiff_t stride = layout_.stride(normal);
  const std::size_t outside = towards_positive ? solid + stride : solid - stride;
  const int s = outside_[outside];
  if (is_solid(outside) || s < 0) return;
  const int d = index_of(normal), a = (d + 1) % 3, b = (d + 2) % 3;
  const auto axis_a = static_cast<Axis>(a), axis_b = static_cast<Axis>(b);
  const double area_m2 = width_m(wall_->grid, axis_a, ijk[a]) * width_m(wall_->grid, axis_b, ijk[b]);
  SurfaceFace face{static_cast<std::uint32_t>(solid),
                   static_cast<std::uint32_t>(outside),
                   static_cast<std::uint32_t>(towards_positive ? solid : outside),
                   normal,
                   outside_[outside],
                   -1,
                   static_cast<float>(area_m2),
                   static_cast<float>(0.5 * width_m(wall_->grid, normal, ijk[d])),
                   infinite};
  const Surroundings& around = wall_->surroundings[static_cast<std::size_t>(s)];
  if (around.film == Film::given) face.film_w_m2k = static_cast<float>(around.film_w_m2k);
  if (around.film == Film::natural) {
    const Facing facing = normal != Axis::y ? Facing::sideways : towards_positive ? Facing::up : Facing::down;
    double length_m = 0.0;
    if (facing == Facing::sideways) {
      length_m = run_length_m(ijk, normal, towards_positive, Axis::y);
    } else {
      const double x_m = run_length_m(ijk, normal, towards_positive, Axis::x);
      const double z_m = run_length_m(ijk, normal, towards_positive, Axis::z);
      length_m = x_m * z_m / (2.0 * (x_m + z_m));
    }
    face.film = film_for(s, facing, length_m, emissivity(solid));
    face.film_w_m2k = 8.0F;  // until the first refresh
  }
  surfaces_.push_back(face);
}

void Conduction::find_surfaces() {
  for (int k = 0; k < layout_.nz; ++k)
    for (int j = 0; j < layout_.ny; ++j)
      for (int i = 0; i < layout_.nx; ++i) {
        if (!is_solid(layout_.at(i, j, k))) continue;
        for (int axis = 0; axis < 3; ++axis)
          for (const bool positive : {false, true}) add_surface({i, j, k}, static_cast<Axis>(axis), positive);
      }
  surfaces_.shrink_to_fit();
  surface_taken_k_.assign(surfaces_.size(), std::numeric_limits<float>::quiet_NaN());
}

void Conduction::set_surroundings(const std::vector<double>& temperature_k, Field& rise_k) {
  assert(temperature_k.size() == wall_->surroundings.size());
  for (FilmTable& table : film_tables_) {
    const double air_k = temperature_k[static_cast<std::size_t>(table.surroundings())];
    if (air_k != surroundings_k_[static_cast<std::size_t>(table.surroundings())]) table.tabulate(air_k);
  }
  if (surroundings_k_ != temperature_k)
    std::fill(surface_taken_k_.begin(), surface_taken_k_.end(), std::numeric_limits<float>::quiet_NaN());
  surroundings_k_ = temperature_k;
  for (std::size_t v = 0; v < layout_.size; ++v)
    if (outside_[v] >= 0)
      rise_k[v] = static_cast<float>(temperature_k[static_cast<std::size_t>(outside_[v])] - datum_k);
}

float Conduction::half_resistivity(std::size_t voxel, float rise_k) const {
  return TableEntry(code_[voxel], rise_k).of(resistivity_table_.data(), resistivity_step_.data());
}

double Conduction::sheath_axial_w_mk(std::size_t code, Axis& along) const {
  const int n = static_cast<int>(code) - first_sheath_code_;
  if (n < 0 || n >= static_cast<int>(sheath_codes_.size())) return 0.0;
  along = sheath_codes_[static_cast<std::size_t>(n)].along;
  return sheath_codes_[static_cast<std::size_t>(n)].axial_w_mk;
}

const SheathVoxel* Conduction::sheath_of(std::size_t voxel) const {
  if (code_[voxel] < first_sheath_code_ || code_[voxel] >= after_sheath_codes_) return nullptr;
  const auto found = std::lower_bound(copper_.sheath.begin(), copper_.sheath.end(), voxel,
                                      [](const SheathVoxel& sheath, std::size_t v) { return sheath.voxel < v; });
  return &*found;
}

double Conduction::emissivity(std::size_t voxel) const {
  return code_emissivity_[code_[voxel]];
}

double Conduction::conductivity_w_mk(std::size_t voxel, Axis axis, float rise_k) const {
  const int code = code_[voxel];
  if (code >= first_sheath_code_ && code < after_sheath_codes_ &&
      sheath_codes_[code - first_sheath_code_].along == axis)
    return sheath_codes_[code - first_sheath_code_].axial_w_mk;
  return code == 0 ? 0.0 : 0.5 / half_resistivity(voxel, rise_k);
}

/// half_resistivity() of a row of voxels, side by side.
void Conduction::half_resistivities_of(const std::uint16_t* code, const float* rise_k, float* __restrict into) const {
  const float* const table = resistivity_table_.data();
  const float* const step = resistivity_step_.data();
  WARMBAY_NO_ALIASES
  for (int i = 0; i < layout_.nx; ++i) into[i] = TableEntry(code[i], rise_k[i]).of(table, step);
}

/// Half-resistivities of a row of voxels; whether any has changed enough to matter since they were last taken over.
/// drift_k: as refresh() has it, or nullptr.
bool Conduction::refresh_row(const Field& rise_k, int j, int k, float* drift_k) {
  const std::size_t v = layout_.at(0, j, k), row = layout_.row_index(j, k);
  const float reach_k = row_reach_k_[row];
  if (drift_k && *drift_k <= reach_k && !row_watched_[row] && refreshed_ && !restored_) return false;
  int furthest =
      0;  // floats from 0 on are ordered as their bits are, which are compared many at a time; NaN is furthest
  for (int i = 0; i < layout_.nx; ++i)
    furthest = std::max(furthest, std::bit_cast<int>(std::abs(rise_k[v + i] - taken_rise_k_[v + i])));
  const auto furthest_k = std::bit_cast<float>(furthest);
  if (drift_k) *drift_k = furthest_k;
  if (furthest_k <= reach_k && refreshed_) return false;
  float* now = &half_resistivity_[v];
  thread_local std::vector<float> fresh;
  fresh.resize(static_cast<std::size_t>(layout_.nx));
  half_resistivities_of(&code_[v], &rise_k[v], fresh.data());
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
    const std::ptrdiff_t stride = layout_.stride(run.axis);
    const double extra_w_mk = air_.run_extra_w_mk(run, rise_k);
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
  });
}

void Conduction::refresh_surfaces(const Field& rise_k) {
  crew_.run([&](int part, int parts) {
    const std::size_t from = surfaces_.size() * part / parts, to = surfaces_.size() * (part + 1) / parts;
    for (std::size_t n = from; n < to; ++n) {
      SurfaceFace& face = surfaces_[n];
      float& g = conductance_[static_cast<std::size_t>(face.axis)][face.face];
      const bool kept = std::abs(rise_k[face.solid] - surface_taken_k_[n]) <= limits::surface_change_k;
      if (kept && g != 0.0F && refreshed_) continue;  // 0: its row has been refreshed
      surface_taken_k_[n] = rise_k[face.solid];
      const float half_m2k_w = face.half_m * 2.0F * half_resistivity(face.solid, rise_k[face.solid]);
      if (face.film >= 0) {
        const float drop_k = rise_k[face.solid] - rise_k[face.outside];
        const float surface_k = drop_k / (1.0F + half_m2k_w * face.film_w_m2k);  // above the surroundings
        face.film_w_m2k = film_tables_[static_cast<std::size_t>(face.film)].at(surface_k);
      }
      g = face.area_m2 / (half_m2k_w + 1.0F / face.film_w_m2k);
    }
  });
}

void Conduction::refresh(const Field& rise_k, std::vector<float>* row_drift_k) {
  if (conductivity_varies_ || !refreshed_) refresh_voxel_faces(rise_k, row_drift_k);
  refresh_air(rise_k);
  refresh_surfaces(rise_k);
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
  state.surface_taken_k = surface_taken_k_;
  for (const SurfaceFace& face : surfaces_) {
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
  if (state.surface_taken_k.size() == surfaces_.size()) surface_taken_k_ = state.surface_taken_k;
  for (std::size_t n = 0; n < state.surface_films.size(); ++n) {
    surfaces_[n].film_w_m2k = state.surface_films[n];
    conductance_[static_cast<std::size_t>(surfaces_[n].axis)][surfaces_[n].face] = state.surface_faces[n];
  }
}

double Conduction::film_beside_w_m2k(std::size_t outside_voxel) const {
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    for (const bool positive : {false, true}) {  // the wall lies on the outside voxel's negative or positive side
      const std::ptrdiff_t stride = layout_.stride(axis);
      const std::ptrdiff_t solid = static_cast<std::ptrdiff_t>(outside_voxel) + (positive ? stride : -stride);
      if (solid < 0 || solid >= static_cast<std::ptrdiff_t>(layout_.size) || !is_solid(static_cast<std::size_t>(solid)))
        continue;
      const SurfaceFace* face = find_surface(static_cast<std::size_t>(solid), outside_voxel);
      if (face) return face->film_w_m2k;
    }
  return 0.0;
}

const SurfaceFace* Conduction::find_surface(std::size_t solid, std::size_t outside) const {
  const auto from = std::lower_bound(surfaces_.begin(), surfaces_.end(), solid,
                                     [](const SurfaceFace& face, std::size_t voxel) { return face.solid < voxel; });
  for (auto face = from; face != surfaces_.end() && face->solid == solid; ++face)
    if (face->outside == outside) return &*face;
  return nullptr;
}

double Conduction::leaving_w(const Field& rise_k) const {
  std::array<double, surface_shares> of_share{};
  each_surface([&](std::size_t share, const SurfaceFace& face) { of_share[share] += leaving_by_w(face, rise_k); });
  return std::accumulate(of_share.begin(), of_share.end(), 0.0);
}

}  // namespace warmbay::sim
