// The numbers that the heat's kernels share with sim: written down for them from sim's headers, never by hand.

#include "render/card/card_constants.hpp"

#include <bit>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <map>
#include <numbers>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <variant>
#include <vector>

#include "render/card/damage_on_card.hpp"
#include "render/gl/program.hpp"
#include "render/gl/storage.hpp"
#include "scenes/places.hpp"
#include "sim/air_spaces.hpp"
#include "sim/damage/state.hpp"
#include "sim/film.hpp"
#include "sim/film_table.hpp"
#include "sim/limits.hpp"
#include "sim/property_tables.hpp"
#include "tests/render/context.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

/// GLSL's types; a real number of sim is rounded to float.
using Number = std::variant<double, int, std::uint32_t>;

std::uint32_t bits_of(const Number& number) {
  if (const auto* real = std::get_if<double>(&number)) return std::bit_cast<std::uint32_t>(static_cast<float>(*real));
  if (const auto* whole = std::get_if<int>(&number)) return std::bit_cast<std::uint32_t>(*whole);
  return std::get<std::uint32_t>(number);
}

/// What sim and the host's side say.
std::map<std::string, Number> wanted() {
  using sim::VoxelState, sim::Happening, sim::AirSpaces, sim::FilmTable;
  namespace table = sim::resistivity_table;
  namespace air = sim::dry_air;
  namespace layer = sim::tall_layer;
  const auto state = [](VoxelState of) { return static_cast<std::uint32_t>(of); };
  const auto told = [](Happening of) { return 1U << static_cast<unsigned>(of); };
  return {
      {"datum_k", sim::datum_k},
      {"stefan_boltzmann_w_m2k4", sim::stefan_boltzmann_w_m2k4},
      {"gravity_m_s2", sim::gravity_m_s2},
      {"pi", std::numbers::pi},
      {"log2_of_10", std::log2(10.0)},
      {"resistivity_table_from_rise_k", table::from_rise_k},
      {"resistivity_table_spacing_k", table::spacing_k},
      {"resistivity_table_entries", table::entries},
      {"resistivity_table_last_place", table::last_place},
      {"film_table_reach", FilmTable::reach},
      {"film_table_spacing", FilmTable::spacing},
      {"film_table_entries", FilmTable::entries},
      {"film_table_last_place", FilmTable::last_place},
      {"dry_air_conductivity_factor", air::conductivity_factor},
      {"dry_air_conductivity_offset_k", air::conductivity_offset_k},
      {"dry_air_conductivity_fade_k", air::conductivity_fade_k},
      {"dry_air_viscosity_factor", air::viscosity_factor},
      {"dry_air_viscosity_offset_k", air::viscosity_offset_k},
      {"dry_air_pressure_pa", air::pressure_pa},
      {"dry_air_molar_mass_kg_mol", air::molar_mass_kg_mol},
      {"dry_air_gas_constant_j_molk", air::gas_constant_j_molk},
      {"dry_air_heat_capacity_j_kgk", air::heat_capacity_j_kgk},
      {"tall_layer_turbulent_factor", layer::turbulent_factor},
      {"tall_layer_transition_factor", layer::transition_factor},
      {"tall_layer_transition_power", layer::transition_power},
      {"tall_layer_transition_rayleigh", layer::transition_rayleigh},
      {"tall_layer_transition_fade", layer::transition_fade},
      {"tall_layer_laminar_factor", layer::laminar_factor},
      {"tall_layer_laminar_power", layer::laminar_power},
      {"annulus_factor", sim::annulus::factor},
      {"annulus_prandtl_offset", sim::annulus::prandtl_offset},
      {"annulus_diameter_power", sim::annulus::diameter_power},
      {"plume_above", sim::plume_above},
      {"plume_beside", sim::plume_beside},
      {"plume_below", sim::plume_below},
      {"air_spaces_narrowest_annulus", AirSpaces::narrowest_annulus},
      {"air_spaces_radiant_rounds", AirSpaces::radiant_rounds},
      {"air_spaces_run_rounds", AirSpaces::run_rounds},
      {"damage_processes", sim::damage_processes},
      {"damage_cell_words", static_cast<int>(render::card::DamageOnCard::cell_words)},
      {"collapse_done", sim::limits::collapse_done},
      {"rate_spacing_k", sim::limits::rate_spacing_k},
      {"state_changes_at", sim::state_changes_at},
      {"voxel_sound", state(VoxelState::sound)},
      {"voxel_dried", state(VoxelState::dried)},
      {"voxel_softened", state(VoxelState::softened)},
      {"voxel_gone", state(VoxelState::gone)},
      {"voxel_charred", state(VoxelState::charred)},
      {"told_softening", told(Happening::softening)},
      {"told_charring", told(Happening::charring)},
      {"told_ignition_risk", told(Happening::ignition_risk)},
      {"has_cell", render::card::has_cell},
      {"at_rest", render::card::at_rest},
      {"step_taken", render::card::step_taken},
      {"step_refused", render::card::step_refused},
      {"step_too_long", render::card::step_too_long},
      {"endless", 1e30},
      {"as_warm_as_it_is", -1e30},
  };
}

