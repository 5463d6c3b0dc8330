// The engine: what is run in a step, what is read back, and keeping the host's copy honest.
//
// What is damaged is worked out on the host from the temperatures that came back, and put back into its voxels.

#include "render/card/heat_card.hpp"

#include <fmt/format.h>
#include <glad/gl.h>

#include <algorithm>
#include <bit>
#include <cstring>

#include "sim/instrument.hpp"
#include "sim/limits.hpp"

namespace warmbay::render::card {
namespace {

struct StepBlock {  // as in shaders/heat/common.glsl
  float dt_s, half_s, current_a, unused;
};
struct Put {  // as in shaders/heat/scatter.comp
  int voxel;
  float rise_k, capacity_j_k;
  std::uint32_t code;
};
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
                                         const std::filesystem::path& shaders, std::string& error) {
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
  std::unique_ptr<HeatCard> card(new HeatCard(parts, std::move(context), std::move(kernels)));  // NOLINT: private
  if (glGetError() == GL_OUT_OF_MEMORY) {
    error = fmt::format("a wall of {} voxels does not fit into this graphics card's memory",
                        parts.conduction.wall().grid.count());
    return nullptr;
  }
  return card;
}

HeatCard::HeatCard(const sim::EngineParts& parts, std::unique_ptr<gl::HeadlessGl> context,
                   std::unique_ptr<Kernels> kernels)
    : parts_(parts),
      context_(std::move(context)),
      kernels_(std::move(kernels)),
      name_(reinterpret_cast<const char*>(glGetString(GL_RENDERER))),  // NOLINT: OpenGL's strings are unsigned char
      field_(parts.conduction, *kernels_),
      copper_(parts.conduction, *kernels_) {
  step_block_.allocate(sizeof(StepBlock));
  glGenQueries(1, &timer_);
  watch({});
}

HeatCard::~HeatCard() {
  context_->enter();
  glDeleteQueries(1, &timer_);
}

void HeatCard::leave_thread() {
  context_->leave();
}

/// Which voxels come back after every step: the cables' sheaths, what thermocouples look at, what is being damaged.
void HeatCard::watch(const sim::DamageState& damage) {
  const sim::Conduction& wall = parts_.conduction;
  watched_.clear();
  for (const sim::CopperLine& line : wall.copper().lines)
    for (const sim::SheathLink& link : line.links) watched_.push_back(link.voxel);
  for (const sim::Thermocouple& spot : wall.wall().thermocouples)
    for (const std::size_t voxel : sim::voxels_read(wall, spot)) watched_.push_back(voxel);
  for (const sim::DamageCell& cell : damage.cells) watched_.push_back(cell.voxel);
  std::sort(watched_.begin(), watched_.end());
  watched_.erase(std::unique(watched_.begin(), watched_.end()), watched_.end());
  watched_films_.clear();
  for (std::size_t n = 0; n < wall.surfaces().size(); ++n)
    if (std::binary_search(watched_.begin(), watched_.end(), wall.surfaces()[n].outside)) watched_films_.push_back(n);
  lay_out_readings();
}

void HeatCard::lay_out_readings() {
  std::vector<int> voxels(watched_.begin(), watched_.end()), films;
  for (const std::size_t surface : watched_films_) films.push_back(field_.film_place(surface));
  watched_places_.store(voxels);
  film_places_.store(films);
  puts_.allocate(watched_.size() * sizeof(Put));
  copper_from_ = range_words;
  heat_from_ = copper_from_ + 2 * copper_.nodes();
  before_from_ = heat_from_ + 2 * copper_.lines();
  after_from_ = before_from_ + 4 * field_.chunks();
  voxels_from_ = after_from_ + 4 * field_.chunks();
  films_from_ = voxels_from_ + watched_.size();
  words_ = films_from_ + films.size();
  result_.allocate(words_ * sizeof(std::uint32_t));
  result_.fill(0, 0, words_);
  readings_.assign(words_, 0);
  surfaces_known_ = false;
  kernels_->copper.set("result_from", static_cast<int>(copper_from_));
  kernels_->copper.set("result_heat", static_cast<int>(heat_from_));
  kernels_->gather_field.set("result_from", static_cast<int>(voxels_from_));
  kernels_->gather_field.set("count", static_cast<int>(watched_.size()));
  kernels_->gather_films.set("result_from", static_cast<int>(films_from_));
  kernels_->gather_films.set("count", static_cast<int>(films.size()));
  kernels_->scatter.set("count", static_cast<int>(watched_.size()));
}

void HeatCard::put_all(const sim::HeatState& heat) {
  field_.put(parts_.conduction, heat.rise_k);
  copper_.put(heat.copper_rise_k);
  leaving_known_ = surfaces_known_ = false;
  host_is_whole_ = true;
}

void HeatCard::take_over(const sim::HeatState& heat, const sim::DamageState& damage) {
  context_->enter();
  put_all(heat);
  watch(damage);
}

void HeatCard::fetch(sim::HeatState& heat, sim::DamageState&) {
  if (host_is_whole_) return;
  context_->enter();
  field_.fetch(heat.rise_k);
  host_is_whole_ = true;
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
  put_all(heat);
  field_.restore(conductances, *kernels_);
  watch(damage);
}

void HeatCard::set_step(double dt_s, const sim::Feed& feed) {
  const auto dt = static_cast<float>(dt_s);
  const std::array<StepBlock, 1> block{{{dt, sim::limits::split_theta * dt, static_cast<float>(feed.supply_a), 0.0F}}};
  step_block_.put<StepBlock>(0, block);
  glBindBufferBase(GL_UNIFORM_BUFFER, 0, step_block_.id());
  copper_.set_feed(feed);
}

void HeatCard::run_step() {
  result_.fill(0, 0, 3);  // the range, in the kernels' order of floats: of |w|, lowest, highest
  result_.fill(~0U, 1, 1);
  gl::wait_for_kernels();
  field_.step(*kernels_, result_, [&] { copper_.flow(*kernels_, field_.rise, field_.change); });
  copper_.step(*kernels_, field_.rise, field_.change, field_.capacity, result_);
}

double HeatCard::longest_stable_step_s(double wanted_s) {
  context_->enter();
  const sim::Feed none = sim::steady_feed(parts_.conduction.copper(), 0.0);
  return sim::longest_stable_step_s(parts_.conduction, wanted_s, [&](sim::HeatState& state, double step_s, int steps) {
    put_all(state);
    set_step(step_s, none);
    for (int n = 0; n < steps; ++n) run_step();
    field_.fetch(state.rise_k);
    copper_.fetch(state.copper_rise_k);
  });
}

sim::HeatEngine::Outcome HeatCard::step(sim::HeatState& heat, double dt_s, const sim::Feed& feed) {
  context_->enter();
  set_step(dt_s, feed);
  glBeginQuery(GL_TIME_ELAPSED, timer_);
  const bool before_known = leaving_known_;
  if (!before_known) field_.sum_surfaces(*kernels_, result_, before_from_);
  run_step();
  field_.sum_surfaces(*kernels_, result_, after_from_);
  run(kernels_->gather_field, {&field_.rise, &watched_places_, &result_}, groups(watched_.size(), 64));
  run(kernels_->gather_films, {&field_.films, &film_places_, &result_}, groups(watched_films_.size(), 64));
  glEndQuery(GL_TIME_ELAPSED);
  read_back(heat);
  Outcome outcome;
  const double before_w = before_known ? leaving_w_ : leaving_w(before_from_);
  leaving_w_ = leaving_w(after_from_);
  leaving_known_ = surfaces_known_ = true;
  outcome.left_j = 0.5 * dt_s * (before_w + leaving_w_);
  for (std::size_t l = 0; l < copper_.lines(); ++l)
    outcome.wall.generated_j += double_at(&readings_[heat_from_ + 2 * l]);
  outcome.wall.fastest_k_s = ordered_float(0) / dt_s;
  outcome.wall.lowest_rise_k = ordered_float(1);
  outcome.wall.highest_rise_k = ordered_float(2);
  for (const std::vector<double>& nodes : heat.copper_rise_k)
    for (const double rise_k : nodes) outcome.wall.highest_rise_k = std::max(outcome.wall.highest_rise_k, rise_k);
  return outcome;
}

void HeatCard::read_back(sim::HeatState& heat) {
  result_.fetch(readings_);
  GLuint64 nanoseconds = 0;
  glGetQueryObjectui64v(timer_, GL_QUERY_RESULT, &nanoseconds);
  device_s_ += 1e-9 * static_cast<double>(nanoseconds);
  copper_.read(&readings_[copper_from_], heat.copper_rise_k);
  for (std::size_t n = 0; n < watched_.size(); ++n)
    heat.rise_k[watched_[n]] = std::bit_cast<float>(readings_[voxels_from_ + n]);
  for (std::size_t n = 0; n < watched_films_.size(); ++n)
    parts_.conduction.set_film(watched_films_[n], std::bit_cast<float>(readings_[films_from_ + n]));
  host_is_whole_ = false;
}

/// The other way round of the kernels' ordered().
float HeatCard::ordered_float(std::size_t word) const {
  const std::uint32_t bits = readings_[word];
  return std::bit_cast<float>((bits & 0x80000000U) != 0 ? bits & 0x7FFFFFFFU : ~bits);
}

double HeatCard::leaving_w(std::size_t result_from) const {
  double sum_w = 0.0;
  for (std::size_t c = 0; c < field_.chunks(); ++c) sum_w += double_at(&readings_[result_from + 4 * c]);
  return sum_w;
}

/// The host has changed what some watched voxels are, or how warm.
void HeatCard::put_watched(const sim::HeatState& heat) {
  std::vector<Put> puts;
  for (const std::size_t voxel : watched_)
    puts.push_back({static_cast<int>(voxel), heat.rise_k[voxel], parts_.conduction.capacity()[voxel],
                    parts_.conduction.code(voxel)});
  puts_.put<Put>(0, puts);
  run(kernels_->scatter, {&puts_, &field_.rise, &field_.capacity, &field_.codes}, groups(watched_.size(), 64));
  copper_.put(heat.copper_rise_k);
  surfaces_known_ = false;
}

void HeatCard::damage(sim::HeatState& heat, double dt_s, double time_s, sim::DamageState& state,
                      std::vector<sim::Occurrence>& seen) {
  const double before_j = state.taken_up_j, before_kg = state.gas_kg;
  if (!state.cells.empty()) {
    parts_.wall_damage.step(heat.rise_k, dt_s, state);
    parts_.wall_damage.tell(heat.rise_k, time_s, state, seen);
  }
  if (parts_.cables_damage.possible()) parts_.cables_damage.step(heat, dt_s, time_s, state, seen);
  if (state.taken_up_j == before_j && state.gas_kg == before_kg) return;
  context_->enter();
  put_watched(heat);
}

bool HeatCard::shape(sim::HeatState& heat, double time_s, sim::DamageState& state, std::vector<sim::Occurrence>& seen) {
  const std::size_t cells_before = state.cells.size();
  fetch(heat, state);
  parts_.wall_damage.look(heat.rise_k, state);
  const std::vector<std::size_t> gone = parts_.wall_damage.draw_back(heat.rise_k, time_s, state, seen);
  if (gone.empty() && state.cells.size() == cells_before) return false;
  context_->enter();
  if (!gone.empty()) {
    parts_.conduction.grow_air(gone);
    field_.take_air(parts_.conduction, *kernels_);
  }
  watch(state);
  put_watched(heat);
  return !gone.empty();
}

std::vector<sim::SurroundingsReading> HeatCard::surroundings(const sim::HeatState&) {
  if (!surfaces_known_) {
    context_->enter();
    field_.sum_surfaces(*kernels_, result_, after_from_);
    result_.fetch(readings_);
    surfaces_known_ = true;
  }
  return field_.read_surfaces(parts_.conduction, &readings_[after_from_]);
}

}  // namespace warmbay::render::card
