// The experiment's clock. Internal steps are counted from the last change of conditions: a few short ones that double
// up to the regular step, so that a switch of current is followed closely, then regular ones; the last before a
// segment's end is cut to meet it. Which steps are taken depends on changes and segment ends alone, never on how often
// or how far advance_to is called.

#include "sim/bench.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/cpu_engine.hpp"
#include "sim/instrument.hpp"
#include "sim/limits.hpp"
#include "sim/settled_solver.hpp"

namespace warmbay::sim {
namespace {

/// A step may overshoot a requested time or a segment's end by this much, s: rounding, nothing else.
constexpr double clock_slack_s = 1e-9;

/// The first steps after a change are short and double up to the regular one; later, when everything goes slower, they
/// double again, never longer than a share of the time since the change.
double ladder_step_s(double regular_s, double longest_s, long long n, double since_s) {
  const long long first_regular = limits::ladder_halvings + 1;
  if (n < first_regular)
    return regular_s / static_cast<double>(1LL << (n == 0 ? limits::ladder_halvings : first_regular - n));
  double step_s = regular_s;
  while (2.0 * step_s <= std::min(longest_s, limits::step_share * since_s)) step_s *= 2.0;
  return step_s;
}

/// Whether some solid of the wall is lighter than any insulation and quicker than still air (limits::light_j_m3k).
bool has_light_matter(const Wall& wall) {
  return std::any_of(wall.voxels.begin(), wall.voxels.end(), [&](const Voxel& voxel) {
    if (voxel.outside || voxel.index >= wall.materials.size()) return false;
    const Material& of = wall.materials[voxel.index];
    const double capacity_j_m3k = of.density_kg_m3 * of.heat_capacity_j_kgk;
    return !of.air_space && capacity_j_m3k < limits::light_j_m3k &&
           of.conductivity_w_mk.at(datum_k) > limits::quick_m2_s * capacity_j_m3k;
  });
}

}  // namespace

struct Bench::Impl {
  Impl(std::shared_ptr<const Wall> wall, const BenchOptions& given)
      : options(given),
        crew(given.threads),
        conduction(std::move(wall), crew),
        wall_damage(conduction, crew),
        cables_damage(conduction),
        is_light(has_light_matter(conduction.wall())) {
    const EngineParts parts{conduction, wall_damage, cables_damage, crew};
    if (options.engine) engine = options.engine(parts);
    if (!engine) engine = std::make_unique<CpuEngine>(parts);
  }

  void fetch() { engine->fetch(now.heat, now.damage); }
  /// Heat above the datum in wall and copper, J; of a state that has been fetched.
  [[nodiscard]] double stored_j() const {
    const Layout& layout = conduction.layout();
    double sum_j = 0.0;
    for (int k = 0; k < layout.nz; ++k)
      for (int j = 0; j < layout.ny; ++j)
        for (std::size_t v = layout.at(0, j, k), end = v + static_cast<std::size_t>(layout.nx); v < end; ++v)
          if (conduction.outside_index(v) < 0)
            sum_j += static_cast<double>(conduction.capacity()[v]) * now.heat.rise_k[v];
    for (std::size_t c = 0; c < now.heat.copper_rise_k.size(); ++c)
      for (std::size_t n = 0; n < now.heat.copper_rise_k[c].size(); ++n)
        sum_j += conduction.copper().lines[c].capacity_j_k[n] * now.heat.copper_rise_k[c][n];
    return sum_j;
  }

