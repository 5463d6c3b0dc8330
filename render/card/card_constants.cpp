// Writes sim's constants down for the kernels, so that nobody copies them by hand.

#include "render/card/card_constants.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <numbers>

#include "render/card/damage_on_card.hpp"
#include "sim/air_spaces.hpp"
#include "sim/damage/rules.hpp"
#include "sim/damage/state.hpp"
#include "sim/film.hpp"
#include "sim/film_table.hpp"
#include "sim/limits.hpp"
#include "sim/property_tables.hpp"
#include "sim/units.hpp"

namespace warmbay::render::card {
namespace {

class Declarations {
 public:
  void real(const char* name, double value) {
    std::string literal = fmt::format("{:.9g}", static_cast<float>(value));
    if (literal.find_first_of(".e") == std::string::npos) literal += ".0";
    text_ += fmt::format("const float {} = {};\n", name, literal);
  }
  void whole(const char* name, int value) { text_ += fmt::format("const int {} = {};\n", name, value); }
  void bits(const char* name, std::uint32_t value) { text_ += fmt::format("const uint {} = {}u;\n", name, value); }
  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  std::string text_;
};

void add_physics(Declarations& all) {
  all.real("datum_k", sim::datum_k);
  all.real("stefan_boltzmann_w_m2k4", sim::stefan_boltzmann_w_m2k4);
  all.real("gravity_m_s2", sim::gravity_m_s2);
  all.real("pi", std::numbers::pi);
  all.real("log2_of_10", std::numbers::ln10 * std::numbers::log2e);
}

void add_tables(Declarations& all) {
  namespace of = sim::resistivity_table;
  all.real("resistivity_table_from_rise_k", of::from_rise_k);
  all.real("resistivity_table_spacing_k", of::spacing_k);
  all.whole("resistivity_table_entries", of::entries);
  all.real("resistivity_table_last_place", of::last_place);
  all.real("film_table_reach", sim::FilmTable::reach);
  all.real("film_table_spacing", sim::FilmTable::spacing);
  all.whole("film_table_entries", sim::FilmTable::entries);
  all.real("film_table_last_place", sim::FilmTable::last_place);
}

void add_air(Declarations& all) {
  namespace air = sim::dry_air;
  all.real("dry_air_conductivity_factor", air::conductivity_factor);
  all.real("dry_air_conductivity_offset_k", air::conductivity_offset_k);
  all.real("dry_air_conductivity_fade_k", air::conductivity_fade_k);
  all.real("dry_air_viscosity_factor", air::viscosity_factor);
  all.real("dry_air_viscosity_offset_k", air::viscosity_offset_k);
  all.real("dry_air_pressure_pa", air::pressure_pa);
  all.real("dry_air_molar_mass_kg_mol", air::molar_mass_kg_mol);
  all.real("dry_air_gas_constant_j_molk", air::gas_constant_j_molk);
  all.real("dry_air_heat_capacity_j_kgk", air::heat_capacity_j_kgk);
  namespace layer = sim::tall_layer;
  all.real("tall_layer_turbulent_factor", layer::turbulent_factor);
  all.real("tall_layer_transition_factor", layer::transition_factor);
  all.real("tall_layer_transition_power", layer::transition_power);
  all.real("tall_layer_transition_rayleigh", layer::transition_rayleigh);
  all.real("tall_layer_transition_fade", layer::transition_fade);
  all.real("tall_layer_laminar_factor", layer::laminar_factor);
  all.real("tall_layer_laminar_power", layer::laminar_power);
  all.real("annulus_factor", sim::annulus::factor);
  all.real("annulus_prandtl_offset", sim::annulus::prandtl_offset);
  all.real("annulus_diameter_power", sim::annulus::diameter_power);
  all.real("plume_above", sim::plume_above);
  all.real("plume_beside", sim::plume_beside);
  all.real("plume_below", sim::plume_below);
  all.real("air_spaces_narrowest_annulus", sim::AirSpaces::narrowest_annulus);
  all.whole("air_spaces_radiant_rounds", sim::AirSpaces::radiant_rounds);
  all.whole("air_spaces_run_rounds", sim::AirSpaces::run_rounds);
}

void add_damage(Declarations& all) {
  all.whole("damage_processes", sim::damage_processes);
  all.whole("damage_cell_words", static_cast<int>(DamageOnCard::cell_words));
  all.real("collapse_done", sim::limits::collapse_done);
  all.real("rate_spacing_k", sim::limits::rate_spacing_k);
  all.real("state_changes_at", sim::state_changes_at);
  const auto state = [&](const char* name, sim::VoxelState of) { all.bits(name, static_cast<std::uint32_t>(of)); };
  state("voxel_sound", sim::VoxelState::sound);
  state("voxel_dried", sim::VoxelState::dried);
  state("voxel_softened", sim::VoxelState::softened);
  state("voxel_gone", sim::VoxelState::gone);
  state("voxel_charred", sim::VoxelState::charred);
  all.bits("told_softening", sim::told_bit(sim::Happening::softening));
  all.bits("told_charring", sim::told_bit(sim::Happening::charring));
  all.bits("told_ignition_risk", sim::told_bit(sim::Happening::ignition_risk));
  all.bits("has_cell", has_cell);
  all.bits("at_rest", at_rest);
}

}  // namespace

std::string card_constants() {
  Declarations all;
  add_physics(all);
  add_tables(all);
  add_air(all);
  add_damage(all);
  all.real("endless", endless);
  all.real("as_warm_as_it_is", as_warm_as_it_is);
  all.bits("step_taken", step_taken);
  all.bits("step_refused", step_refused);
  all.bits("step_too_long", step_too_long);
  return all.text();
}

}  // namespace warmbay::render::card
