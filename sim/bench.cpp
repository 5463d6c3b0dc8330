// The experiment's clock. Internal steps are counted from the last change of conditions: a few short ones that double
// up to the regular step, so that a switch of current is followed closely, then regular ones; the last before a
// segment's end is cut to meet it. Which steps are taken depends on changes and segment ends alone, never on how often
// or how far advance_to is called.

#include "sim/bench.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/instrument.hpp"
#include "sim/limits.hpp"
#include "sim/settled_solver.hpp"

namespace warmbay::sim {
namespace {

/// A step may overshoot a requested time or a segment's end by this much, s: rounding, nothing else.
constexpr double clock_slack_s = 1e-9;

double ladder_step_s(double regular_s, long long n) {
  const long long first_regular = limits::ladder_halvings + 1;
  if (n >= first_regular) return regular_s;
  return regular_s / static_cast<double>(1LL << (n == 0 ? limits::ladder_halvings : first_regular - n));
}

}  // namespace

struct Bench::Impl {
  Impl(std::shared_ptr<const Wall> wall, const BenchOptions& given)
      : options(given), crew(given.threads), conduction(std::move(wall), crew), stepper(conduction, crew) {}

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
  [[nodiscard]] double next_step_s() const;
  void take_step(double dt_s);
  void note_range();
  void watch_range(const Stepper::Outcome& outcome);

  BenchOptions options;
  Crew crew;
  Conduction conduction;
  Stepper stepper;
  BenchState now;  // its conductances are filled in by save() only; the live ones are conduction's
  double segment_end_s = std::numeric_limits<double>::infinity();
  double stable_step_s = 0.0;   // what the wall bore at random temperatures
  double last_leaving_w = 0.0;  // after the last step, while its conductances hold
  bool leaving_w_known = false;
  double stored_at_start_j = 0.0;
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
  conduction.set_surroundings(now.conditions.surroundings_k, now.heat.rise_k);
  for (int n = 0; n < 3; ++n) conduction.refresh(now.heat.rise_k);  // films settle on their own surface temperature
  stored_at_start_j = stored_j();
  stable_step_s = longest_stable_step_s(conduction, stepper, options.step_s);
  note_range();
}

void Bench::Impl::note_range() {
  now.step_limit_s = stable_step_s;
  now.steps_since_halving = 0;
  const auto [low, high] =
      std::minmax_element(now.conditions.surroundings_k.begin(), now.conditions.surroundings_k.end());
  now.coldest_rise_k =
      low == now.conditions.surroundings_k.end() ? std::numeric_limits<double>::infinity() : *low - datum_k;
  now.hottest_rise_k =
      high == now.conditions.surroundings_k.end() ? -std::numeric_limits<double>::infinity() : *high - datum_k;
  auto include = [&](double rise_k) {
    now.coldest_rise_k = std::min(now.coldest_rise_k, rise_k);
    now.hottest_rise_k = std::max(now.hottest_rise_k, rise_k);
  };
  for (const float rise_k : now.heat.rise_k) include(rise_k);  // ghosts and padding too: the step looks at whole rows
  for (const std::vector<double>& nodes : now.heat.copper_rise_k)
    for (const double rise_k : nodes) include(rise_k);
}

/// Heat flows from warm to cold: without a source of its own no voxel gets warmer than all it has touched, or colder.
/// One that does shows a step too long for this wall.
void Bench::Impl::watch_range(const Stepper::Outcome& outcome) {
  for (const std::vector<double>& nodes : now.heat.copper_rise_k)
    for (const double rise_k : nodes) now.hottest_rise_k = std::max(now.hottest_rise_k, rise_k);
  ++now.steps_since_halving;
  const bool inside = outcome.lowest_rise_k >= now.coldest_rise_k - limits::overshoot_k &&
                      outcome.highest_rise_k <= now.hottest_rise_k + limits::overshoot_k;
  if (inside || now.steps_since_halving < limits::steps_between_halvings) return;
  now.step_limit_s *= 0.5;
  now.steps_since_halving = 0;
}

double Bench::Impl::next_step_s() const {
  const double left_s = segment_end_s - now.time_s;
  const double step_s = std::min(ladder_step_s(options.step_s, now.steps_in_segment), now.step_limit_s);
  return left_s <= step_s + clock_slack_s ? std::max(left_s, 0.0) : step_s;
}

void Bench::Impl::take_step(double dt_s) {
  if (conduction.varies() &&
      (now.steps_since_refresh >= limits::refresh_steps || now.steps_in_segment < limits::ladder_halvings)) {
    conduction.refresh(now.heat.rise_k);
    now.steps_since_refresh = 0;
    leaving_w_known = false;
  }
  const double before_w = leaving_w_known ? last_leaving_w : conduction.leaving_w(now.heat.rise_k);
  const Stepper::Outcome outcome = stepper.step(now.heat, dt_s, now.conditions.current_a);
  last_leaving_w = conduction.leaving_w(now.heat.rise_k);
  leaving_w_known = true;
  now.left_j += 0.5 * dt_s * (before_w + last_leaving_w);
  now.generated_j += outcome.generated_j;
  watch_range(outcome);
  now.fastest_change_k_s = outcome.fastest_k_s;
  // Segment ends are set by plans in round numbers: meeting one exactly keeps the clock free of rounding.
  now.time_s = std::abs(now.time_s + dt_s - segment_end_s) <= clock_slack_s ? segment_end_s : now.time_s + dt_s;
  ++now.steps_in_segment;
  ++now.steps_since_refresh;
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
  impl_->now.conditions = conditions;
  impl_->conduction.set_surroundings(conditions.surroundings_k, impl_->now.heat.rise_k);
  impl_->now.steps_in_segment = 0;
  impl_->leaving_w_known = false;
  impl_->note_range();
}

void Bench::set_segment_end(double until_s) {
  impl_->segment_end_s = until_s;
}

void Bench::advance_to(double time_s) {
  for (;;) {
    const double dt_s = impl_->next_step_s();
    if (dt_s <= 0.0 || impl_->now.time_s + dt_s > time_s + clock_slack_s) return;
    impl_->take_step(dt_s);
  }
}

double Bench::step() {
  const double dt_s = impl_->next_step_s();
  if (dt_s > 0.0) impl_->take_step(dt_s);
  return dt_s;
}

Reading Bench::reading() const {
  return read_instruments(impl_->conduction, impl_->now.heat, impl_->now.time_s, impl_->now.conditions.current_a);
}

std::shared_ptr<const Snapshot> Bench::snapshot() const {
  return take_snapshot(impl_->conduction, impl_->now.heat, impl_->now.time_s, impl_->now.conditions);
}

BenchState Bench::save() const {
  BenchState state = impl_->now;
  state.conductances = impl_->conduction.save();
  return state;
}

void Bench::restore(const BenchState& state) {
  impl_->now = state;
  impl_->now.conductances = {};
  impl_->conduction.set_surroundings(state.conditions.surroundings_k, impl_->now.heat.rise_k);
  impl_->conduction.restore(state.conductances);
  impl_->leaving_w_known = false;
}

Bench::Energy Bench::energy() const {
  return {impl_->now.generated_j, impl_->stored_j() - impl_->stored_at_start_j, impl_->now.left_j, 0.0, 0.0};
}

const std::vector<Occurrence>& Bench::occurrences() const {
  return impl_->now.occurrences;
}
void Bench::reset_device() {
  impl_->now.device = {};
}
bool Bench::ended() const {
  return !impl_->now.occurrences.empty() && impl_->now.occurrences.back().what == Happening::ignition_risk;
}

}  // namespace warmbay::sim
