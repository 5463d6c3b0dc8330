// The same wall and the same matrix: Warmbay's own solvers beside general-purpose ones in one run. The
// matrix is assembled apart from the solver's own code (tests/standards/heat_balance.hpp); properties are constant,
// since that is what a general-purpose linear solver is made for. Accuracies differ and stand beside the speeds:
// error_k, of the hottest conductor point at the end of every minute, against our own steps of a quarter of a second.

#include <benchmark/benchmark.h>

#include <Eigen/IterativeLinearSolvers>
#include <cmath>
#include <memory>
#include <utility>
#include <vector>

#include "sim/settled.hpp"
#include "sim/wall.hpp"
#ifdef WARMBAY_HYPRE
#include "tests/bench/algebraic_multigrid.hpp"
#endif
#include "tests/bench/cvode_diagonal.hpp"
#include "tests/bench/laundry.hpp"
#include "tests/standards/heat_balance.hpp"

namespace {

using namespace warmbay;

const sim::Wall& wall() {
  static const auto constant = bench::with_constant_properties(*bench::load_laundry(1.0).wall);
  return *constant;
}

constexpr double start_k = sim::kelvin_from_celsius(24.0);

sim::Bench bench_of(double step_s, double longest_step_s, int threads = 0) {
  sim::BenchOptions options;
  options.threads = threads;
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
  state.counters["voxels"] = static_cast<double>(wall().grid.count());
  state.counters["error_k"] = bench::furthest_k(hottest_k, reference_k());
  state.counters["sim_s/s"] =
      benchmark::Counter(60.0 * static_cast<double>(hottest_k.size()) * static_cast<double>(state.iterations()),
                         benchmark::Counter::kIsRate);
}

/// Our steps of one length or growing ones; threads 0: one a core. The others run on one.
void split_step(benchmark::State& state) {
  static_cast<void>(reference_k());
  std::vector<double> hottest_k;
  sim::Bench bench = bench_of(1e-3 * static_cast<double>(state.range(0)), 1e-3 * static_cast<double>(state.range(1)),
                              static_cast<int>(state.range(2)));
  const sim::BenchState opening = bench.save();
  for (auto _ : state) {
    bench.restore(opening);
    hottest_k = bench::play_minutes(bench);
  }
  tell(state, hottest_k);
}
BENCHMARK(split_step)
    ->ArgNames({"step_ms", "longest_ms", "threads"})
    ->Args({10000, 20000, 0})
    ->Args({10000, 20000, 1})
    ->Args({5000, 20000, 0})
    ->Args({5000, 20000, 1})
    ->Args({2000, 20000, 1})
    ->Args({2000, 2000, 1})
    ->Args({1000, 1000, 1})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

double hottest_k(const tests::HeatBalance& balance, const Eigen::VectorXd& rise_k) {
  return sim::datum_k + rise_k.segment(balance.first_node(0), balance.nodes(0)).maxCoeff();
}

constexpr double tolerance = 1e-6;  // of a linear solve's residual

struct DiagonalSolver {
  explicit DiagonalSolver(tests::HeatBalance::Matrix of) : matrix(std::move(of)) {
    solver.setTolerance(tolerance);
    solver.compute(matrix);
  }
  Eigen::VectorXd solveWithGuess(const Eigen::VectorXd& right, const Eigen::VectorXd& guess) {
    return solver.solveWithGuess(right, guess);
  }
  [[nodiscard]] long iterations() const { return solver.iterations(); }
  tests::HeatBalance::Matrix matrix;  // the solver keeps a reference to it
  Eigen::ConjugateGradient<tests::HeatBalance::Matrix, Eigen::Lower | Eigen::Upper> solver;
};

/// Minutes of the 25 that each current of play_minutes() is on, played by steps of theta 1/2; the first four of each
/// current are of theta 1 and a quarter of the length (they damp the jump). make_solver: of a matrix.
template <class MakeSolver>
void theta_steps(benchmark::State& state, const MakeSolver& make_solver) {
  const tests::HeatBalance balance(wall());
  const double step_s = static_cast<double>(state.range(0));
  static_cast<void>(reference_k());
  std::vector<double> found_k;
  long solves = 0, iterations = 0;
  for (auto _ : state) {
    found_k.clear();
    Eigen::VectorXd rise_k = Eigen::VectorXd::Constant(balance.unknowns(), start_k - sim::datum_k);
    Eigen::VectorXd flow_w(balance.unknowns()), change_k = Eigen::VectorXd::Zero(balance.unknowns());
    double time_s = 0.0;
    const double until_s = 60.0 * static_cast<double>(state.range(1));
    for (const double current_a : {15.0, 30.0}) {
      if (time_s >= until_s) break;
      const double end_s = std::min(time_s + 0.5 * bench::minutes_s, until_s);
      const tests::HeatBalance::Matrix conductances = balance.matrix(rise_k.data(), current_a);
      const auto stepper = [&](double theta, double dt_s) {
        tests::HeatBalance::Matrix matrix = theta * conductances;
        matrix.diagonal() += balance.capacity_j_k() / dt_s;
        return matrix;
      };
      const auto take = [&](auto& solver) {
        balance.flow_w(rise_k.data(), current_a, flow_w.data());
        change_k = solver->solveWithGuess(flow_w, change_k);
        rise_k += change_k;
        ++solves;
        iterations += solver->iterations();
      };
      {
        const auto first = make_solver(stepper(1.0, 0.25 * step_s));
        for (int n = 0; n < 4; ++n) take(first);
      }
      const auto regular = make_solver(stepper(0.5, step_s));
      for (time_s += step_s; time_s < end_s - 1e-6;) {
        take(regular);
        time_s += step_s;
        if (std::fmod(time_s, 60.0) < 1e-6) found_k.push_back(hottest_k(balance, rise_k));
      }
    }
  }
  state.counters["iterations_a_step"] = static_cast<double>(iterations) / static_cast<double>(solves);
  tell(state, found_k);
}

/// Conjugate gradients with the diagonal as preconditioner.
void conjugate_gradients(benchmark::State& state) {
  theta_steps(state, [](const auto& matrix) { return std::make_unique<DiagonalSolver>(matrix); });
}
BENCHMARK(conjugate_gradients)
    ->ArgNames({"step_s", "minutes"})
    ->Args({10, 50})
    ->Args({30, 50})
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

#ifdef WARMBAY_HYPRE
/// Conjugate gradients with algebraic multigrid as preconditioner.
void algebraic_multigrid(benchmark::State& state) {
  theta_steps(state, [](const auto& matrix) { return std::make_unique<bench::AlgebraicMultigrid>(matrix, tolerance); });
}
BENCHMARK(algebraic_multigrid)
    ->ArgNames({"step_s", "minutes"})
    ->Args({10, 10})
    ->Args({30, 50})
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// The settled field at 15 A from cold: setting the preconditioner up and one solve.
void settled_algebraic_multigrid(benchmark::State& state) {
  const tests::HeatBalance balance(wall());
  const Eigen::VectorXd datum = Eigen::VectorXd::Zero(balance.unknowns());
  const tests::HeatBalance::Matrix conductances = balance.matrix(datum.data(), 15.0);
  Eigen::VectorXd inflow_w(balance.unknowns());
  balance.flow_w(datum.data(), 15.0, inflow_w.data());
  for (auto _ : state) {
    bench::AlgebraicMultigrid solver(conductances, 1e-8);
    const Eigen::VectorXd rise_k = solver.solveWithGuess(inflow_w, datum);
    state.counters["iterations"] = solver.iterations();
    state.counters["hottest_c"] = sim::celsius_from_kelvin(hottest_k(balance, rise_k));
  }
}
BENCHMARK(settled_algebraic_multigrid)->UseRealTime()->Unit(benchmark::kMillisecond);
#endif

/// Our own of the same wall; threads 0: one a core.
void settled(benchmark::State& state) {
  sim::Conditions conditions = sim::initial_conditions(wall());
  conditions.current_a = 15.0;
  for (auto _ : state) {
    const sim::Settled found =
        sim::settle(std::make_shared<const sim::Wall>(wall()), conditions, static_cast<int>(state.range(0)));
    if (found.outcome != sim::SettledOutcome::settled) return state.SkipWithError("did not settle");
    state.counters["iterations"] = found.iterations;
    state.counters["hottest_c"] = sim::celsius_from_kelvin(found.state->reading.cables.front().hottest_k);
  }
}
BENCHMARK(settled)->ArgName("threads")->Arg(1)->Arg(0)->UseRealTime()->Unit(benchmark::kMillisecond);

/// An integrator that chooses its own steps; tolerances in K.
void integrator(benchmark::State& state) {
  const tests::HeatBalance balance(wall());
  static_cast<void>(reference_k());
  const double absolute_k = 1e-6 * static_cast<double>(state.range(0));
  std::vector<double> found_k;
  long steps = 0;
  for (auto _ : state) {
    bench::CvodeDiagonal run(balance, start_k - sim::datum_k, 0.0, absolute_k);
    run.set_current(15.0);
    found_k.clear();
    for (int minute = 1; minute <= state.range(1); ++minute) {
      run.run_to(60.0 * minute);
      found_k.push_back(hottest_k(balance, run.rise_k()));
    }
    steps = run.steps();
  }
  state.counters["steps"] = static_cast<double>(steps);
  tell(state, found_k);
}
BENCHMARK(integrator)
    ->ArgNames({"tolerance_uk", "minutes"})
    ->Args({10000, 5})
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
