// See measured_scene.hpp. A scene is settled and played by the code that `settle` and `run` use, with its steps and its
// internal step, so that what is checked is what people get.

#include "scenes/trust/measured_scene.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenes/output/json.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/play/conditions.hpp"
#include "scenes/play/player.hpp"
#include "scenes/play/player_limits.hpp"
#include "scenes/play/readings_log.hpp"
#include "scenes/read/by_name.hpp"
#include "scenes/read/file_units.hpp"
#include "scenes/text/settled_words.hpp"
#include "sim/cross_section.hpp"

namespace warmbay::scenes {

namespace {

/// The part of a reading that a check asks for, in the unit of its quantity.
double value_of(const sim::Wall& wall, const sim::Reading& reading, const Check& check) {
  const auto cable = [&]() -> const sim::CableReading& {
    return reading.cables.at(index_by_name(wall.cables, check.of));
  };
  const auto side = [&]() -> const sim::SurroundingsReading& {
    return reading.surroundings.at(index_by_name(wall.surroundings, check.of));
  };
  switch (check.what) {
    case Quantity::thermocouple_c:
      return celsius.from_si(reading.thermocouple_k.at(index_by_name(wall.thermocouples, check.of)));
    case Quantity::hottest_c:
      return celsius.from_si(cable().hottest_k);
    case Quantity::drop_v:
      return cable().drop_v;
    case Quantity::power_w:
      return cable().power_w;
    case Quantity::heat_w:
      return side().heat_w;
    case Quantity::heat_w_m2:
      return side().heat_w / side().area_m2;
    case Quantity::hottest_surface_c:
      return celsius.from_si(side().hottest_surface_k);
    case Quantity::coldest_surface_c:
      return celsius.from_si(side().coldest_surface_k);
    default:
      return std::nan("");
  }
}

/// (T_from - T_of) / (heat per area into `of`), m2K/W.
double resistance_m2k_w(const sim::Wall& wall, const sim::Snapshot& state, const Check& check) {
  const int to = index_by_name(wall.surroundings, check.of), from = index_by_name(wall.surroundings, check.from);
  const sim::SurroundingsReading& side = state.reading.surroundings.at(to);
  return (state.conditions.surroundings_k.at(from) - state.conditions.surroundings_k.at(to)) /
         (side.heat_w / side.area_m2);
}

}  // namespace

MeasuredScene::MeasuredScene(std::shared_ptr<const Scene> scene, const DataFiles& data, const Playing& playing,
                             const Unknown* scaled, double value)
    : scene_(std::move(scene)), wall_(paint(*scene_, data)), playing_(playing) {
  if (scaled == nullptr) return;
  auto changed = std::make_shared<sim::Wall>(*wall_);
  scale(*changed, *scaled, value);
  wall_ = std::move(changed);
}

Measured MeasuredScene::measure(const Check& check) {
  Measured measured = read(check);
  measured.value = (measured.value - check.less) * check.times;
  if (measured.failure.empty() && !std::isfinite(measured.value)) measured.failure = "what was read is not a number";
  return measured;
}

Measured MeasuredScene::read(const Check& check) {
  switch (check.what) {
    case Quantity::conductor_mm2:
      return {square_millimetre.from_si(wall_->cables.at(index_by_name(wall_->cables, check.of)).type.conductor_m2),
              ""};
    case Quantity::core_mk_w:
      return {1.0 / sim::cross_section(wall_->cables.at(index_by_name(wall_->cables, check.of)).type).coupling_w_mk,
              ""};
    case Quantity::limit_a:
      return read_limit(check);
    case Quantity::reach_s:
      return read_reach(check);
    case Quantity::imbalance_percent:
      return read_imbalance();
    default:
      return check.at_s ? read_at(check) : read_settled(check);
  }
}

sim::Conditions MeasuredScene::conditions(const Under& under) const {
  sim::Conditions conditions = first_conditions(*scene_, *wall_);
  if (under.ambient_k) std::fill(conditions.surroundings_k.begin(), conditions.surroundings_k.end(), *under.ambient_k);
  if (under.current_a) conditions.current_a = *under.current_a;
  return conditions;
}

const sim::Settled& MeasuredScene::settled(const Under& under) {
  for (const KeptField& kept : settled_)
    if (kept.under == under) return kept.settled;
  settled_.push_back({under, sim::settle(wall_, conditions(under), 1)});
  return settled_.back().settled;
}

Measured MeasuredScene::read_settled(const Check& check) {
  const sim::Settled& found = settled(check.under);
  if (found.outcome != sim::SettledOutcome::settled || !all_finite(found.state->reading))
    return {0.0, why_not_settled(found.outcome)};
  if (check.what == Quantity::resistance_m2k_w) return {resistance_m2k_w(*wall_, *found.state, check), ""};
  return {value_of(*wall_, found.state->reading, check), ""};
}

Measured MeasuredScene::limit_a(const std::string& cable, const Under& under) {
  for (const KeptLimit& kept : limits_)
    if (kept.cable == cable && kept.under == under) return kept.limit;
  const sim::Limit found =
      sim::current_limit(wall_, conditions(under), index_by_name(wall_->cables, cable), *under.limit_k, 1);
  Measured limit{found.current_a, ""};
  if (found.outcome != sim::SettledOutcome::settled) limit.failure = why_not_settled(found.outcome);
  limits_.push_back({cable, under, limit});
  return limit;
}

Measured MeasuredScene::read_limit(const Check& check) {
  Measured limit = limit_a(check.of, check.under);
  if (!limit.failure.empty() || !check.relative_to) return limit;
  const Measured base = limit_a(check.of, *check.relative_to);
  if (!base.failure.empty()) return base;
  return {limit.value / base.value, ""};
}

const MeasuredScene::Played& MeasuredScene::played() {
  if (played_) return *played_;
  PlayerOptions options;
  options.threads = 1;
  options.every_s = playing_.every_s;
  if (playing_.step_s > 0.0) options.step_s = playing_.step_s;
  if (!playing_.to_the_end) options.end_s = playing_.until_s;
  Player player(scene_, wall_, options);
  while (!player.waiting()) player.advance(3600.0);
  played_ = Played{};
  played_->rows = player.readings();
  const sim::Reading end = player.bench().reading();
  if (end.time_s > played_->rows.back().time_s + player_limits::same_moment_s) played_->rows.push_back(end);
  played_->energy = player.bench().energy();
  return *played_;
}

Measured MeasuredScene::read_at(const Check& check) {
  const std::vector<sim::Reading>& rows = played().rows;
  const auto after = std::find_if(rows.begin(), rows.end(), [&](const sim::Reading& row) {
    return row.time_s >= *check.at_s - player_limits::same_moment_s;
  });
  if (after == rows.end()) return {0.0, fmt::format("the scene ends before, at {:g} min", rows.back().time_s / 60.0)};
  if (after == rows.begin()) return {value_of(*wall_, *after, check), ""};
  return {value_of(*wall_, between(*(after - 1), *after, *check.at_s), check), ""};
}

Measured MeasuredScene::read_reach(const Check& check) {
  const std::vector<sim::Reading>& rows = played().rows;
  const auto cable = static_cast<std::size_t>(index_by_name(wall_->cables, check.of));
  for (std::size_t n = 0; n < rows.size(); ++n) {
    const double now_k = rows[n].cables.at(cable).hottest_k;
    if (now_k < *check.under.limit_k) continue;
    if (n == 0) return {0.0, ""};
    const double before_k = rows[n - 1].cables.at(cable).hottest_k;
    const double share = (*check.under.limit_k - before_k) / (now_k - before_k);
    return {std::lerp(rows[n - 1].time_s, rows[n].time_s, share), ""};
  }
  return {0.0, fmt::format("it never came to {:g} °C", celsius.from_si(*check.under.limit_k))};
}

Measured MeasuredScene::read_imbalance() {
  const sim::Bench::Energy energy = played().energy;
  if (!all_finite(played().rows.back())) return {0.0, why_not_settled(sim::SettledOutcome::settled)};
  const double accounted_j = energy.stored_j + energy.left_j + energy.taken_up_j + energy.with_gas_j;
  const double largest_j = std::max({std::abs(energy.generated_j), std::abs(energy.stored_j), std::abs(energy.left_j)});
  return {largest_j > 0.0 ? 100.0 * std::abs(energy.generated_j - accounted_j) / largest_j : 0.0, ""};
}

}  // namespace warmbay::scenes
