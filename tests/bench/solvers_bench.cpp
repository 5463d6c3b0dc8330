// The same wall and the same matrix: Warmbay's split step beside a general-purpose implicit solver in one run. The
// matrix is assembled apart from the solver's own code (tests/standards/heat_balance.hpp); properties are constant,
// since that is what a general-purpose linear solver is made for. Accuracies differ and stand beside the speeds:
// error_k, of the hottest conductor point at the end of every minute, against our own steps of a quarter of a second.

#include <benchmark/benchmark.h>

#include <Eigen/IterativeLinearSolvers>
#include <vector>

#include "sim/wall.hpp"
#include "tests/bench/laundry.hpp"
#include "tests/standards/heat_balance.hpp"

namespace {

using namespace warmbay;

const sim::Wall& wall() {
  static const auto constant = bench::with_constant_properties(*bench::load_laundry(1.0).wall);
  return *constant;
}

constexpr double start_k = sim::kelvin_from_celsius(24.0);

sim::Bench bench_of(double step_s, double longest_step_s) {
  sim::BenchOptions options;
  options.start_k = start_k;
  options.step_s = step_s;
  options.longest_step_s = longest_step_s;
  return sim::Bench(std::make_shared<const sim::Wall>(wall()), options);
}

const std::vector<double>& reference_k() {
  static const std::vector<double> found = [] {
    sim::Bench bench = bench_of(0.25, 0.25);
    return bench::play_minutes(bench);
  }();
  return found;
}

/// hottest_k: at the end of every minute that was played, however many.
void tell(benchmark::State& state, const std::vector<double>& hottest_k) {
  state.counters["error_k"] = bench::furthest_k(hottest_k, reference_k());
  state.counters["sim_s/s"] =
      benchmark::Counter(60.0 * static_cast<double>(hottest_k.size()) * static_cast<double>(state.iterations()),
                         benchmark::Counter::kIsRate);
}

void split_step(benchmark::State& state) {
  static_cast<void>(reference_k());
  std::vector<double> hottest_k;
  sim::Bench bench = bench_of(static_cast<double>(state.range(0)), static_cast<double>(state.range(1)));
  const sim::BenchState opening = bench.save();
  for (auto _ : state) {
    bench.restore(opening);
    hottest_k = bench::play_minutes(bench);
  }
  tell(state, hottest_k);
}
BENCHMARK(split_step)
    ->ArgNames({"step_s", "longest_s"})
    ->Args({5, 20})
    ->Args({2, 20})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

double hottest_k(const tests::HeatBalance& balance, const Eigen::VectorXd& rise_k) {
  return sim::datum_k + rise_k.segment(balance.first_node(0), balance.nodes(0)).maxCoeff();
}

/// Steps of theta 1/2, the first four of each current of theta 1 and a quarter of the length (they damp the jump), each
/// solved by conjugate gradients with the diagonal as preconditioner.
void conjugate_gradients(benchmark::State& state) {
  const tests::HeatBalance balance(wall());
  const double step_s = static_cast<double>(state.range(0));
  std::vector<double> found_k;
  for (auto _ : state) {
    found_k.clear();
    Eigen::VectorXd rise_k = Eigen::VectorXd::Constant(balance.unknowns(), start_k - sim::datum_k);
    Eigen::VectorXd flow_w(balance.unknowns()), change_k = Eigen::VectorXd::Zero(balance.unknowns());
    for (const double current_a : {15.0, 30.0}) {
      const tests::HeatBalance::Matrix conductances = balance.matrix(rise_k.data(), current_a);
      const auto stepper = [&](double theta, double dt_s) {
        tests::HeatBalance::Matrix matrix = theta * conductances;
        matrix.diagonal() += balance.capacity_j_k() / dt_s;
        return matrix;
      };
      const auto solver_of = [](const tests::HeatBalance::Matrix& matrix) {
        auto solver =
            std::make_unique<Eigen::ConjugateGradient<tests::HeatBalance::Matrix, Eigen::Lower | Eigen::Upper>>();
        solver->setTolerance(1e-6);
        solver->compute(matrix);
        return solver;
      };
      const tests::HeatBalance::Matrix first = stepper(1.0, 0.25 * step_s), regular = stepper(0.5, step_s);
      const auto first_solver = solver_of(first), regular_solver = solver_of(regular);
      const int regular_steps = static_cast<int>(0.5 * bench::minutes_s / step_s) - 1;
      const auto take = [&](const auto& solver) {
        balance.flow_w(rise_k.data(), current_a, flow_w.data());
        change_k = solver->solveWithGuess(flow_w, change_k);
        rise_k += change_k;
      };
      for (int n = 0; n < 4; ++n) take(first_solver);
      double time_s = step_s;
      for (int n = 0; n < regular_steps; ++n) {
        take(regular_solver);
        time_s += step_s;
        if (std::fmod(time_s, 60.0) < 1e-6) found_k.push_back(hottest_k(balance, rise_k));
      }
    }
  }
  tell(state, found_k);
}
BENCHMARK(conjugate_gradients)->ArgName("step_s")->Arg(10)->Iterations(1)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