struct Declaration {
  std::string type, name, literal;
};
std::vector<Declaration> declarations() {
  static const std::regex form(R"(const (float|int|uint) (\w+) = (\S+);)");
  std::istringstream text(render::card::card_constants());
  std::vector<Declaration> all;
  for (std::string line; std::getline(text, line);) {
    std::smatch found;
    INFO(line);
    REQUIRE(std::regex_match(line, found, form));
    all.push_back({found[1], found[2], found[3]});
  }
  return all;
}

Number read(const Declaration& declared) {
  char* end = nullptr;
  Number number;
  if (declared.type == "float")
    number = static_cast<double>(std::strtof(declared.literal.c_str(), &end));
  else if (declared.type == "int")
    number = static_cast<int>(std::strtol(declared.literal.c_str(), &end, 10));
  else
    number = static_cast<std::uint32_t>(std::strtoul(declared.literal.c_str(), &end, 10));
  CHECK(std::string(end) == (declared.type == "uint" ? "u" : ""));
  return number;
}

std::string whole_text(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// The heat's kernels, comments left out, by name.
std::map<std::string, std::string> kernels() {
  static const std::regex comment("//[^\n]*");
  std::map<std::string, std::string> texts;
  for (const auto& entry : std::filesystem::directory_iterator(scenes::find_places().shaders / "heat"))
    texts[entry.path().filename().string()] = std::regex_replace(whole_text(entry.path()), comment, "");
  REQUIRE(texts.size() > 20);  // or they were not found
  return texts;
}

/// Numbers in a kernel that it has no business to hold itself, and declarations of constants.
std::vector<std::string> numbers_of_its_own(const std::string& kernel) {
  // Counts, indices and sizes of work groups; halves and what formulas are raised to or divided by; the series of
  // 1 - exp(-x) and from where it is left (0.05); bits; the version of GLSL; what keeps a root from 0 (1e-30).
  static const std::set<std::string> may{
      "0",   "1",    "2",     "3",    "4",   "5",           "8",           "9",           "27",      "32",  "64",
      "128", "0.0",  "0.0LF", "0.25", "0.5", "1.0",         "0.5LF",       "1.0LF",       "2.0",     "3.0", "5.0",
      "6.0", "24.0", "0.05",  "0u",   "1u",  "0x80000000u", "0x7FFFFFFFu", "0x7FF00000u", "0xFFFFu", "430", "1e-30"};
  static const std::regex layout(R"(layout\([^)]*\))");
  static const std::regex literal(R"((^|[^\w.])((0x[0-9A-Fa-f]+|\d+\.?\d*|\.\d+)([eE][-+]?\d+)?(LF|lf|f|F|u)?))");
  static const std::regex constant(R"(const\s+\w+\s+(\w+)\s*=)");
  static const std::set<std::string> sizes{"group", "group_size", "side", "carriers", "ahead"};
  const std::string text = std::regex_replace(kernel, layout, "");
  std::vector<std::string> found;
  for (std::sregex_iterator at(text.begin(), text.end(), literal), end; at != end; ++at)
    if (may.count((*at)[2]) == 0) found.push_back((*at)[2]);
  for (std::sregex_iterator at(text.begin(), text.end(), constant), end; at != end; ++at)
    if (sizes.count((*at)[1]) == 0) found.push_back("const " + (*at)[1].str());
  return found;
}

}  // namespace

