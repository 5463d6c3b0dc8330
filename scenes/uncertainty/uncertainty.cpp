// See uncertainty.hpp. The difference between two runs on one coarse grid needs far fewer voxels than the temperatures
// themselves.

#include "scenes/uncertainty/uncertainty.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "scenes/paint/painter.hpp"
#include "scenes/side_by_side.hpp"
#include "scenes/text/text_fill.hpp"

namespace warmbay::scenes {

namespace {

constexpr std::size_t enough_voxels = 40'000;
constexpr std::size_t most_unknowns = 3;
constexpr double infinite = std::numeric_limits<double>::infinity();

using Temperatures = std::optional<std::vector<double>>;

/// One unknown of a wall at one value of its range.
struct Setting {
  const Unknown* unknown = nullptr;
  double value = 1.0;
};

std::shared_ptr<const sim::Wall> varied(const sim::Wall& wall, const std::vector<Setting>& settings) {
  auto changed = std::make_shared<sim::Wall>(wall);
  for (const Setting& one : settings) scale(*changed, *one.unknown, one.value);
  return changed;
}

/// The scene's wall with voxels as large as it takes, but no larger than three times its own.
std::shared_ptr<const sim::Wall> coarse_wall(const Scene& scene, const DataFiles& data) {
  Scene coarser = scene;
  std::shared_ptr<const sim::Wall> wall;
  for (const double larger : {1.0, 1.5, 2.0, 3.0}) {
    coarser.grid.fine_m = scene.grid.fine_m * larger;
    coarser.grid.coarse_m = std::max(scene.grid.coarse_m * larger, coarser.grid.fine_m);
    coarser.grid.growth = std::max(scene.grid.growth, larger > 1.0 ? 1.5 : 1.0);
    wall = paint(coarser, data);
    if (wall->grid.count() <= enough_voxels) break;
  }
  return wall;
}

/// The probe's answers for many walls, found side by side.
std::vector<Temperatures> probe_all(const sim::Wall& wall, const std::vector<std::vector<Setting>>& trials,
                                    const Probe& probe, int threads) {
  std::vector<Temperatures> found(trials.size());
  side_by_side(trials.size(), threads, [&](std::size_t n) { found[n] = probe(varied(wall, trials[n])); });
  return found;
}

/// What an unknown does to each temperature over its whole range, K, by what it does at one end of it. Infinite where
/// it leaves no settled state.
std::vector<double> spans_k(const Setting& trial, const std::vector<double>& base_k, const Temperatures& with_k) {
  const Unknown& unknown = *trial.unknown;
  const double whole = unknown.away(unknown.range[1]) - unknown.away(unknown.range[0]);
  const double share = whole / std::abs(unknown.away(trial.value));
  std::vector<double> spans;
  for (std::size_t n = 0; n < base_k.size(); ++n)
    spans.push_back(with_k ? share * std::abs((*with_k)[n] - base_k[n]) : infinite);
  return spans;
}

/// The unknowns in the order of their share in all that is unknown of each temperature, so that no temperature counts
/// for more because it is hotter.
std::vector<const Unknown*> by_influence(const std::vector<std::vector<Setting>>& trials,
                                         const std::vector<Temperatures>& found) {
  const std::vector<double>& base_k = *found.front();
  std::vector<std::vector<double>> spans;
  for (std::size_t n = 1; n < trials.size(); ++n) spans.push_back(spans_k(trials[n].front(), base_k, found[n]));
  std::vector<std::pair<double, const Unknown*>> weighed;
  for (std::size_t u = 0; u < spans.size(); ++u) {
    double weight = 0.0;
    for (std::size_t n = 0; n < base_k.size(); ++n) {
      double sum_k = 0.0;
      for (const std::vector<double>& one : spans) sum_k += std::isinf(one[n]) ? 0.0 : one[n];
      if (spans[u][n] > 0.0) weight += std::isinf(spans[u][n]) ? infinite : spans[u][n] / sum_k;
    }
    weighed.emplace_back(weight, trials[u + 1].front().unknown);
  }
  std::stable_sort(weighed.begin(), weighed.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<const Unknown*> order;
  for (const auto& [weight, unknown] : weighed)
    if (weight > 0.0) order.push_back(unknown);
  return order;
}

/// Every way to set each of some unknowns to one of its ends.
std::vector<std::vector<Setting>> corners_of(const std::vector<const Unknown*>& unknowns) {
  std::vector<std::vector<Setting>> corners;
  for (std::size_t n = 0; n < std::size_t{1} << unknowns.size(); ++n) {
    corners.emplace_back();
    for (std::size_t u = 0; u < unknowns.size(); ++u)
      corners.back().push_back({unknowns[u], unknowns[u]->range[n >> u & 1]});
  }
  return corners;
}

/// The end of an unknown's range that is farther from what is computed with.
Setting farther_end(const Unknown& unknown) {
  const auto& [least, most] = unknown.range;
  return {&unknown, unknown.away(most) >= -unknown.away(least) ? most : least};
}

}  // namespace

std::optional<Uncertainty> uncertainty_of(const Scene& scene, const DataFiles& data, const Probe& probe,
                                          const std::vector<double>& computed_k, int threads) {
  if (computed_k.empty()) return std::nullopt;
  const std::shared_ptr<const sim::Wall> wall = coarse_wall(scene, data);
  std::vector<std::vector<Setting>> trials{{}};
  for (const Unknown& unknown : data.unknowns) {
    sim::Wall tried = *wall;
    if (scale(tried, unknown, unknown.neutral())) trials.push_back({farther_end(unknown)});
  }
  const std::vector<Temperatures> found = probe_all(*wall, trials, probe, threads);
  const Temperatures& base = found.front();
  if (!base || base->size() != computed_k.size() || trials.size() < 2) return std::nullopt;
  std::vector<const Unknown*> most = by_influence(trials, found);
  if (most.empty()) return std::nullopt;  // nothing that is unknown changes anything, such as without any current
  most.resize(std::min(most.size(), most_unknowns));
  const std::vector<std::vector<Setting>> corners = corners_of(most);
  const std::vector<Temperatures> ends = probe_all(*wall, corners, probe, threads);
  Uncertainty uncertainty;
  for (const Unknown* one : most) uncertainty.unknowns.push_back(one->name);
  uncertainty.spreads.resize(computed_k.size());
  std::size_t coolest = 0, hottest = 0;
  for (std::size_t n = 0; n < computed_k.size(); ++n) {
    double least_k = 0.0, most_k = 0.0;
    for (std::size_t c = 0; c < corners.size(); ++c) {
      const double change_k = ends[c] ? (*ends[c])[n] - (*base)[n] : infinite;
      if (change_k < least_k) least_k = change_k, coolest = c;
      if (change_k > most_k) most_k = change_k, hottest = c;
    }
    uncertainty.spreads[n] = {computed_k[n] + least_k, computed_k[n] + most_k};
  }
  uncertainty.walls = {wall, varied(*wall, corners[coolest]), varied(*wall, corners[hottest])};
  return uncertainty;
}

std::optional<Uncertainty> settled_uncertainty(const Scene& scene, const DataFiles& data,
                                               const sim::Conditions& conditions, const sim::Reading& computed,
                                               int threads) {
  std::vector<double> computed_k;
  for (const sim::CableReading& cable : computed.cables) computed_k.push_back(cable.hottest_k);
  const Probe probe = [&](const std::shared_ptr<const sim::Wall>& wall) -> Temperatures {
    const sim::Settled settled = sim::settle(wall, conditions, 1);
    if (settled.outcome != sim::SettledOutcome::settled) return std::nullopt;
    std::vector<double> found_k;
    for (const sim::CableReading& cable : settled.state->reading.cables) found_k.push_back(cable.hottest_k);
    return found_k;
  };
  return uncertainty_of(scene, data, probe, computed_k, threads);
}

std::optional<Uncertainty> played_uncertainty(const Scene& scene, const DataFiles& data, const PlayerOptions& options,
                                              const std::vector<StepEnd>& step_ends) {
  if (scene.cables.empty() || step_ends.empty()) return std::nullopt;
  // Every variant plays the steps for as long as they really took: what ended a step early ends it at that time.
  auto timed = std::make_shared<Scene>(scene);
  timed->steps.clear();
  std::vector<double> computed_k;
  for (const StepEnd& end : step_ends) {
    Step step = scene.steps.at(static_cast<std::size_t>(end.step));
    step.hold_s = end.end_s - end.start_s;
    step.until.clear();
    step.until_reading.reset();
    step.stop_at.clear();
    if (step.hold_s <= 0.0) return std::nullopt;
    timed->steps.push_back(std::move(step));
    computed_k.push_back(hottest_conductor_k(end.reading));
  }
  PlayerOptions alone = options;
  alone.threads = 1;
  alone.text = nullptr;
  const Probe probe = [&](const std::shared_ptr<const sim::Wall>& wall) -> Temperatures {
    Player player(timed, wall, alone);
    while (!player.waiting()) player.advance(3600.0);
    std::vector<double> found_k;
    for (const StepEnd& end : player.step_ends()) found_k.push_back(hottest_conductor_k(end.reading));
    // A run that met ignition ends there; the steps it did not come to are as hot as it was.
    found_k.resize(computed_k.size(), hottest_conductor_k(player.bench().reading()));
    return found_k;
  };
  return uncertainty_of(scene, data, probe, computed_k, options.threads);
}

std::optional<LimitUncertainty> limit_uncertainty(const Scene& scene, const DataFiles& data,
                                                  const sim::Conditions& conditions, int cable, double limit_k,
                                                  double current_a, int threads) {
  const auto c = static_cast<std::size_t>(cable);
  sim::Conditions at_limit = conditions;
  at_limit.current_a = current_a;
  const Probe probe = [&](const std::shared_ptr<const sim::Wall>& wall) -> Temperatures {
    const sim::Settled settled = sim::settle(wall, at_limit, 1);
    if (settled.outcome != sim::SettledOutcome::settled) return std::nullopt;
    return std::vector<double>{settled.state->reading.cables[c].hottest_k};
  };
  auto found = uncertainty_of(scene, data, probe, {limit_k}, threads);
  if (!found) return std::nullopt;
  const auto of = [&](const std::shared_ptr<const sim::Wall>& wall) {
    return sim::current_limit(wall, conditions, cable, limit_k, threads);
  };
  const sim::Limit base = of(found->walls.base), cooler = of(found->walls.cooler), hotter = of(found->walls.hotter);
  for (const sim::Limit* one : {&base, &cooler, &hotter})
    if (one->outcome != sim::SettledOutcome::settled || one->current_a <= 0.0) return std::nullopt;
  const double scale = current_a / base.current_a;
  return LimitUncertainty{*std::move(found), scale * hotter.current_a, scale * cooler.current_a};
}

std::string hottest_step_words(const Uncertainty& uncertainty, const std::vector<StepEnd>& step_ends,
                               const Text& text) {
  std::size_t hottest = 0;
  for (std::size_t n = 0; n < step_ends.size(); ++n)
    if (hottest_conductor_k(step_ends[n].reading) > hottest_conductor_k(step_ends[hottest].reading)) hottest = n;
  return fill(text("uncertainty.moment"), fmt::arg("step", step_ends[hottest].step + 1),
              fmt::arg("spread", spread_words(uncertainty.spreads[hottest], text)),
              fmt::arg("unknowns", unknowns_words(uncertainty, text)));
}

std::string limit_words(const LimitUncertainty& uncertainty, double limit_k, const Text& text) {
  return fill(text("uncertainty.limit"), fmt::arg("spread", spread_words(uncertainty.at_limit.spreads.front(), text)),
              fmt::arg("celsius", sim::celsius_from_kelvin(limit_k)), fmt::arg("least_a", uncertainty.least_a),
              fmt::arg("most_a", uncertainty.most_a), fmt::arg("unknowns", unknowns_words(uncertainty.at_limit, text)));
}

}  // namespace warmbay::scenes
