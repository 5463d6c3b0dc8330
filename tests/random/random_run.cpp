// Two benches of one wall take the same changes: one as everybody uses it, one with steps a tenth as long.

#include "tests/random/random_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <vector>

#include "scenes/paint/painter.hpp"
#include "sim/bench.hpp"

namespace warmbay::tests {
namespace {

constexpr double allowed_overshoot_k = 0.6;
constexpr double allowed_unaccounted = 1e-3;
constexpr double allowed_apart_k = 0.5;

struct Change {
  sim::Conditions conditions;
  double hold_s = 0.0;
  bool one_step = false;
};

Change next_change(Dice& dice, const sim::Wall& wall, const sim::Conditions& before, const RandomRun& run) {
  Change change{before, dice.log_even(run.shortest_s, run.longest_s), dice.chance(0.1)};
  sim::Conditions& now = change.conditions;
  if (!wall.cables.empty() && dice.chance(0.6)) {
    const double ordinary_a = 8.0 * std::pow(wall.cables.front().type.conductor_m2 * 1e6, 0.7);  // 15 A at 2.5 mm2
    if (dice.chance(0.3))
      now.current_a = std::min(100.0, before.current_a * dice.even(0.97, 1.03));  // a slider is dragged
    else
      now.current_a = std::min(100.0, dice.even(0.0, dice.chance(0.7) ? 1.5 * ordinary_a : 100.0));
  }
  for (double& temperature_k : now.surroundings_k)
    if (dice.chance(0.3)) temperature_k = sim::kelvin_from_celsius(dice.even(-40.0, 60.0));
  if (!wall.devices.empty() && dice.chance(0.1)) {
    now.supply = dice.chance(0.5) ? sim::SupplyKind::branch : sim::SupplyKind::bench;
    now.device = now.supply == sim::SupplyKind::branch ? dice.whole(0, static_cast<int>(wall.devices.size()) - 1) : -1;
  }
  return change;
}

/// The envelope of everything that any voxel has touched, K.
class Envelope {
 public:
  void take_in(const sim::Conditions& conditions) {
    for (const double temperature_k : conditions.surroundings_k) range_.include(temperature_k);
  }
  void take_in(const sim::Snapshot& snapshot, const sim::Wall& wall) {
    for (std::size_t v = 0; v < wall.voxels.size(); ++v)
      if (!wall.voxels[v].outside) range_.include(snapshot.temperature_k[v]);
  }
  void take_in_copper(double hottest_k) { range_.include(hottest_k); }
  /// How far outside any voxel of the wall is; infinite for what is not a number.
  [[nodiscard]] double outside_k(const sim::Snapshot& snapshot, const sim::Wall& wall) const {
    double most_k = 0.0;
    for (std::size_t v = 0; v < wall.voxels.size(); ++v) {
      if (wall.voxels[v].outside) continue;
      const double t = snapshot.temperature_k[v];
      if (!std::isfinite(t)) return std::numeric_limits<double>::infinity();
      most_k = std::max({most_k, t - range_.highest_k, range_.lowest_k - t});
    }
    return most_k;
  }

 private:
  sim::RiseRange range_;
};

/// Between two moments of one wall: of any voxel or conductor.
double furthest_apart_k(const sim::Snapshot& a, const sim::Snapshot& b, const sim::Wall& wall) {
  double most_k = 0.0;
  for (std::size_t v = 0; v < wall.voxels.size(); ++v)
    if (!wall.voxels[v].outside)
      most_k = std::max(most_k, std::abs(static_cast<double>(a.temperature_k[v]) - b.temperature_k[v]));
  for (std::size_t l = 0; l < a.lines.size(); ++l)
    for (std::size_t n = 0; n < a.lines[l].conductor_k.size(); ++n)
      most_k = std::max(most_k, std::abs(static_cast<double>(a.lines[l].conductor_k[n]) - b.lines[l].conductor_k[n]));
  return most_k;
}

bool damaged(const sim::Bench& bench) {
  for (const sim::Occurrence& one : bench.occurrences())
    if (one.what != sim::Happening::trip) return true;
  return bench.matter().gas_kg > 0.0;
}

/// Heat that moves at a moment, W: what the balance is measured against.
double moving_w(const sim::Reading& reading) {
  double sum_w = std::abs(reading.power_w);
  for (const sim::SurroundingsReading& one : reading.surroundings) sum_w += std::abs(one.heat_w);
  return sum_w;
}

/// Heat that would warm the whole wall by 0.3 mK, J: single precision keeps the books no finer where little moves.
double told_apart_j(const sim::Wall& wall) {
  constexpr double told_apart_k = 3e-4;
  double capacity_j_k = 0.0;
  std::size_t v = 0;
  const sim::Grid& grid = wall.grid;
  for (std::size_t k = 0; k + 1 < grid.z_m.size(); ++k)
    for (std::size_t j = 0; j + 1 < grid.y_m.size(); ++j)
      for (std::size_t i = 0; i + 1 < grid.x_m.size(); ++i, ++v) {
        if (wall.voxels[v].outside) continue;
        const sim::Material& material = wall.materials[wall.voxels[v].index];
        capacity_j_k += material.density_kg_m3 * material.heat_capacity_j_kgk * (grid.x_m[i + 1] - grid.x_m[i]) *
                        (grid.y_m[j + 1] - grid.y_m[j]) * (grid.z_m[k + 1] - grid.z_m[k]);
      }
  return told_apart_k * capacity_j_k;
}

class Run {
 public:
  Run(std::uint64_t seed, const scenes::DataFiles& data, const RandomRun& rules, const RandomWalls& walls)
      : dice_(seed), rules_(rules) {
    const scenes::Scene scene = random_scene(dice_, data, walls);
    wall_ = scenes::paint(scene, data);
    sim::BenchOptions usual;
    usual.threads = 1;
    usual.start_k = scene.wall.start_k;
    sim::BenchOptions fine = usual;
    usual.mends = rules.mends;
    bench_ = std::make_unique<sim::Bench>(wall_, usual);
    if (rules.compares) {
      fine.step_s = 0.1 * usual.step_s;
      fine.longest_step_s = 0.1 * usual.longest_step_s;
      fine_ = std::make_unique<sim::Bench>(wall_, fine);
    }
    outcome_.voxels = wall_->grid.count();
    envelope_.take_in(bench_->conditions());
    envelope_.take_in(*bench_->snapshot(), *wall_);
  }