  void start(const std::optional<double>& start_k);
  [[nodiscard]] Feed feed() const {
    return feed_of(conduction.wall(), conduction.copper(), now.conditions, now.damage.cables, now.heat.copper_rise_k,
                   now.device.open);
  }
  [[nodiscard]] const Device* device() const {
    const bool there = now.conditions.supply == SupplyKind::branch && now.conditions.device >= 0;
    return there ? &conduction.wall().devices[static_cast<std::size_t>(now.conditions.device)] : nullptr;
  }
  [[nodiscard]] bool ended() const {
    return !now.occurrences.empty() && now.occurrences.back().what == Happening::ignition_risk;
  }
  struct Ahead {
    double dt_s;
    double pace_s;  // the same before it was cut to meet the segment's end
    Feed feed;
  };
  [[nodiscard]] Ahead next_step() const;
  [[nodiscard]] Reading read() const;
  /// Something changed at once: the ladder of step lengths begins anew.
  void begin_segment() {
    now.steps_in_segment = 0;
    now.segment_start_s = now.time_s;
  }
  void refresh();
  [[nodiscard]] bool take_step(const Ahead& ahead);
  void carry_device(const Ahead& ahead);
  void run_damage(double dt_s);
  void follow_junctions(double dt_s);
  void slip();
  void note_range();
  [[nodiscard]] double splitting_share() const;
  [[nodiscard]] HeatEngine::Bound bound_of(const Ahead& ahead) const;
  HeatEngine::Outcome move_heat(const Ahead& ahead);
  void set_surroundings() { conduction.set_surroundings(now.conditions.surroundings_k, now.heat.rise_k); }

  BenchOptions options;
  Crew crew;
  Conduction conduction;
  WallDamage wall_damage;
  CablesDamage cables_damage;
  std::unique_ptr<HeatEngine> engine;
  BenchState now;  // its conductances are filled in by save() only; the live ones are the engine's
  double segment_end_s = std::numeric_limits<double>::infinity();
  double slack_j = 0.0;  // heat that need not be accounted for, by the wall's capacity
  double stored_at_start_j = 0.0;
  bool is_light;  // has_light_matter of the wall
};

void Bench::Impl::start(const std::optional<double>& start_k) {
  const Layout& layout = conduction.layout();
  now.conditions = initial_conditions(conduction.wall());
  const auto everywhere = static_cast<float>(start_k.value_or(datum_k) - datum_k);
  now.heat.rise_k.assign(layout.size, everywhere);
  for (const CopperLine& line : conduction.copper().lines)
    now.heat.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), everywhere);
  if (!start_k) {
    SettledSolver solver(conduction.shared_wall(), options.threads);
    if (solver.solve(now.conditions).outcome == SettledOutcome::settled) now.heat = solver.state();
  }
  now.damage.cables = cables_damage.sound();
  now.damage.told_material.assign(conduction.wall().materials.size(), 0);
  now.damage.told_cable.assign(conduction.wall().cables.size(), 0);
  now.slipped.assign(conduction.wall().thermocouples.size(), 0);
  set_surroundings();
  for (const Thermocouple& spot : conduction.wall().thermocouples)
    now.junction_rise_k.push_back(junction_rise_k(conduction, now.heat, spot, 0.0));
  engine->take_over(now.heat, now.damage);
  for (int n = 0; n < 3; ++n) engine->refresh(now.heat);  // films settle on their own surface temperature
  stored_at_start_j = stored_j();
  const double longest_s = std::max(options.step_s, options.longest_step_s);
  now.lengths = {engine->longest_stable_step_s(longest_s), limits::least_split_share * options.step_s};
  for (std::size_t v = 0; v < layout.size; ++v)
    if (conduction.is_solid(v)) slack_j += limits::unaccounted_k * conduction.capacity()[v];
  engine->take_over(now.heat, now.damage);
  note_range();
}

void Bench::Impl::note_range() {
  now.range = {};
  for (const float rise_k : now.heat.rise_k) now.range.include(rise_k);  // ghosts and padding, as the step does
  now.range.include(range_of(now.heat.copper_rise_k));
}

/// Of what splitting may add at most, 1.
double Bench::Impl::splitting_share() const {
  const bool soon = now.time_s - now.segment_start_s < limits::splitting_soon_s;
  return (soon ? limits::splitting_soon_share : 1.0) * (is_light ? limits::splitting_light_share : 1.0);
}

