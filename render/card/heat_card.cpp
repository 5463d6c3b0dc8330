// The engine: what is run in a step, what is read back, and keeping the host's copy honest.
//
// The wall's damage runs on the card, right after the step it belongs to. Rare decisions are the host's: which cells
// begin, which become void, what is told. So are the cables' plastics and their wear, a few hundred stretches whose
// temperatures come back anyway.

#include "render/card/heat_card.hpp"

#include <fmt/format.h>
#include <glad/gl.h>

#include <algorithm>
#include <cstring>

#include "render/card/card_constants.hpp"
#include "sim/bit_cast.hpp"
#include "sim/instrument.hpp"
#include "sim/limits.hpp"
#include "sim/stability_trial.hpp"

namespace warmbay::render::card {
namespace {

struct StepBlock {  // as in shaders/heat/common.glsl
  float dt_s, half_s, current_a, again, ballast_share, ballast_most_j_m3k, unused[2];
  double lowest_k, highest_k, copper_highest_k, moves_most_k;
};
constexpr std::size_t verdict_at = 3;  // among the readings

double finite(double x) {
  return std::clamp(x, -double{endless}, double{endless});
}
constexpr std::size_t range_words = 4;

double double_at(const std::uint32_t* words) {
  double value = 0.0;
  std::memcpy(&value, words, sizeof value);
  return value;
}

bool has_kernels() {
  GLint major = 0, minor = 0;
  glGetIntegerv(GL_MAJOR_VERSION, &major);
  glGetIntegerv(GL_MINOR_VERSION, &minor);
  return major > 4 || (major == 4 && minor >= 3);
}

}  // namespace

std::unique_ptr<HeatCard> HeatCard::make(const sim::EngineParts& parts, std::unique_ptr<gl::HeadlessGl> context,
                                         const std::filesystem::path& shaders, std::string& error,
                                         std::shared_ptr<FieldPool> shared) {
  context->enter();
  const sim::Layout& layout = parts.conduction.layout();
  if (!has_kernels()) {
    error = "OpenGL 4.3 is needed for the heat on a graphics card, and this one has an older one";
    return nullptr;
  }
  if (layout.size * sizeof(float) > gl::largest_storage()) {
    error = fmt::format("a wall of {} voxels is too large for this graphics card: its buffers hold {} MiB at most",
                        parts.conduction.wall().grid.count(), gl::largest_storage() >> 20U);
    return nullptr;
  }
  std::unique_ptr<Kernels> kernels = Kernels::load(shaders, layout, error);
  if (!kernels) return nullptr;
  while (glGetError() != GL_NO_ERROR) {
  }
  std::unique_ptr<HeatCard> card(
      new HeatCard(parts, std::move(context), std::move(kernels), std::move(shared)));  // NOLINT: private
  if (glGetError() == GL_OUT_OF_MEMORY) {
    error = fmt::format("a wall of {} voxels does not fit into this graphics card's memory",
                        parts.conduction.wall().grid.count());
    return nullptr;
  }
  return card;
}

HeatCard::HeatCard(const sim::EngineParts& parts, std::unique_ptr<gl::HeadlessGl> context,
                   std::unique_ptr<Kernels> kernels, std::shared_ptr<FieldPool> shared)
    : parts_(parts),
      context_(std::move(context)),
      kernels_(std::move(kernels)),
      shared_(std::move(shared)),
      name_(reinterpret_cast<const char*>(glGetString(GL_RENDERER))),  // NOLINT: OpenGL's strings are unsigned char
      field_(parts.conduction, *kernels_),
      copper_(parts.conduction, *kernels_),
      damage_(parts.conduction, parts.wall_damage, *kernels_),
      whole_(parts.conduction, parts.crew) {
  before_.allocate(field_.rise.bytes());
  step_block_.allocate(sizeof(StepBlock));
  glGenQueries(1, &timer_);
  for (const sim::CopperLine& line : parts.conduction.copper().lines)
    for (const sim::SheathLink& link : line.links) linked_.push_back(link.voxel);
  std::sort(linked_.begin(), linked_.end());
  linked_.erase(std::unique(linked_.begin(), linked_.end()), linked_.end());
  is_linked_.assign(parts.conduction.layout().size, false);
  for (const std::size_t voxel : linked_) is_linked_[voxel] = true;
  watch();
}

HeatCard::~HeatCard() {
  context_->enter();
  glDeleteQueries(1, &timer_);
}

void HeatCard::leave_thread() {
  context_->leave();
}

/// Which voxels come back after every step: the cables' sheaths, and what thermocouples look at.
void HeatCard::watch() {
  const sim::Conduction& wall = parts_.conduction;
  std::vector<std::size_t> beside;
  const bool first_time = watched_.empty() && watched_films_.empty();
  for (const sim::Thermocouple& spot : wall.wall().thermocouples) {
    if (spot.cable >= 0 && !spot.slips) continue;  // that one looks at sheaths only
    for (const std::size_t voxel : sim::voxels_read(wall, spot))
      if (!is_linked_[voxel]) beside.push_back(voxel);
  }
  std::sort(beside.begin(), beside.end());
  beside.erase(std::unique(beside.begin(), beside.end()), beside.end());
  if (beside == beside_ && !first_time) return;
  beside_ = std::move(beside);
  watched_.clear();
  std::merge(linked_.begin(), linked_.end(), beside_.begin(), beside_.end(), std::back_inserter(watched_));
  // Surroundings are looked at from spots that stay where they are: their films are found once.
  for (std::size_t n = 0; first_time && n < wall.surfaces().size(); ++n)
    if (std::binary_search(beside_.begin(), beside_.end(), wall.surfaces()[n].outside)) watched_films_.push_back(n);
  lay_out_readings();
}

void HeatCard::lay_out_readings() {
  std::vector<int> voxels(watched_.begin(), watched_.end()), films;
  for (const std::size_t surface : watched_films_) films.push_back(field_.film_place(surface));
  watched_places_.store_with_room(voxels);
  film_places_.store_with_room(films);
  copper_from_ = range_words;
  heat_from_ = copper_from_ + 2 * copper_.nodes();
  before_from_ = heat_from_ + 2 * copper_.lines();
  after_from_ = before_from_ + 4 * field_.chunks();
  present_from_ = after_from_ + 4 * field_.chunks();
  sums_from_ = present_from_ + 4 * field_.chunks();
  news_from_ = sums_from_ + DamageOnCard::sum_words();
  voxels_from_ = news_from_ + DamageOnCard::news_words;
  films_from_ = voxels_from_ + watched_.size();
  words_ = films_from_ + films.size();
  if (result_.bytes() < words_ * sizeof(std::uint32_t)) result_.allocate(2 * words_ * sizeof(std::uint32_t));
  result_.fill(0, 0, words_);
  readings_.assign(words_, 0);
  surfaces_known_ = looked_ = false;
  kernels_->damage.set("result_sums", static_cast<int>(sums_from_));
  kernels_->damage.set("result_news", static_cast<int>(news_from_));
  kernels_->copper.set("result_from", static_cast<int>(copper_from_));
  kernels_->copper.set("result_heat", static_cast<int>(heat_from_));
  kernels_->judge.set("copper_from", static_cast<int>(copper_from_));
  kernels_->judge.set("nodes", static_cast<int>(copper_.nodes()));
  kernels_->gather_field.set("result_from", static_cast<int>(voxels_from_));
  kernels_->gather_field.set("count", static_cast<int>(watched_.size()));
  kernels_->gather_films.set("result_from", static_cast<int>(films_from_));
  kernels_->gather_films.set("count", static_cast<int>(films.size()));
}

void HeatCard::put_all(const sim::HeatState& heat, const sim::DamageState& damage) {
  std::vector<std::uint32_t> flags(damage.cells.empty() ? 0 : parts_.conduction.layout().size, 0U);
  for (const sim::DamageCell& cell : damage.cells) flags[cell.voxel] = has_cell;
  field_.put(parts_.conduction, heat, flags);
  change_s_ = heat.change_s;
  copper_.put(heat.copper_rise_k);
  damage_.put(damage, parts_.conduction, *kernels_);
  leaving_known_ = surfaces_known_ = looked_ = false;
  host_is_whole_ = cells_fetched_ = true;
}

void HeatCard::take_over(const sim::HeatState& heat, const sim::DamageState& damage) {
  context_->enter();
  put_all(heat, damage);
}

void HeatCard::fetch_cells(sim::DamageState& damage) {
  if (cells_fetched_) return;
  damage_.fetch(damage);
  parts_.wall_damage.renew(damage);
  cells_fetched_ = true;
}

void HeatCard::fetch(sim::HeatState& heat, sim::DamageState& damage) {
  if (host_is_whole_ && cells_fetched_) return;
  context_->enter();
  fetch_cells(damage);
  field_.fetch(heat);
  ++fields_fetched_;
  heat.change_s = change_s_;
  host_is_whole_ = true;
}

std::shared_ptr<const sim::SharedField> HeatCard::share_field() {
  if (!shared_) return nullptr;
  context_->enter();
  const sim::Layout& layout = parts_.conduction.layout();
  std::shared_ptr<const SharedField> shared = shared_->take({layout.nx, layout.ny, layout.nz});
  field_.share(*kernels_, shared->texture());
  return shared;
}

void HeatCard::refresh(const sim::HeatState&) {
  context_->enter();
  field_.refresh(*kernels_);
  leaving_known_ = surfaces_known_ = false;
}

sim::ConductanceState HeatCard::save_conductances() {
  context_->enter();
  return field_.save(parts_.conduction);
}

void HeatCard::restore(sim::HeatState& heat, const sim::DamageState& damage,
                       const sim::ConductanceState& conductances) {
  context_->enter();
  field_.take_air(parts_.conduction, *kernels_);
  put_all(heat, damage);
  field_.restore(conductances, *kernels_);
  watch();
}

void HeatCard::set_step(double dt_s, const sim::Feed& feed, const Bound& bound) {
  const auto dt = static_cast<float>(dt_s);
  const std::array<StepBlock, 1> block{{{dt,
                                         sim::limits::split_theta * dt,
                                         static_cast<float>(feed.supply_a),
                                         sim::ballast_again(dt_s, change_s_),
                                         dt / sim::limits::ballast_from,
                                         sim::limits::ballast_most_j_m3k,
                                         {},
                                         finite(bound.rises.before.lowest_k),
                                         finite(bound.rises.before.highest_k),
                                         finite(bound.rises.copper_highest_k),
                                         finite(bound.moves_most_k)}}};
  step_block_.put<StepBlock>(0, block);
  glBindBufferBase(GL_UNIFORM_BUFFER, 0, step_block_.id());
  copper_.set_feed(feed);
  change_s_ = dt_s;
}

void HeatCard::run_step() {
  result_.fill(0, 0, range_words);  // in the kernels' order of floats: the largest |w|, lowest, highest; the verdict
  result_.fill(~0U, 1, 1);
  gl::wait_for_kernels();
  field_.step(*kernels_, result_, [&] { copper_.flow(*kernels_, field_.rise, field_.change); });
  copper_.step(*kernels_, field_.rise, field_.change, field_.swept, result_);
}

double HeatCard::longest_stable_step_s(double wanted_s) {
  context_->enter();
  const sim::Feed none = sim::steady_feed(parts_.conduction.copper(), 0.0);
  return sim::longest_stable_step_s(parts_.conduction, wanted_s, [&](sim::HeatState& state, double step_s, int steps) {
    put_all(state, {});
    for (int n = 0; n < steps; ++n) {
      set_step(step_s, none, {});
      run_step();
    }
    field_.fetch(state);
    state.change_s = change_s_;
    copper_.fetch(state.copper_rise_k);
  });
}

/// All is as it was before a step that was refused.
void HeatCard::undo(const sim::HeatState& heat, double change_before_s) {
  copy(*kernels_, before_, field_.rise, parts_.conduction.layout().size);
  copper_.put(heat.copper_rise_k);
  field_.change.fill(0, 0, field_.change.bytes() / sizeof(float));
  change_s_ = change_before_s;
  leaving_known_ = surfaces_known_ = looked_ = false;
}

/// The wall's damage during the last step, and what is read back afterwards.
void HeatCard::run_damage() {
  if (parts_.wall_damage.possible()) damage_.step(*kernels_, field_, result_, sums_from_, news_from_);
  if (damage_.count() > 0) field_.sum_surfaces(*kernels_, result_, present_from_);
  run(kernels_->gather_field, {&field_.rise, &watched_places_, &result_}, groups(watched_.size(), 64));
  run(kernels_->gather_films, {&field_.films, &film_places_, &result_}, groups(watched_films_.size(), 64));
}

sim::HeatEngine::Outcome HeatCard::step(sim::HeatState& heat, double dt_s, const sim::Feed& feed, const Bound& bound) {
  context_->enter();
  Outcome outcome;
  const double change_before_s = change_s_;
  set_step(dt_s, feed, bound);
  glBeginQuery(GL_TIME_ELAPSED, timer_);
  copy(*kernels_, field_.rise, before_, parts_.conduction.layout().size);
  const bool before_known = leaving_known_;
  if (!before_known) field_.sum_surfaces(*kernels_, result_, before_from_);
  run_step();
  field_.sum_surfaces(*kernels_, result_, after_from_);
  run(kernels_->judge, {&result_}, 1);
  run_damage();
  glEndQuery(GL_TIME_ELAPSED);
  result_.fetch(readings_);
  outcome.too_long = readings_[verdict_at] == step_too_long;
  outcome.refused = readings_[verdict_at] != step_taken;
  if (outcome.refused) {
    undo(heat, change_before_s);
    return outcome;
  }
  read_back(heat);
  const bool damaged = damage_.count() > 0;
  const double before_w = before_known ? leaving_w_ : leaving_w(before_from_);
  leaving_w_ = leaving_w(after_from_);
  leaving_known_ = surfaces_known_ = looked_ = true;
  if (!damaged)
    std::copy_n(&readings_[after_from_], 4 * field_.chunks(), readings_.begin() + std::ptrdiff_t(present_from_));
  cells_fetched_ = !damaged;
  outcome.left_j = 0.5 * dt_s * (before_w + leaving_w_);
  for (std::size_t l = 0; l < copper_.lines(); ++l) outcome.generated_j += double_at(&readings_[heat_from_ + 2 * l]);
  outcome.stored_j = outcome.generated_j - outcome.left_j;  // not summed on the card
  outcome.fastest_k_s = ordered_float(0) / dt_s;
  outcome.range = {ordered_float(1), ordered_float(2)};
  outcome.copper = sim::range_of(heat.copper_rise_k);
  outcome.range.include(outcome.copper);
  return outcome;
}

/// Rare, so on the host: its state has just been fetched, and is taken over again afterwards (sim::Bench).
sim::HeatEngine::Outcome HeatCard::step_whole(sim::HeatState& heat, double dt_s, const sim::Feed& feed,
                                              const Bound& bound) {
  context_->enter();
  parts_.conduction.refresh_all(heat.rise_k);
  const sim::WholeStep::Outcome whole = whole_.advance(heat, dt_s, feed, bound.rises);
  set_step(dt_s, feed, {});
  owes_damage_ = true;
  return outcome_of(whole);
}

/// What the readings say, once they have come.
void HeatCard::read_back(sim::HeatState& heat) {
  GLuint64 nanoseconds = 0;
  glGetQueryObjectui64v(timer_, GL_QUERY_RESULT, &nanoseconds);
  device_s_ += 1e-9 * static_cast<double>(nanoseconds);
  copper_.read(&readings_[copper_from_], heat.copper_rise_k);
  for (std::size_t n = 0; n < watched_.size(); ++n)
    heat.rise_k[watched_[n]] = sim::bit_cast<float>(readings_[voxels_from_ + n]);
  for (std::size_t n = 0; n < watched_films_.size(); ++n)
    parts_.conduction.set_film(watched_films_[n], sim::bit_cast<float>(readings_[films_from_ + n]));
  host_is_whole_ = false;
}

/// The other way round of the kernels' ordered().
float HeatCard::ordered_float(std::size_t word) const {
  const std::uint32_t bits = readings_[word];
  return sim::bit_cast<float>((bits & 0x80000000U) != 0 ? bits & 0x7FFFFFFFU : ~bits);
}

double HeatCard::leaving_w(std::size_t result_from) const {
  double sum_w = 0.0;
  for (std::size_t c = 0; c < field_.chunks(); ++c) sum_w += double_at(&readings_[result_from + 4 * c]);
  return sum_w;
}

/// The host has changed what some voxels are, or how warm.
void HeatCard::put_voxels(const std::vector<Put>& puts) {
  puts_.store_with_room(puts);
  kernels_->scatter.set("count", static_cast<int>(puts.size()));
  run(kernels_->scatter, {&puts_, &field_.rise, &field_.capacity, &field_.codes, &field_.change},
      groups(puts.size(), 64));
  surfaces_known_ = false;
}

DamageOnCard::News HeatCard::news() const {
  const std::uint32_t* words = &readings_[news_from_];
  return {words[0], words[1], words[2], words[3]};
}

void HeatCard::look_now() {
  if (looked_) return;
  result_.fill(0, news_from_, DamageOnCard::news_words);
  damage_.look(*kernels_, field_, result_, news_from_);
  result_.fetch(readings_);
  readings_[news_from_ + 2] = 1;  // cells that have collapsed are not counted here: there may be some
  looked_ = true;
}

/// Rare: once for every kind of news of every material. But a voxel inside the wall that would ignite at a surface
/// makes the host look every step.
void HeatCard::tell(sim::HeatState& heat, double time_s, sim::DamageState& state, std::vector<sim::Occurrence>& seen) {
  const DamageOnCard::News now = news();
  if (now.to_tell + now.hot_enough_to_ignite == 0) return;
  fetch(heat, state);
  parts_.wall_damage.tell_of_all(heat.rise_k, time_s, state, seen);
  damage_.set_told(state.told_material);
}

/// After step(), which has already run the wall's damage on the card: what comes of it on the host, and the cables'.
void HeatCard::damage(sim::HeatState& heat, double dt_s, double time_s, sim::DamageState& state,
                      std::vector<sim::Occurrence>& seen) {
  context_->enter();
  if (owes_damage_) {
    result_.fill(step_taken, verdict_at, 1);
    glBeginQuery(GL_TIME_ELAPSED, timer_);
    run_damage();
    glEndQuery(GL_TIME_ELAPSED);
    result_.fetch(readings_);
    read_back(heat);
    cells_fetched_ = damage_.count() == 0;
    looked_ = true;
    owes_damage_ = false;
  }
  if (!state.cells.empty()) {
    const DamageOnCard::Books books = DamageOnCard::read(&readings_[sums_from_]);
    state.book(books.change, dt_s);
    state.with_gas_j += books.with_gas_j;
    tell(heat, time_s, state, seen);
  }
  if (!parts_.cables_damage.possible()) return;
  const double before_j = state.taken_up_j, before_kg = state.gas_kg;
  parts_.cables_damage.step(heat, dt_s, time_s, state, seen);
  if (state.taken_up_j == before_j && state.gas_kg == before_kg) return;
  std::vector<Put> puts;
  for (const std::size_t v : linked_)
    puts.push_back({static_cast<int>(v), heat.rise_k[v], parts_.conduction.capacity()[v], parts_.conduction.code(v)});
  put_voxels(puts);
  copper_.put(heat.copper_rise_k);
}

/// Cells for the voxels that look has found, here and on the card.
void HeatCard::take_in_found(sim::HeatState& heat, sim::DamageState& state) {
  const std::size_t how_many = news().found, before = state.cells.size();
  if (how_many > DamageOnCard::room_for_found()) {
    fetch(heat, state);
    parts_.wall_damage.look(heat.rise_k, state);
  } else {
    parts_.wall_damage.take_in(damage_.found(*kernels_, how_many), state);
  }
  put_new_cells(state, before);
}

/// The cells from `first` on are new on the host. Where the card has no room for them, those before move too.
void HeatCard::put_new_cells(const sim::DamageState& state, std::size_t first) {
  if (!damage_.has_room_for(state.cells.size())) damage_.make_room_for(state.cells.size());
  damage_.append(state, first, parts_.conduction, *kernels_);
  std::vector<Put> puts;
  for (std::size_t c = first; c < state.cells.size(); ++c) {
    const std::size_t v = state.cells[c].voxel;
    puts.push_back(
        {static_cast<int>(v), as_warm_as_it_is, parts_.conduction.capacity()[v], parts_.conduction.code(v) | has_cell});
  }
  put_voxels(puts);
}

bool HeatCard::shape(sim::HeatState& heat, double time_s, sim::DamageState& state, std::vector<sim::Occurrence>& seen) {
  context_->enter();
  look_now();
  const DamageOnCard::News now = news();
  looked_ = false;
  if (now.found > 0) take_in_found(heat, state);
  if (now.collapsed == 0) return false;
  const std::vector<std::uint32_t> going = see_going(heat, state);
  if (going.empty()) return false;
  const std::size_t before = state.cells.size();
  const std::vector<std::size_t> gone = parts_.wall_damage.draw_back(going, heat.rise_k, time_s, state, seen);
  if (state.cells.size() > before) put_new_cells(state, before);  // cold foam that melt has come to
  put_changed_cells(heat, state);
  if (host_is_whole_)
    for (const std::size_t voxel : gone) heat.change_k[voxel] = 0.0F;
  parts_.conduction.grow_air(gone);
  field_.take_air(parts_.conduction, *kernels_);
  watch();
  return true;
}

/// The cells that have collapsed, and the voxels that their melt will come to, are brought up to date on the host: that
/// is all that draw_back looks at.
std::vector<std::uint32_t> HeatCard::see_going(sim::HeatState& heat, sim::DamageState& state) {
  std::vector<std::uint32_t> going = damage_.fetch_going(*kernels_, field_.rise, news().collapsed, state, heat.rise_k);
  std::vector<std::size_t> to = parts_.wall_damage.find_melts_ways(going, state);
  std::sort(to.begin(), to.end());
  to.erase(std::unique(to.begin(), to.end()), to.end());
  std::vector<DamageOnCard::Wanted> wanted;
  std::vector<std::uint32_t> seen = going;
  for (const std::size_t voxel : to) {
    const int cell = parts_.wall_damage.cell_of(voxel);
    wanted.push_back({static_cast<std::int32_t>(voxel), cell});
    if (cell >= 0) seen.push_back(static_cast<std::uint32_t>(cell));
  }
  damage_.fetch_some(*kernels_, field_.rise, wanted, state, heat.rise_k);
  parts_.wall_damage.renew(state, seen);
  return going;
}

/// What draw_back has changed. A void is new there: its ballast has not moved yet.
void HeatCard::put_changed_cells(const sim::HeatState& heat, const sim::DamageState& state) {
  const std::vector<std::uint32_t>& changed = parts_.wall_damage.changed_cells();
  damage_.put_some(state, changed, parts_.conduction, *kernels_);
  damage_.set_told(state.told_material);
  std::vector<Put> puts;
  for (const std::uint32_t c : changed) {
    const std::size_t v = state.cells[c].voxel;
    const std::uint32_t rests = state.cells[c].state == sim::VoxelState::gone ? at_rest : 0U;
    puts.push_back({static_cast<int>(v), heat.rise_k[v], parts_.conduction.capacity()[v],
                    parts_.conduction.code(v) | has_cell | rests});
  }
  put_voxels(puts);
}

std::vector<sim::SurroundingsReading> HeatCard::surroundings(const sim::HeatState&) {
  if (!surfaces_known_) {
    context_->enter();
    field_.sum_surfaces(*kernels_, result_, present_from_);
    result_.fetch(readings_);
    surfaces_known_ = true;
  }
  return field_.read_surfaces(parts_.conduction, &readings_[present_from_]);
}

}  // namespace warmbay::render::card
