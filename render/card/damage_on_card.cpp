// Cells, rules and rates laid out for shaders/heat/damage.comp, whose structures these mirror.

#include "render/card/damage_on_card.hpp"

#include <algorithm>
#include <cstring>
#include <limits>

#include "render/card/card_constants.hpp"

namespace warmbay::render::card {
namespace {

struct Cell {
  std::int32_t voxel;
  std::uint32_t material, state, level;
  float mass_kg, collapsed, sound_kg;
  float extent[sim::damage_processes];
  float air_j_k;
};
struct Process {
  std::int32_t kind, rates_from, rates;
  float from_k, to_k, lost, heat_j_kg, smoke_kg_kg;
  std::int32_t chars;
};
struct Rules {
  Process processes[sim::damage_processes];
  std::int32_t collapses, collapse_from, collapse_rates;
  float collapse_from_k, collapse_heat_j_kg;
  float softens_k, ignites_k, quiet_below_k, specific_j_kgk;
  std::int32_t levels, first_level_code, changed_by;
};
static_assert(sim::damage_processes == 3 && sizeof(Cell) == 4 * DamageOnCard::cell_words);

constexpr std::size_t group_size = 128, most_groups = 256, sum_words_a_group = 8;
constexpr float never_k = endless;

/// As shaders/heat/find_going.comp and see_cells.comp write them.
struct Seen {
  std::int32_t which;
  Cell cell;
  float rise_k;
};
constexpr std::size_t seen_words = sizeof(Seen) / sizeof(std::uint32_t);

/// What has happened to a cell on the card.
void take_over(const Cell& from, sim::DamageCell& to) {
  to.state = static_cast<sim::VoxelState>(from.state);
  to.level = static_cast<std::uint8_t>(from.level);
  to.mass_kg = from.mass_kg;
  to.collapsed = from.collapsed;
  std::copy_n(from.extent, sim::damage_processes, to.extent.begin());
}

Cell on_card(const sim::DamageCell& cell, const sim::Conduction& wall) {
  const double air_j_k = cell.state == sim::VoxelState::gone ? wall.void_capacity_j_k(cell.voxel) : 0.0;
  Cell out{static_cast<std::int32_t>(cell.voxel),
           cell.material,
           static_cast<std::uint32_t>(cell.state),
           cell.level,
           cell.mass_kg,
           cell.collapsed,
           cell.sound_kg,
           {},
           static_cast<float>(air_j_k)};
  std::copy(cell.extent.begin(), cell.extent.end(), out.extent);
  return out;
}

/// Appends a table of rates; says where it begins and how long it is.
void append_rates(const sim::ReactionRates& rates, std::vector<float>& all, std::int32_t& from, std::int32_t& count) {
  from = static_cast<std::int32_t>(all.size());
  count = static_cast<std::int32_t>(rates.values_1_s().size());
  all.insert(all.end(), rates.values_1_s().begin(), rates.values_1_s().end());
}

Rules rules_of(const sim::Kinetics& kinetics, std::vector<float>& rates) {
  const sim::Damage& damage = kinetics.rules();
  Rules rules{};
  for (std::size_t p = 0; p < damage.processes.size(); ++p) {
    const sim::Process& from = damage.processes[p];
    Process& to = rules.processes[p];
    to.kind = from.kind == sim::Process::Kind::arrhenius ? 1 : 2;
    append_rates(kinetics.rates(p), rates, to.rates_from, to.rates);
    to.from_k = static_cast<float>(from.from_k);
    to.to_k = static_cast<float>(from.to_k);
    to.lost = static_cast<float>(from.lost);
    to.heat_j_kg = static_cast<float>(from.heat_j_kg);
    to.smoke_kg_kg = static_cast<float>(from.smoke_kg_kg);
    to.chars = from.chars ? 1 : 0;
  }
  rules.collapses = damage.collapse ? 1 : 0;
  append_rates(kinetics.collapse_rates(), rates, rules.collapse_from, rules.collapse_rates);
  rules.collapse_from_k = kinetics.collapse_rates().from_k();
  rules.collapse_heat_j_kg = damage.collapse ? static_cast<float>(damage.collapse->heat_j_kg) : 0.0F;
  rules.softens_k = damage.softens_k ? static_cast<float>(*damage.softens_k) : never_k;
  rules.ignites_k = damage.ignites_k ? static_cast<float>(*damage.ignites_k) : never_k;
  rules.quiet_below_k = static_cast<float>(kinetics.quiet_below_k());
  rules.changed_by = damage.changed_by;
  return rules;
}

}  // namespace

DamageOnCard::DamageOnCard(const sim::Conduction& wall, const sim::WallDamage& rules, const Kernels& kernels)
    : layout_(wall.layout()) {
  take_rules(wall, rules, kernels);
  std::vector<float> quiet;
  for (const float rise_k : rules.quiet_rise_k()) quiet.push_back(std::min(rise_k, never_k));
  quiet_.store(quiet);
  if (rules.possible()) found_.allocate(room_for_found() * sizeof(std::uint32_t));
  kernels.look.set("room", static_cast<int>(room_for_found()));
}

void DamageOnCard::take_rules(const sim::Conduction& wall, const sim::WallDamage& rules, const Kernels& kernels) {
  std::vector<Rules> all;
  std::vector<float> rates;
  const std::vector<sim::Material>& materials = wall.wall().materials;
  for (std::size_t m = 0; m < materials.size(); ++m) {
    const int material = static_cast<int>(m);
    const sim::Kinetics* const kinetics = rules.kinetics_of(material);
    all.push_back(kinetics ? rules_of(*kinetics, rates) : Rules{});
    all.back().specific_j_kgk = static_cast<float>(materials[m].heat_capacity_j_kgk);
    all.back().levels = wall.tables().levels_of(material);
    all.back().first_level_code = wall.tables().levels_of(material) > 0 ? wall.tables().code_of(material, 1) : 0;
  }
  rules_.store(all);
  told_from_ = rates.size();
  rates.resize(told_from_ + materials.size(), 0.0F);
  rates_.store(rates);
  kernels.damage.set("told_from", static_cast<int>(told_from_));
  told_.assign(materials.size(), 0);
}

void DamageOnCard::put(const sim::DamageState& state, const sim::Conduction& wall, const Kernels& kernels) {
  std::vector<Cell> cells;
  for (const sim::DamageCell& cell : state.cells) cells.push_back(on_card(cell, wall));
  count_ = cells.size();
  if (room_ < count_) {
    room_ = 2 * count_;
    cells_.allocate(room_ * sizeof(Cell));
  }
  cells_.put<Cell>(0, cells);
  kernels.damage.set("count", static_cast<int>(count_));
  set_told(state.told_material);
}

void DamageOnCard::make_room_for(std::size_t cells) {
  std::vector<Cell> kept(count_);
  cells_.fetch(kept);
  room_ = 2 * cells;
  cells_.allocate(room_ * sizeof(Cell));
  cells_.put<Cell>(0, kept);
}

void DamageOnCard::append(const sim::DamageState& state, std::size_t first, const sim::Conduction& wall,
                          const Kernels& kernels) {
  std::vector<Cell> cells;
  for (std::size_t c = first; c < state.cells.size(); ++c) cells.push_back(on_card(state.cells[c], wall));
  cells_.put<Cell>(first, cells);
  count_ = state.cells.size();
  kernels.damage.set("count", static_cast<int>(count_));
}

void DamageOnCard::put_some(const sim::DamageState& state, const std::vector<std::uint32_t>& which,
                            const sim::Conduction& wall, const Kernels& kernels) {
  struct Put {
    std::uint32_t to;
    Cell cell;
  };
  std::vector<Put> puts;
  for (const std::uint32_t c : which) puts.push_back({c, on_card(state.cells[c], wall)});
  puts_.store_with_room(puts);
  kernels.put_cells.set("count", static_cast<int>(puts.size()));
  run(kernels.put_cells, {&puts_, &cells_}, groups(puts.size(), 64));
}

void DamageOnCard::fetch(sim::DamageState& state) const {
  std::vector<Cell> cells(count_);
  cells_.fetch(cells);
  for (std::size_t c = 0; c < count_; ++c) take_over(cells[c], state.cells[c]);
}

std::vector<std::uint32_t> DamageOnCard::fetch_going(const Kernels& kernels, const gl::Storage& rise, std::size_t about,
                                                     sim::DamageState& state, sim::Field& rise_k) {
  std::vector<std::uint32_t> words;
  for (std::size_t room = about;; room = words[0]) {
    words.resize(1 + room * seen_words);
    if (seen_.bytes() < words.size() * sizeof(std::uint32_t)) seen_.allocate(2 * words.size() * sizeof(std::uint32_t));
    seen_.fill(0, 0, 1);
    gl::wait_for_kernels();
    kernels.find_going.set("count", static_cast<int>(count_));
    kernels.find_going.set("room", static_cast<int>(room));
    run(kernels.find_going, {&rise, &cells_, &seen_}, groups(count_, 64));
    seen_.fetch(words);
    if (words[0] <= room) break;
  }
  std::vector<Seen> seen(words[0]);
  if (!seen.empty()) std::memcpy(seen.data(), &words[1], seen.size() * sizeof(Seen));
  std::vector<std::uint32_t> going;
  for (const Seen& one : seen) {
    take_over(one.cell, state.cells[static_cast<std::size_t>(one.which)]);
    rise_k[static_cast<std::size_t>(one.cell.voxel)] = one.rise_k;
    going.push_back(static_cast<std::uint32_t>(one.which));
  }
  std::sort(going.begin(), going.end());
  return going;
}

void DamageOnCard::fetch_some(const Kernels& kernels, const gl::Storage& rise, const std::vector<Wanted>& wanted,
                              sim::DamageState& state, sim::Field& rise_k) {
  if (wanted.empty()) return;
  wanted_.store_with_room(wanted);
  std::vector<Seen> seen(wanted.size());
  if (seen_.bytes() < seen.size() * sizeof(Seen)) seen_.allocate(2 * seen.size() * sizeof(Seen));
  kernels.see_cells.set("count", static_cast<int>(wanted.size()));
  run(kernels.see_cells, {&rise, &cells_, &wanted_, &seen_}, groups(wanted.size(), 64));
  seen_.fetch(seen);
  for (std::size_t n = 0; n < seen.size(); ++n) {
    if (seen[n].which >= 0) take_over(seen[n].cell, state.cells[static_cast<std::size_t>(seen[n].which)]);
    rise_k[static_cast<std::size_t>(wanted[n].voxel)] = seen[n].rise_k;
  }
}

void DamageOnCard::set_told(const std::vector<std::uint8_t>& told_material) {
  if (told_ == told_material || told_material.empty()) return;
  told_ = told_material;
  rates_.put<float>(told_from_, std::vector<float>(told_.begin(), told_.end()));
}

std::size_t DamageOnCard::sum_words() {
  return most_groups * sum_words_a_group;
}
std::size_t DamageOnCard::room_for_found() {
  return std::size_t{1} << 20U;
}

void DamageOnCard::step(const Kernels& kernels, const FieldOnCard& field, const gl::Storage& result,
                        std::size_t sums_from, std::size_t news_from) const {
  result.fill(0, sums_from, sum_words());
  result.fill(0, news_from, news_words);
  gl::wait_for_kernels();
  const std::size_t wanted = std::min(groups(count_, group_size), most_groups);
  run(kernels.damage, {&field.rise, &field.capacity, &field.codes, &cells_, &rules_, &rates_, &field.change, &result},
      wanted);
  look(kernels, field, result, news_from);
}

void DamageOnCard::look(const Kernels& kernels, const FieldOnCard& field, const gl::Storage& result,
                        std::size_t news_from) const {
  kernels.look.set("result_from", static_cast<int>(news_from + 3));
  result.fill(0, news_from + 3, 1);
  gl::wait_for_kernels();
  run(kernels.look, {&field.rise, &field.codes, &quiet_, &found_, &result},
      groups(static_cast<std::size_t>(layout_.nx), 32), groups(static_cast<std::size_t>(layout_.ny), 4),
      static_cast<std::size_t>(layout_.nz));
}

DamageOnCard::Books DamageOnCard::read(const std::uint32_t* sums) {
  Books books;
  for (std::size_t g = 0; g < most_groups; ++g) {
    double of[4];
    std::memcpy(of, sums + g * sum_words_a_group, sizeof of);
    books.change += sim::Kinetics::Change{of[0], of[1], of[2]};
    books.with_gas_j += of[3];
  }
  return books;
}

std::vector<std::uint32_t> DamageOnCard::found(const Kernels& kernels, std::size_t how_many) {
  // The way to the host leads through a small buffer: a driver may bring all of the one it is asked for a part of.
  if (few_.bytes() < how_many * sizeof(std::uint32_t)) few_.allocate(2 * how_many * sizeof(std::uint32_t));
  copy(kernels, found_, few_, how_many);
  std::vector<std::uint32_t> voxels(how_many);
  few_.fetch(voxels);
  std::sort(voxels.begin(), voxels.end());
  return voxels;
}

}  // namespace warmbay::render::card