/// Heat flows from warm to cold: no voxel leaves the range of what it touches, but for what the copper's heat does. If
/// anything becomes warmer than all there was, the warmest is a node of copper, which loses heat to all its neighbours:
/// it is at most at T + dt q / C of its own, with q at its new temperature. Source: maximum principle for the heat
/// equation with a source (Protter & Weinberger, Maximum Principles in Differential Equations (1967), ch. 3), written
/// for one step.
HeatEngine::Bound Bench::Impl::bound_of(const Ahead& ahead) const {
  RiseBound rises{now.range, -std::numeric_limits<double>::infinity()};
  for (const double temperature_k : now.conditions.surroundings_k) rises.before.include(temperature_k - datum_k);
  for (std::size_t l = 0; l < conduction.copper().lines.size(); ++l) {
    const CopperLine& line = conduction.copper().lines[l];
    const CableType& type = conduction.wall().cables[static_cast<std::size_t>(line.cable)].type;
    for (std::size_t n = 0; n < now.heat.copper_rise_k[l].size(); ++n) {
      const OhmicHeat heat = ohmic_heat(type, line.length_m[n], ahead.feed.at(l, n));
      const double per_w_k = ahead.dt_s / line.capacity_j_k[n], slope = per_w_k * heat.slope_w_k;
      const double alone_k = slope < 1.0 ? (now.heat.copper_rise_k[l][n] + per_w_k * heat.datum_w) / (1.0 - slope)
                                         : std::numeric_limits<double>::infinity();
      rises.copper_highest_k = std::max(rises.copper_highest_k, alone_k);
    }
  }
  // Damage moves temperatures and voids in jumps: with it under way the range is judged, and the heat of all steps.
  if (!now.damage.cells.empty())
    return {rises, Stepper::endless_k, now.off_j, limits::unaccounted_damaged_share * now.moved_j + slack_j};
  return {rises,
          now.settling_in ? Stepper::endless_k : limits::restless_k,
          now.off_j,
          limits::unaccounted_share * now.moved_j + slack_j,
          limits::step_moves_most_k,
          now.lengths.looks(ahead.dt_s),
          splitting_share()};
}

/// One step: split where that holds, else whole. Refused: nothing has moved, and what is next is shorter, or the bench
/// is broken.
HeatEngine::Outcome Bench::Impl::move_heat(const Ahead& ahead) {
  const HeatEngine::Bound bound = bound_of(ahead);
  HeatEngine::Bound split = options.mends ? bound : HeatEngine::Bound{};
  split.rises = split.rises.widened(limits::overshoot_k);
  HeatEngine::Outcome outcome;
  outcome.refused = true;
  if (!now.lengths.whole()) {
    outcome = engine->step(now.heat, ahead.dt_s, ahead.feed, split);
    if (!outcome.refused)
      now.lengths.took(ahead.dt_s, split.looks, outcome, now.steps_in_segment);
    else if (now.lengths.refused(ahead.dt_s, outcome, now.steps_in_segment))
      return outcome;
  }
  if (outcome.refused) {
    fetch();
    outcome = engine->step_whole(now.heat, ahead.dt_s, ahead.feed, split);
    engine->take_over(now.heat, now.damage);
    ++now.mended_steps;
    now.lengths.took_whole();
  }
  now.broken = outcome.refused;
  if (now.broken) return outcome;
  now.settling_in = false;
  now.off_j += outcome.generated_j - outcome.left_j - outcome.stored_j;
  now.moved_j += outcome.generated_j + std::abs(outcome.left_j) + std::abs(outcome.stored_j);
  now.range = bound.rises.clipped(outcome.range, outcome.copper);
  return outcome;
}