TEST_CASE("every number that the kernels share with sim is written down for them to its last bit") {
  std::map<std::string, Number> left = wanted();
  for (const Declaration& declared : declarations()) {
    INFO(declared.type << " " << declared.name << " = " << declared.literal);
    const auto found = left.find(declared.name);
    REQUIRE(found != left.end());
    const Number number = read(declared);
    CHECK(number.index() == found->second.index());
    CHECK(bits_of(number) == bits_of(found->second));
    left.erase(found);
  }
  for (const auto& [name, number] : left) FAIL_CHECK(name << " is not written down");
}

TEST_CASE("no kernel of the heat has a copy of its own of a number of sim") {
  std::string all;
  for (const auto& [name, text] : kernels()) {
    for (const std::string& number : numbers_of_its_own(text)) FAIL_CHECK(name << " has " << number);
    all += text;
  }
  for (const Declaration& declared : declarations()) {
    INFO(declared.name << " is used by none");
    CHECK(std::regex_search(all, std::regex("\\b" + declared.name + "\\b")));
  }
}

TEST_CASE("a copied number is seen, however it is written") {
  CHECK(numbers_of_its_own("float w = area_m2 * 5.670374419e-8;") == std::vector<std::string>{"5.670374419e-8"});
  CHECK(numbers_of_its_own("x = pow(ra, .293);") == std::vector<std::string>{".293"});
  CHECK(numbers_of_its_own("t + 110.4f") == std::vector<std::string>{"110.4f"});
  CHECK(numbers_of_its_own("int n = 301;") == std::vector<std::string>{"301"});
  CHECK(numbers_of_its_own("const float plume_beside = 1.0;") == std::vector<std::string>{"const plume_beside"});
  CHECK(numbers_of_its_own("layout(local_size_x = 96) in;\nconst int group = 64;\nvec3 p = q3.xyz * 0.5;").empty());
}

TEST_CASE("the driver reads every generated number to its last bit") {
  const auto context = render::testing::headless_or_skip();
  if (!context) return;
  const std::vector<Declaration> all = declarations();
  std::string kernel =
      "#version 430 core\nlayout(local_size_x = 1) in;\n"
      "layout(std430, binding = 0) writeonly buffer Result { uint result[]; };\nvoid main() {\n";
  for (std::size_t n = 0; n < all.size(); ++n)
    kernel += "  result[" + std::to_string(n) + "] = " + (all[n].type == "float" ? "floatBitsToUint(" : "uint(") +
              all[n].name + ");\n";
  const tests::TemporaryFolder folder;
  const render::gl::ComputeProgram program({folder.write("numbers.comp", kernel + "}\n")},
                                           render::card::card_constants());
  REQUIRE(program.error().empty());
  std::vector<std::uint32_t> result(all.size());
  render::gl::Storage storage;
  storage.store(result);
  render::card::run(program, {&storage}, 1);
  storage.fetch(result);
  const std::map<std::string, Number> right = wanted();
  for (std::size_t n = 0; n < all.size(); ++n) {
    INFO(all[n].name);
    CHECK(result[n] == bits_of(right.at(all[n].name)));
  }
}

TEST_CASE("generated GLSL does not shift the lines that faults are told by") {
  const auto context = render::testing::headless_or_skip();
  if (!context) return;
  const tests::TemporaryFolder folder;
  const auto first = folder.write("first.glsl", "#version 430 core\nlayout(local_size_x = 1) in;\n");
  const auto faulty = folder.write("faulty.comp", "void main() {\n  float x = nothing;\n}\n");
  const std::string constants = "const int one = 1;\nconst int two = 2;\n";
  const auto error_of = [](const std::vector<std::filesystem::path>& files, const std::string& generated) {
    const std::string error = render::gl::ComputeProgram(files, generated).error();
    return error.substr(0, error.find(": "));
  };
  CHECK(error_of({first, faulty}, constants) == faulty.string() + ":2");
  CHECK(error_of({first, faulty}, {}) == faulty.string() + ":2");
  const auto sound = folder.write("sound.comp", "void main() {}\n");
  CHECK(error_of({first, sound}, constants + "const int three = nothing;\n") == "generated constants:3");
  const auto second_line = folder.write("line.comp", "#version 430 core\nfloat y = nothing;\nvoid main() {}\n");
  CHECK(error_of({second_line}, constants) == second_line.string() + ":2");
}
