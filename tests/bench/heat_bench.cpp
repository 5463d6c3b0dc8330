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

#include "scenes/play/conditions.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/settled.hpp"
#include "sim/stepper.hpp"
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

/// a = b + s c over arrays far larger than the caches.
class Triad {
 public:
  explicit Triad(int threads) : crew_(threads), a_(count, 0.0F), b_(count, 1.0F), c_(count, 2.0F) {}
  void run() {
    crew_.run([&](int part, int parts) {
      for (std::size_t i = count * part / parts; i < count * (part + 1) / parts; ++i) a_[i] = b_[i] + 0.5F * c_[i];
    });
    benchmark::ClobberMemory();
  }
  static constexpr std::size_t count = 1U << 24;
  static constexpr double bytes = 12.0 * count;

 private:
  sim::Crew crew_;
  sim::Field a_, b_, c_;
};

void triad(benchmark::State& state) {
  Triad triad(static_cast<int>(state.range(0)));
  for (auto _ : state) triad.run();
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(Triad::bytes));
}
BENCHMARK(triad)->ArgName("threads")->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

/// What the triad moves now, bytes per second, the mean of a tenth of a second: measured beside every figure that is
/// given as a share of it, since memory on shared machines is not the same from minute to minute.
double triad_bytes_s(int threads) {
  Triad triad(threads);
  triad.run();
  const auto start = std::chrono::steady_clock::now();
  double seconds = 0.0;
  int runs = 0;
  for (; seconds < 0.1; ++runs) {
    triad.run();
    seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  }
  return runs * Triad::bytes / seconds;
}

/// The triad before and after something that it is to be compared with.
class BesideTriad {
 public:
  explicit BesideTriad(int threads) : threads_(threads), before_bytes_s_(triad_bytes_s(threads)) {}
  /// bytes_an_iteration: moved by what was timed.
  void tell(benchmark::State& state, double bytes_an_iteration) const {
    const double mean_bytes_s = 0.5 * (before_bytes_s_ + triad_bytes_s(threads_));
    state.counters["triad_gb_s"] = mean_bytes_s * 1e-9;
    state.counters["of_triad"] = benchmark::Counter(
        bytes_an_iteration * static_cast<double>(state.iterations()) / mean_bytes_s, benchmark::Counter::kIsRate);
  }

 private:
  int threads_;
  double before_bytes_s_;
};

/// What a step moves, bytes per voxel, if every sweep passes each of its arrays once: the flow reads temperatures and
/// three conductances and writes changes; a sweep along x or y reads its conductances and capacities, reads and writes
/// changes; along z temperatures are read and written, too.
constexpr double step_bytes = (5 + 4 + 4 + 6) * sizeof(float);
/// And what taking all conductances anew does: a row's pass reads temperatures, codes and half-resistivities, writes
/// those and the temperatures that they were taken at; the faces' pass reads half-resistivities, writes conductances.
constexpr double refresh_bytes = 2 + (4 + 4) * sizeof(float);

/// A wall under 15 A at 24 C, for kernels alone.
struct OnTheWay {
  OnTheWay(double scale, int threads) : wall(bench::load_laundry(scale).wall), crew(threads), conduction(wall, crew) {
    state.rise_k.assign(conduction.layout().size, 4.0F);
    for (const sim::CopperLine& line : conduction.copper().lines)
      state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 4.0);
    conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, state.rise_k);
    conduction.refresh(state.rise_k);
  }
  std::shared_ptr<const sim::Wall> wall;
  sim::Crew crew;
  sim::Conduction conduction;
  sim::HeatState state;
};

/// The split step alone: flow, sweeps, air and copper.
void kernel_step(benchmark::State& state) {
  OnTheWay heat(static_cast<double>(state.range(1)) / 100.0, static_cast<int>(state.range(0)));
  sim::Stepper stepper(heat.conduction, heat.crew);
  const sim::Feed feed = sim::steady_feed(heat.conduction.copper(), 15.0);
  static_cast<void>(stepper.step(heat.state, 5.0, feed));
  const BesideTriad beside(static_cast<int>(state.range(0)));
  for (auto _ : state) static_cast<void>(stepper.step(heat.state, 5.0, feed));
  const auto voxels = static_cast<double>(heat.wall->grid.count());
  state.counters["voxels"] = voxels;
  beside.tell(state, step_bytes * voxels);
}
/// Every conductance taken anew.
void kernel_refresh(benchmark::State& state) {
  OnTheWay heat(static_cast<double>(state.range(1)) / 100.0, static_cast<int>(state.range(0)));
  const BesideTriad beside(static_cast<int>(state.range(0)));
  for (auto _ : state) heat.conduction.refresh_all(heat.state.rise_k);
  const auto voxels = static_cast<double>(heat.wall->grid.count());
  state.counters["voxels"] = voxels;
  beside.tell(state, refresh_bytes * voxels);
}
void kernel_sizes(benchmark::internal::Benchmark* kernel) {
  kernel->ArgNames({"threads", "scale_percent"})->UseRealTime()->Unit(benchmark::kMillisecond);
  for (const int scale_percent : {100, 58, 34})
    for (const int threads : {1, 2}) kernel->Args({threads, scale_percent});
}
BENCHMARK(kernel_step)->Apply(kernel_sizes);
BENCHMARK(kernel_refresh)->Apply(kernel_sizes);

/// 50 min of the laundry wall, everything that a simulated experiment takes. step_ms: the regular internal step (5 s
/// is what ships); error_k: against steps of 0.25 s, on the finer walls of 1 s; of_triad: the bytes of all steps (none
/// of conductances, damage and readings) as a share of what the triad moves.
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
  const BesideTriad beside(options.threads);
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
  beside.tell(state, step_bytes * voxels * steps);
  state.counters["peak_mb"] = megabytes_used();
}
BENCHMARK(transient)
    ->ArgNames({"step_ms", "threads", "constant", "scale_percent"})
    ->Args({5000, 1, 0, 100})
    ->Args({5000, 2, 0, 100})
    ->Args({10000, 2, 0, 100})
    ->Args({5000, 1, 1, 100})
    ->Args({5000, 2, 1, 100})
    ->Args({10000, 2, 1, 100})
    ->Args({5000, 2, 0, 58})
    ->Args({5000, 2, 0, 34})
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