Bench::Impl::Ahead Bench::Impl::next_step() const {
  if (ended() || now.broken) return {0.0, 0.0, {}};
  Feed now_flowing = feed();
  const bool whole = now.lengths.whole();  // then coefficients lag most: no longer than regular steps
  const double longest_s = whole ? options.step_s
                           : now.damage.cells.empty()
                               ? options.longest_step_s
                               : std::min(options.longest_step_s, limits::damaged_growth * options.step_s);
  double step_s = ladder_step_s(options.step_s, longest_s, now.steps_in_segment, now.time_s - now.segment_start_s);
  if (!whole) step_s = std::min(step_s, now.lengths.limit_s());
  if (options.mends && now.damage.cells.empty()) {
    const double first_s = ladder_step_s(options.step_s, longest_s, 0, 0.0);
    step_s = std::min(step_s, std::max(limits::step_change_k / std::max(now.fastest_change_k_s, 1e-9), first_s));
    if (now.steps_in_segment > 0) step_s = std::min(step_s, std::max(2.0 * now.pace_s, first_s));
  }
  const double fastest_k_s =
      fastest_copper_k_s(conduction.wall(), conduction.copper(), now_flowing, now.heat.copper_rise_k, now.heat.rise_k);
  for (int n = 0; n < limits::most_step_halvings && step_s * fastest_k_s > limits::copper_change_k; ++n) step_s *= 0.5;
  if (const Device* const protecting = device(); protecting && !now.device.open) {
    const double left_s = time_left_s(*protecting, now.conditions.trip_time, now_flowing.supply_a, now.device);
    step_s = std::min(step_s, std::max(left_s, clock_slack_s));
  }
  const double left_s = segment_end_s - now.time_s;
  return {left_s <= step_s + clock_slack_s ? std::max(left_s, 0.0) : step_s, step_s, std::move(now_flowing)};
}

/// Brings up to date what lags behind the temperatures: which voxels may be damaged, the void's shape, conductances.
void Bench::Impl::refresh() {
  const bool due = now.time_s - now.shaped_s >= limits::shape_interval_s || now.steps_in_segment == 0;
  if (due && wall_damage.possible() && now.hottest_now_rise_k >= wall_damage.quiet_below_rise_k()) {
    now.shaped_s = now.time_s;
    if (engine->shape(now.heat, now.time_s, now.damage, now.occurrences)) {
      now.settling_in = true;
      slip();
    }
  }
  engine->refresh(now.heat);
  now.since_refresh_s = 0.0;
}

/// Thermocouples let go of cables beside which the foam has drawn back.
void Bench::Impl::slip() {
  const Wall& wall = conduction.wall();
  for (std::size_t t = 0; t < wall.thermocouples.size(); ++t) {
    const Thermocouple& spot = wall.thermocouples[t];
    if (!spot.slips || spot.cable < 0 || now.slipped[t]) continue;
    const CopperLine& line = conduction.copper().lines[static_cast<std::size_t>(spot.cable)];
    const auto node = static_cast<std::size_t>(nearest_node(line, spot.along_m));
    if (line.first_link[node] == line.first_link[node + 1]) continue;
    const double void_m2 =
        wall_damage.void_across_m2(now.damage, line.links[static_cast<std::size_t>(line.first_link[node])].voxel);
    now.slipped[t] = void_m2 >= wall.damage.instruments.slips_at_void_m2;
  }
}

/// False: refused (move_heat).
bool Bench::Impl::take_step(const Ahead& ahead) {
  const double dt_s = ahead.dt_s;
  if ((conduction.varies() || wall_damage.possible()) &&
      (now.since_refresh_s >= limits::refresh_interval_s || now.steps_in_segment < limits::ladder_halvings ||
       now.lengths.whole() ||
       (now.damage.cells.empty() && now.fastest_change_k_s * now.since_refresh_s > limits::refresh_change_k)))
    refresh();
  const HeatEngine::Outcome outcome = move_heat(ahead);
  if (outcome.refused) return false;
  now.left_j += outcome.left_j;
  now.generated_j += outcome.generated_j;
  now.hottest_now_rise_k = outcome.range.highest_k;
  now.fastest_change_k_s = outcome.fastest_k_s;
  // Segment ends are set by plans in round numbers: meeting one exactly keeps the clock free of rounding.
  now.time_s = std::abs(now.time_s + dt_s - segment_end_s) <= clock_slack_s ? segment_end_s : now.time_s + dt_s;
  ++now.steps_in_segment;
  now.pace_s = ahead.pace_s;
  now.since_refresh_s += dt_s;
  carry_device(ahead);
  run_damage(dt_s);
  follow_junctions(dt_s);
  return true;
}

