// The same wall and the same matrix: Warmbay's own solvers beside general-purpose ones in one run. The
// matrix is assembled apart from the solver's own code (tests/standards/heat_balance.hpp). Properties are constant, or
// (varying: 1) conductivities and films change with temperature; air gaps and damage, which that matrix does not know,
// are left out on both sides. Accuracies differ and stand beside the speeds: error_k, of the hottest conductor point at
// the end of every minute, against our own steps of a quarter of a second.

#include <benchmark/benchmark.h>

#include <Eigen/IterativeLinearSolvers>
#include <cmath>
#include <map>
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

const sim::Wall& wall(bool varying = false) {
  static const auto shipped = bench::load_laundry(1.0).wall;
  static const auto constant = bench::with_constant_properties(*shipped), varies = bench::without_damage(*shipped);
  return varying ? *varies : *constant;
}

constexpr double start_k = sim::kelvin_from_celsius(24.0);

sim::Bench bench_of(bool varying, double step_s, double longest_step_s, int threads = 0) {
  sim::BenchOptions options;
  options.threads = threads;
  options.start_k = start_k;
  options.step_s = step_s;
  options.longest_step_s = longest_step_s;
  return sim::Bench(std::make_shared<const sim::Wall>(wall(varying)), options);
}

const std::vector<double>& reference_k(bool varying) {
  static std::map<bool, std::vector<double>> found_k;
  std::vector<double>& found = found_k[varying];
  if (found.empty()) {
    sim::Bench bench = bench_of(varying, 0.25, 0.25);
    found = bench::play_minutes(bench);
  }
  return found;
}

/// hottest_k: at the end of every minute that was played, however many.
void tell(benchmark::State& state, bool varying, const std::vector<double>& hottest_k) {
  state.counters["voxels"] = static_cast<double>(wall().grid.count());
  state.counters["error_k"] = bench::furthest_k(hottest_k, reference_k(varying));
  state.counters["sim_s/s"] =
      benchmark::Counter(60.0 * static_cast<double>(hottest_k.size()) * static_cast<double>(state.iterations()),
                         benchmark::Counter::kIsRate);
}

/// Our steps of one length or growing ones; threads 0: one a core. The others run on one.
void split_step(benchmark::State& state) {
  const bool varying = state.range(3) != 0;
  static_cast<void>(reference_k(varying));
  std::vector<double> hottest_k;
  sim::Bench bench = bench_of(varying, 1e-3 * static_cast<double>(state.range(0)),
                              1e-3 * static_cast<double>(state.range(1)), static_cast<int>(state.range(2)));
  const sim::BenchState opening = bench.save();
  for (auto _ : state) {
    bench.restore(opening);
    hottest_k = bench::play_minutes(bench);
  }
  tell(state, varying, hottest_k);
}
BENCHMARK(split_step)
    ->ArgNames({"step_ms", "longest_ms", "threads", "varying"})
    ->Args({10000, 20000, 0, 0})
    ->Args({10000, 20000, 1, 0})
    ->Args({10000, 10000, 1, 0})
    ->Args({2500, 2500, 1, 0})
    ->Args({1000, 1000, 1, 0})
    ->Args({10000, 20000, 0, 1})
    ->Args({10000, 20000, 1, 1})
    ->Args({10000, 10000, 1, 1})
    ->Args({5000, 5000, 1, 1})
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
/// current are of theta 1 and a quarter of the length (they damp the jump). Where conductances vary they are those at
/// the beginning of a step, as in Warmbay's own. make_solver: of a matrix.
template <class MakeSolver>
void theta_steps(benchmark::State& state, const MakeSolver& make_solver) {
  const bool varying = state.range(2) != 0;
  const tests::HeatBalance balance(wall(varying));
  const double step_s = static_cast<double>(state.range(0));
  static_cast<void>(reference_k(varying));
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
      const auto solver_of = [&](double theta, double dt_s) {
        tests::HeatBalance::Matrix matrix = theta * balance.matrix(rise_k.data(), current_a);
        matrix.diagonal() += balance.capacity_j_k() / dt_s;
        return make_solver(matrix);
      };
      auto solver = solver_of(1.0, 0.25 * step_s);
      const auto take = [&](double theta, double dt_s) {
        if (varying) solver = solver_of(theta, dt_s);
        balance.flow_w(rise_k.data(), current_a, flow_w.data());
        change_k = solver->solveWithGuess(flow_w, change_k);
        rise_k += change_k;
        time_s += dt_s;
        ++solves;
        iterations += solver->iterations();
      };
      for (int n = 0; n < 4; ++n) take(1.0, 0.25 * step_s);
      if (!varying) solver = solver_of(0.5, step_s);
      for (;;) {
        if (std::fmod(time_s + 1e-6, 60.0) < 2e-6) found_k.push_back(hottest_k(balance, rise_k));
        if (time_s > end_s - 1e-6) break;
        take(0.5, step_s);
      }
    }
  }
  state.counters["iterations_a_step"] = static_cast<double>(iterations) / static_cast<double>(solves);
  tell(state, varying, found_k);
}

/// Conjugate gradients with the diagonal as preconditioner.
void conjugate_gradients(benchmark::State& state) {
  theta_steps(state, [](const auto& matrix) { return std::make_unique<DiagonalSolver>(matrix); });
}
BENCHMARK(conjugate_gradients)
    ->ArgNames({"step_s", "minutes", "varying"})
    ->Args({10, 50, 0})
    ->Args({30, 50, 0})
    ->Args({60, 50, 0})
    ->Args({10, 50, 1})
    ->Args({30, 50, 1})
    ->Args({60, 50, 1})
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

#ifdef WARMBAY_HYPRE
/// Conjugate gradients with algebraic multigrid as preconditioner.
void algebraic_multigrid(benchmark::State& state) {
  theta_steps(state, [](const auto& matrix) { return std::make_unique<bench::AlgebraicMultigrid>(matrix, tolerance); });
}
BENCHMARK(algebraic_multigrid)
    ->ArgNames({"step_s", "minutes", "varying"})
    ->Args({10, 10, 0})
    ->Args({30, 50, 0})
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
  static_cast<void>(reference_k(false));
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
  tell(state, false, found_k);
}
BENCHMARK(integrator)
    ->ArgNames({"tolerance_uk", "minutes"})
    ->Args({10000, 5})
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
