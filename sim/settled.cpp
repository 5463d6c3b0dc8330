// settle() and current_limit(): the settled solver behind a plain function.

#include "sim/settled.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "sim/instrument.hpp"
#include "sim/limits.hpp"
#include "sim/settled_solver.hpp"

namespace warmbay::sim {
namespace {

class Watch {
 public:
  [[nodiscard]] double seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count();
  }

 private:
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

struct Hottest {
  double kelvin = 0.0;
  double at_m = 0.0;
};

Hottest hottest_of(const SettledSolver& solver, int cable) {
  Hottest hottest;
  const auto c = static_cast<std::size_t>(cable);
  const std::vector<double>& nodes = solver.state().copper_rise_k[c];
  for (std::size_t n = 0; n < nodes.size(); ++n)
    if (datum_k + nodes[n] > hottest.kelvin) hottest = {datum_k + nodes[n], solver.wall().copper().lines[c].along_m[n]};
  return hottest;
}

}  // namespace

Settled settle(const std::shared_ptr<const Wall>& wall, const Conditions& conditions, int threads,
               const Snapshot* guess) {
  const Watch watch;
  const DamageState* damage = guess ? guess->damage.get() : nullptr;
  SettledSolver solver(wall, threads, damage, guess && guess->reading.device_open);
  if (guess) solver.guess(*guess);
  const SettledSolver::Result result = solver.solve(conditions);
  Settled settled;
  settled.outcome = result.outcome;
  settled.balance = result.balance;
  settled.iterations = result.iterations;
  if (result.outcome == SettledOutcome::settled)
    settled.state = take_snapshot(
        solver.wall(), solver.state(),
        read_instruments(solver.wall(), solver.state(), 0.0, solver.feed(), solver.surroundings(), damage), conditions,
        damage);
  settled.seconds = watch.seconds();
  return settled;
}

/// Per round, the thermal resistance seen so far predicts the heat, and with it the current, that just reaches the
/// limit; a runaway on the way halves the step back to the last current that settled.
Limit current_limit(const std::shared_ptr<const Wall>& wall, const Conditions& conditions, int cable, double limit_k,
                    int threads) {
  const Watch watch;
  Limit limit;
  SettledSolver solver(wall, threads);
  const CableType& type = wall->cables[static_cast<std::size_t>(cable)].type;
  Conditions trial = conditions;
  trial.current_a = 0.0;
  limit.outcome = solver.solve(trial).outcome;
  const Hottest cold = hottest_of(solver, cable);
  limit.hottest_at_m = cold.at_m;
  if (limit.outcome != SettledOutcome::settled || cold.kelvin >= limit_k) {
    limit.seconds = watch.seconds();
    return limit;
  }
  double too_much_a2 = 1e12, square_a2 = 0.0, settled_a2 = 0.0;
  double next_a2 =
      0.02 * (limit_k - cold.kelvin) / resistance_ohm_m(type, limit_k);  // a start well below any wall's limit
  constexpr int most_rounds = 40;
  for (int round = 0; round < most_rounds; ++round) {
    square_a2 = next_a2;
    trial.current_a = std::sqrt(square_a2);
    const SettledOutcome outcome = solver.solve(trial).outcome;
    if (outcome != SettledOutcome::settled) {
      too_much_a2 = std::min(too_much_a2, square_a2);
      next_a2 = 0.5 * (settled_a2 + square_a2);
      limit.outcome = outcome;
      continue;
    }
    settled_a2 = square_a2;
    const Hottest hot = hottest_of(solver, cable);
    limit = {SettledOutcome::settled, trial.current_a, hot.at_m, 0.0};
    if (std::abs(hot.kelvin - limit_k) < limits::limit_error_k) break;
    const double resistance_k_w = (hot.kelvin - cold.kelvin) / (square_a2 * resistance_ohm_m(type, hot.kelvin));
    next_a2 = (limit_k - cold.kelvin) / (resistance_k_w * resistance_ohm_m(type, limit_k));
    if (next_a2 >= too_much_a2) next_a2 = 0.5 * (settled_a2 + too_much_a2);
  }
  limit.seconds = watch.seconds();
  return limit;
}

}  // namespace warmbay::sim