void Bench::Impl::carry_device(const Ahead& ahead) {
  const Device* const protecting = device();
  if (!protecting || now.device.open) return;
  const double left_s = time_left_s(*protecting, now.conditions.trip_time, ahead.feed.supply_a, now.device);
  carry(*protecting, now.conditions.trip_time, ahead.feed.supply_a, std::min(ahead.dt_s, left_s), now.device);
  if (left_s > ahead.dt_s + clock_slack_s && !now.device.open) return;
  now.device.open = true;
  now.occurrences.push_back({Happening::trip, now.time_s, -1, {}, 0.0, {}, ahead.feed.supply_a});
  begin_segment();
}

void Bench::Impl::run_damage(double dt_s) {
  now.damage.smoke_kg_s = 0.0;
  const std::size_t told = now.occurrences.size();
  engine->damage(now.heat, dt_s, now.time_s, now.damage, now.occurrences);
  const double visible_kg_s = conduction.wall().damage.smoke.visible_kg_s;
  if (!now.damage.smoke_told && visible_kg_s > 0.0 && now.damage.smoke_kg_s >= visible_kg_s) {
    now.damage.smoke_told = true;
    now.occurrences.push_back({Happening::smoke, now.time_s, -1, {}, 0.0, {}, now.damage.smoke_kg_s});
  }
  for (std::size_t n = told; n < now.occurrences.size(); ++n) {
    const Happening what = now.occurrences[n].what;
    if (what == Happening::short_circuit || what == Happening::open_circuit) begin_segment();
  }
  // The end of the model is the last that is told.
  std::stable_partition(now.occurrences.begin() + static_cast<std::ptrdiff_t>(told), now.occurrences.end(),
                        [](const Occurrence& one) { return one.what != Happening::ignition_risk; });
}

void Bench::Impl::follow_junctions(double dt_s) {
  const Wall& wall = conduction.wall();
  const InstrumentRules& rules = wall.damage.instruments;
  const double share = rules.lag_s > 0.0 ? -std::expm1(-dt_s / rules.lag_s) : 1.0;
  for (std::size_t t = 0; t < wall.thermocouples.size(); ++t) {
    const Thermocouple& spot = wall.thermocouples[t];
    const double wanted_k = junction_rise_k(conduction, now.heat, spot, now.slipped[t] ? rules.slipped_air_share : 0.0);
    now.junction_rise_k[t] += (spot.cable >= 0 ? share : 1.0) * (wanted_k - now.junction_rise_k[t]);
  }
}

Reading Bench::Impl::read() const {
  Reading reading =
      read_instruments(conduction, now.heat, now.time_s, feed(), engine->surroundings(now.heat), &now.damage);
  for (std::size_t t = 0; t < reading.thermocouple_k.size(); ++t)
    if (conduction.wall().thermocouples[t].cable >= 0) reading.thermocouple_k[t] = datum_k + now.junction_rise_k[t];
  reading.slipped = now.slipped;
  reading.device_open = now.device.open;
  reading.device_progress = now.device.progress;
  reading.mended_steps = now.mended_steps;
  return reading;
}

Bench::Bench(std::shared_ptr<const Wall> wall, const BenchOptions& options)
    : impl_(std::make_unique<Impl>(std::move(wall), options)) {
  impl_->start(options.start_k);
}
Bench::~Bench() = default;
Bench::Bench(Bench&&) noexcept = default;
Bench& Bench::operator=(Bench&&) noexcept = default;

const Wall& Bench::wall() const {
  return impl_->conduction.wall();
}
double Bench::time_s() const {
  return impl_->now.time_s;
}
const Conditions& Bench::conditions() const {
  return impl_->now.conditions;
}
double Bench::fastest_change_k_s() const {
  return impl_->now.fastest_change_k_s;
}

void Bench::set_conditions(const Conditions& conditions) {
  if (conditions == impl_->now.conditions) return;
  const Conditions before = impl_->now.conditions;
  if (conditions.device != before.device || conditions.supply != before.supply) impl_->now.device = {};
  impl_->now.conditions = conditions;
  if (conditions.surroundings_k != before.surroundings_k) {
    impl_->fetch();
    impl_->set_surroundings();
    impl_->engine->take_over(impl_->now.heat, impl_->now.damage);
  }
  impl_->begin_segment();
  impl_->now.settling_in = true;
  impl_->now.off_j *= limits::books_kept;
  impl_->now.moved_j *= limits::books_kept;
  impl_->now.lengths.restart();
}

