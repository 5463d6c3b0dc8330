// How fast the heat runs, on the scene that ships first, beside what this machine's memory can move.
//
// Every figure is checked before it is timed: the transient against the same run with steps ten times finer, the
// settled field against its balance. Figures of different runs on a busy machine do not compare; ratios within one run
// do.

#include <benchmark/benchmark.h>
#include <malloc.h>
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <memory>
#include <utility>
#include <vector>

#include "scenes/painter.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/settled.hpp"
#include "tests/bench/laundry.hpp"

namespace {

using namespace warmbay;

double megabytes_used() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

/// Of the heap, all that is in use.
double bytes_in_use() {
  const struct mallinfo2 info = mallinfo2();
  return static_cast<double>(info.uordblks + info.hblkhd);
}

/// Internal steps of the 50 min.
double count_steps(sim::Bench& bench) {
  int steps = 0;
  sim::Conditions conditions = bench.conditions();
  for (const double current_a : {15.0, 30.0}) {
    conditions.current_a = current_a;
    bench.set_conditions(conditions);
    bench.set_segment_end(bench.time_s() + 0.5 * bench::minutes_s);
    while (bench.step() > 0.0) ++steps;
  }
  return steps;
}

double triad_bytes_s = 0.0;  // what the triad moved, once it has run

/// a = b + s c over arrays far larger than the caches, all cores.
void triad(benchmark::State& state) {
  sim::Crew crew(0);
  const std::size_t n = 1U << 24;
  sim::Field a(n, 0.0F), b(n, 1.0F), c(n, 2.0F);
  const auto start = std::chrono::steady_clock::now();
  for (auto _ : state) {
    crew.run([&](int part, int parts) {
      for (std::size_t i = n * part / parts; i < n * (part + 1) / parts; ++i) a[i] = b[i] + 0.5F * c[i];
    });
    benchmark::ClobberMemory();
  }
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  triad_bytes_s = 12.0 * static_cast<double>(n) * static_cast<double>(state.iterations()) / seconds;
  state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations()) * static_cast<std::int64_t>(n) * 12);
}
BENCHMARK(triad)->UseRealTime()->Unit(benchmark::kMillisecond);

/// What a step moves to and from memory if every sweep passes each array once, bytes per voxel: the flow with the x and
/// y sweeps in one pass over the planes reads temperatures, three conductances and capacities and writes changes; the z
/// sweep reads changes, conductances and capacities, reads and writes temperatures and changes.
constexpr double step_bytes = 6 * sizeof(float) + 7 * sizeof(float);

