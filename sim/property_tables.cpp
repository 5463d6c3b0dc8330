// Fills the tables from a wall's materials, its cables' sheaths, and what damage can make of both.

#include "sim/property_tables.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

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

}  // namespace

PropertyTables::PropertyTables(const Wall& wall, const CopperLayout& copper) {
  add([](double) { return 0.0; }, {false, false, -1, 0.0, 0.0});
  for (std::size_t m = 0; m < wall.materials.size(); ++m) {
    const Material& material = wall.materials[m];
    add([&](double t) { return material.conductivity_w_mk.at(t); },
        {!material.conductivity_w_mk.constant(), material.air_space, static_cast<int>(m), material.emissivity,
         material.density_kg_m3 * material.heat_capacity_j_kgk});
  }
  add_sheaths(wall, copper);
  add_levels(wall);
  void_code_ = add([](double t) { return air_at(t).conductivity_w_mk; }, {true, true, -1, 0.0, air_capacity_j_m3k()});
  find_steps();
  find_reaches();
}

int PropertyTables::add(const std::function<double(double)>& conductivity_w_mk, const Properties& properties) {
  for (int n = 0; n < resistivity_table::entries; ++n)
    resistivity_.push_back(static_cast<float>(
        0.5 / conductivity_w_mk(datum_k + resistivity_table::from_rise_k + n * double{resistivity_table::spacing_k})));
  varies_.push_back(properties.varies);
  is_air_.push_back(properties.air);
  material_.push_back(properties.material);
  emissivity_.push_back(properties.emissivity);
  capacity_j_m3k_.push_back(properties.capacity_j_m3k);
  return static_cast<int>(material_.size()) - 1;
}

void PropertyTables::add_sheaths(const Wall& wall, const CopperLayout& copper) {
  first_sheath_code_ = after_sheath_codes_ = static_cast<int>(codes());
  for (const SheathVoxel& sheath : copper.sheath) {
    if (sheath_code(sheath.cable, sheath.along) < after_sheath_codes_) continue;
    const CrossSection& section = copper.lines[static_cast<std::size_t>(sheath.cable)].section;
    sheaths_.push_back({sheath.cable, sheath.along, section.sheath_axial_w_m_k / sheath.section_m2});
    add([](double) { return limits::sheath_spreading_w_mk; },
        {false, false, -1, wall.cables[static_cast<std::size_t>(sheath.cable)].type.sheath.emissivity,
         section.sheath_capacity_j_mk / sheath.section_m2});
    after_sheath_codes_ = static_cast<int>(codes());
  }
}

/// One past the sheaths' codes when there is none for it.
int PropertyTables::sheath_code(int cable, Axis along) const {
  const auto found = std::find_if(sheaths_.begin(), sheaths_.end(),
                                  [&](const Sheath& sheath) { return sheath.cable == cable && sheath.along == along; });
  return first_sheath_code_ + static_cast<int>(found - sheaths_.begin());
}

/// Rows for what damage makes of the materials: so much of the way to the changed conductivity, or so much melt in the
/// foam's pores (its plastic conducts beside the foam; two thirds of what lies about at random lies along the heat's
/// way: Glicksman, in Hilyard & Cunningham (1994), from memory).
void PropertyTables::add_levels(const Wall& wall) {
  for (std::size_t m = 0; m < wall.materials.size(); ++m) {
    const Material& material = wall.materials[m];
    const Damage* damage = material.damage.get();
    first_level_code_.push_back(static_cast<int>(codes()));
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
      add(conductivity_w_mk, {true, false, static_cast<int>(m), material.emissivity, capacity_j_m3k_[m + 1]});
    }
  }
}

void PropertyTables::find_steps() {
  resistivity_step_.resize(resistivity_.size());
  for (std::size_t n = 0; n + 1 < resistivity_.size(); ++n)
    resistivity_step_[n] = (n + 1) % resistivity_table::entries == 0 || n < resistivity_table::entries
                               ? 0.0F
                               : resistivity_[n + 1] - resistivity_[n];
}

/// From the steepest stretch of each code's row.
void PropertyTables::find_reaches() {
  constexpr float share = 0.9F * limits::conductivity_change;  // of the change: what rounding leaves open
  for (std::size_t code = 0; code < codes(); ++code) {
    const float* table = &resistivity_[code * resistivity_table::entries];
    float steepest = 0.0F;
    for (int n = 0; n + 1 < resistivity_table::entries; ++n)
      if (std::isfinite(table[n]))
        steepest = std::max(steepest, std::abs(table[n + 1] - table[n]) / std::min(table[n], table[n + 1]));
    reach_k_.push_back(steepest > 0.0F ? share * resistivity_table::spacing_k / steepest
                                       : std::numeric_limits<float>::infinity());
  }
}

int PropertyTables::code_of(int material, int level) const {
  const auto m = static_cast<std::size_t>(material);
  return level == 0 ? material + 1 : first_level_code_[m] + std::min(level, levels_[m]) - 1;
}

bool PropertyTables::any_levels() const {
  return std::any_of(levels_.begin(), levels_.end(), [](int levels) { return levels > 0; });
}

void PropertyTables::half_resistivities_of(const std::uint16_t* code, const float* rise_k, int n,
                                           float* __restrict into) const {
  const float* const table = resistivity_.data();
  const float* const step = resistivity_step_.data();
  WARMBAY_NO_ALIASES
  for (int i = 0; i < n; ++i) into[i] = TableEntry(code[i], rise_k[i]).of(table, step);
}

}  // namespace warmbay::sim