void Bench::set_segment_end(double until_s) {
  impl_->segment_end_s = until_s;
}

void Bench::advance_to(double time_s) {
  for (;;) {
    const Impl::Ahead ahead = impl_->next_step();
    if (ahead.dt_s <= 0.0 || impl_->now.time_s + ahead.dt_s > time_s + clock_slack_s) return;
    static_cast<void>(impl_->take_step(ahead));  // or the next is shorter
  }
}

double Bench::step() {
  Impl::Ahead ahead = impl_->next_step();
  while (ahead.dt_s > 0.0 && !impl_->take_step(ahead)) ahead = impl_->next_step();
  return ahead.dt_s;
}

Reading Bench::reading() const {
  return impl_->read();
}

std::shared_ptr<const Snapshot> Bench::snapshot() const {
  impl_->fetch();
  return take_snapshot(impl_->conduction, impl_->now.heat, impl_->read(), impl_->now.conditions, &impl_->now.damage);
}

std::shared_ptr<const Snapshot> Bench::snapshot_beside(const Snapshot& before) const {
  return renew_snapshot(before, impl_->conduction, impl_->now.heat, impl_->read(), impl_->now.conditions);
}
std::shared_ptr<const SharedField> Bench::share_field() const {
  return impl_->engine->share_field();
}

BenchState Bench::save() const {
  impl_->fetch();
  BenchState state = impl_->now;
  state.conductances = impl_->engine->save_conductances();
  return state;
}

void Bench::restore(const BenchState& state) {
  impl_->now = state;
  impl_->now.conductances = {};
  impl_->wall_damage.adopt(state.damage);
  impl_->cables_damage.adopt(state.damage);
  impl_->conduction.renew_air();
  impl_->set_surroundings();
  impl_->engine->restore(impl_->now.heat, impl_->now.damage, state.conductances);
}

Bench::Energy Bench::energy() const {
  impl_->fetch();
  return {impl_->now.generated_j, impl_->stored_j() - impl_->stored_at_start_j, impl_->now.left_j,
          impl_->now.damage.taken_up_j, impl_->now.damage.with_gas_j};
}

const std::vector<Occurrence>& Bench::occurrences() const {
  return impl_->now.occurrences;
}
void Bench::reset_device() {
  if (!impl_->now.device.open) return;
  impl_->now.device = {};
  impl_->begin_segment();
}
std::string Bench::engine_name() const {
  return impl_->engine->name();
}
void Bench::leave_thread() {
  impl_->engine->leave_thread();
}
bool Bench::ended() const {
  return impl_->ended();
}
long long Bench::mended_steps() const {
  return impl_->now.mended_steps;
}
bool Bench::broken() const {
  return impl_->now.broken;
}

Bench::Matter Bench::matter() const {
  impl_->fetch();
  const Conduction& conduction = impl_->conduction;
  const Layout& layout = conduction.layout();
  double left_kg = impl_->cables_damage.plastics_kg(impl_->now.damage);
  for (std::size_t v = 0; v < layout.size; ++v) {
    const int material = conduction.material_of(v);
    if (material < 0) continue;
    const Material& of = conduction.wall().materials[static_cast<std::size_t>(material)];
    if (of.damage) left_kg += conduction.capacity()[v] / of.heat_capacity_j_kgk;
  }
  for (const DamageCell& cell : impl_->now.damage.cells) {
    if (cell.state != VoxelState::gone) continue;
    const double lump_j_k = conduction.capacity()[cell.voxel] - conduction.void_capacity_j_k(cell.voxel);
    left_kg += lump_j_k / conduction.wall().materials[cell.material].heat_capacity_j_kgk;
  }
  return {left_kg, impl_->now.damage.gas_kg};
}

}  // namespace warmbay::sim