  RandomOutcome go() {
    for (int n = 0; n < rules_.changes && outcome_.fault.empty() && !bench_->ended(); ++n) {
      const Change change = next_change(dice_, *wall_, bench_->conditions(), rules_);
      carry_out(change);
      judge(n);
    }
    outcome_.simulated_s = bench_->time_s();
    outcome_.mended = bench_->mended_steps();
    outcome_.damaged = damaged(*bench_);
    return outcome_;
  }

 private:
  void carry_out(const Change& change) {
    envelope_.take_in(change.conditions);
    bench_->set_conditions(change.conditions);
    const double until_s = bench_->time_s() + change.hold_s;
    bench_->set_segment_end(change.one_step ? std::numeric_limits<double>::infinity() : until_s);
    const std::size_t told = bench_->occurrences().size();
    do {
      const double step_s = bench_->step();
      if (!(step_s > 0.0)) break;
      ++outcome_.steps;
      const sim::Reading reading = bench_->reading();
      for (const sim::CableReading& cable : reading.cables) envelope_.take_in_copper(cable.hottest_k);
      moved_j_ += step_s * moving_w(reading);
    } while (!change.one_step);
    if (!fine_) return;
    if (damaged(*bench_) || damaged(*fine_) || bench_->occurrences().size() != told) {
      fine_.reset();  // what gives way at another moment leads elsewhere
      return;
    }
    fine_->set_conditions(change.conditions);
    fine_->set_segment_end(bench_->time_s());
    while (fine_->step() > 0.0) {
    }
    if (damaged(*fine_) || !fine_->occurrences().empty()) fine_.reset();
  }

  void judge(int n) {
    const auto snapshot = bench_->snapshot();
    const auto fault = [&](const std::string& what) {
      if (outcome_.fault.empty()) outcome_.fault = fmt::format("after change {}: {}", n + 1, what);
    };
    if (bench_->broken()) fault("a temperature is not a number");
    const double outside_k = envelope_.outside_k(*snapshot, *wall_);
    outcome_.overshoot_k = std::max(outcome_.overshoot_k, outside_k);
    if (!(outside_k <= allowed_overshoot_k)) fault(fmt::format("{:.3g} K outside the envelope", outside_k));
    const sim::Bench::Energy energy = bench_->energy();
    const double off_j = energy.generated_j - energy.stored_j - energy.left_j - energy.taken_up_j - energy.with_gas_j;
    const double share = std::max(std::abs(off_j) - told_apart_j(*wall_), 0.0) / std::max(moved_j_, 1.0);
    outcome_.unaccounted = std::max(outcome_.unaccounted, share);
    if (!(share <= allowed_unaccounted)) fault(fmt::format("{:.3g} of the heat is not accounted for", share));
    if (!fine_) return;
    const double apart_k = furthest_apart_k(*snapshot, *fine_->snapshot(), *wall_);
    outcome_.apart_k = std::max(outcome_.apart_k, apart_k);
    if (!(apart_k <= allowed_apart_k)) fault(fmt::format("{:.3g} K from the finer run", apart_k));
  }

  Dice dice_;
  RandomRun rules_;
  std::shared_ptr<const sim::Wall> wall_;
  std::unique_ptr<sim::Bench> bench_, fine_;
  Envelope envelope_;
  double moved_j_ = 0.0;
  RandomOutcome outcome_;
};

}  // namespace

RandomOutcome run_random_wall(std::uint64_t seed, const scenes::DataFiles& data, const RandomRun& run,
                              const RandomWalls& walls) {
  return Run(seed, data, run, walls).go();
}

}  // namespace warmbay::tests