/// 50 min of the laundry wall. step_ms: the regular internal step; error_k: against steps a tenth as long; of_triad:
/// the bytes of all steps per second as a share of what the triad moved.
void transient(benchmark::State& state) {
  const bool constant = state.range(2) != 0;
  const bench::Loaded loaded = bench::load_laundry(static_cast<double>(state.range(3)) / 100.0);
  const auto wall = constant ? bench::with_constant_properties(*loaded.wall) : loaded.wall;
  sim::BenchOptions options;
  options.start_k = sim::kelvin_from_celsius(24.0);
  options.step_s = static_cast<double>(state.range(0)) / 1000.0;  // the regular step; it grows to the longest
  options.threads = static_cast<int>(state.range(1));
  static std::map<std::pair<bool, long>, std::vector<double>> references_k;
  std::vector<double>& reference_k = references_k[{constant, state.range(3)}];
  if (reference_k.empty()) {
    sim::BenchOptions finer = options;
    finer.step_s = finer.longest_step_s = state.range(3) < 100 ? 1.0 : 0.25;
    finer.threads = 0;
    sim::Bench bench(wall, finer);
    reference_k = bench::play_minutes(bench);
  }
  double error_k = 0.0;
  sim::Bench bench(wall, options);
  const sim::BenchState opening = bench.save();
  for (auto _ : state) {
    state.PauseTiming();
    bench.restore(opening);
    state.ResumeTiming();
    error_k = std::max(error_k, bench::furthest_k(bench::play_minutes(bench), reference_k));
  }
  bench.restore(opening);
  const double steps = count_steps(bench);
  const auto voxels = static_cast<double>(wall->grid.count());
  state.counters["voxels"] = voxels;
  state.counters["error_k"] = error_k;
  state.counters["steps"] = steps;
  state.counters["sim_s/s"] =
      benchmark::Counter(bench::minutes_s * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
  if (triad_bytes_s > 0.0)
    state.counters["of_triad"] =
        benchmark::Counter(step_bytes * voxels * steps * static_cast<double>(state.iterations()) / triad_bytes_s,
                           benchmark::Counter::kIsRate);
  state.counters["peak_mb"] = megabytes_used();
}
BENCHMARK(transient)
    ->ArgNames({"step_ms", "threads", "constant", "scale_percent"})
    ->Args({2500, 1, 0, 100})
    ->Args({5000, 1, 0, 100})
    ->Args({2500, 2, 0, 100})
    ->Args({5000, 2, 0, 100})
    ->Args({5000, 2, 1, 100})
    ->Args({10000, 2, 1, 100})
    ->Args({5000, 2, 0, 58})
    ->Args({5000, 2, 0, 40})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// What a wall and its bench hold on the heap, everything counted, bytes per voxel: before the 50 min and after them,
/// when damage has begun.
void memory(benchmark::State& state) {
  for (auto _ : state) {
    const double before = bytes_in_use();
    const bench::Loaded loaded = bench::load_laundry(static_cast<double>(state.range(0)) / 100.0);
    sim::BenchOptions options;
    options.start_k = sim::kelvin_from_celsius(24.0);
    sim::Bench bench(loaded.wall, options);
    const auto voxels = static_cast<double>(loaded.wall->grid.count());
    state.counters["voxels"] = voxels;
    state.counters["bytes_a_voxel_cold"] = (bytes_in_use() - before) / voxels;
    static_cast<void>(bench::play_minutes(bench));
    state.counters["bytes_a_voxel"] = (bytes_in_use() - before) / voxels;
  }
}
BENCHMARK(memory)
    ->ArgName("scale_percent")
    ->Arg(100)
    ->Arg(65)
    ->Iterations(1)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// The whole demonstration of the laundry wall, with everything that heat does to it (damage 1) or without (0: the same
/// wall of materials that nothing happens to).
void demonstration(benchmark::State& state) {
  const bench::Loaded loaded = bench::load_laundry(1.0);
  auto wall = std::make_shared<sim::Wall>(*loaded.wall);
  if (state.range(0) == 0) {
    for (sim::Material& material : wall->materials) material.damage.reset();
    for (sim::Cable& cable : wall->cables) cable.type.insulation.damage = cable.type.sheath.damage = nullptr;
  }
  sim::BenchOptions options;
  options.start_k = sim::kelvin_from_celsius(24.0);
  sim::Bench bench(wall, options);
  const sim::BenchState opening = bench.save();
  double simulated_s = 0.0;
  for (auto _ : state) {
    bench.restore(opening);
    sim::Conditions conditions = scenes::first_conditions(loaded.scene, *wall);
    double end_s = 0.0;
    for (std::size_t step = 0; step < loaded.scene.steps.size(); ++step) {
      conditions = scenes::conditions_of_step(loaded.scene, *wall, static_cast<int>(step), conditions);
      bench.set_conditions(conditions);
      end_s += loaded.scene.steps[step].hold_s;
      bench.set_segment_end(end_s);
      bench.advance_to(end_s);
    }
    simulated_s += bench.time_s();
  }
  const sim::Bench::Energy energy = bench.energy();
  const double accounted_j = energy.stored_j + energy.left_j + energy.taken_up_j + energy.with_gas_j;
  if (std::abs(accounted_j - energy.generated_j) > 1e-3 * energy.generated_j) state.SkipWithError("heat is missing");
  state.counters["void_cm3"] = bench.reading().void_m3 * 1e6;
  state.counters["sim_s/s"] = benchmark::Counter(simulated_s, benchmark::Counter::kIsRate);
}
BENCHMARK(demonstration)->ArgName("damage")->Arg(0)->Arg(1)->UseRealTime()->Unit(benchmark::kMillisecond);

/// The settled field from cold at 15 A. scale_percent: of the scene's voxel edges.
void settled(benchmark::State& state) {
  const bench::Loaded loaded = bench::load_laundry(static_cast<double>(state.range(0)) / 100.0);
  sim::Conditions conditions = sim::initial_conditions(*loaded.wall);
  conditions.current_a = 15.0;
  double balance = 0.0;
  int iterations = 0;
  for (auto _ : state) {
    const sim::Settled settled = sim::settle(loaded.wall, conditions);
    if (settled.outcome != sim::SettledOutcome::settled) state.SkipWithError("did not settle");
    balance = settled.balance;
    iterations = settled.iterations;
  }
  state.counters["voxels"] = static_cast<double>(loaded.wall->grid.count());
  state.counters["balance"] = balance;
  state.counters["iterations"] = iterations;
}
BENCHMARK(settled)
    ->ArgName("scale_percent")
    ->Arg(140)
    ->Arg(100)
    ->Arg(65)
    ->Arg(40)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// The same after the current was moved from 15 to 15.5 A, from the field that it had.
void settled_warm(benchmark::State& state) {
  const bench::Loaded loaded = bench::load_laundry(1.0);
  sim::Conditions conditions = sim::initial_conditions(*loaded.wall);
  conditions.current_a = 15.0;
  const sim::Settled before = sim::settle(loaded.wall, conditions);
  conditions.current_a = 15.5;
  int iterations = 0;
  for (auto _ : state) {
    const sim::Settled settled = sim::settle(loaded.wall, conditions, 0, before.state.get());
    if (settled.outcome != sim::SettledOutcome::settled) state.SkipWithError("did not settle");
    iterations = settled.iterations;
  }
  state.counters["iterations"] = iterations;
}
BENCHMARK(settled_warm)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
