// How fast the heat runs, on the scene that ships first, beside what this machine's memory can move.
//
// Every figure is checked before it is timed: the transient against the same run with steps ten times finer, the
// settled field against its balance. Figures of different runs on a busy machine do not compare; ratios within one run
// do.

#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <vector>

#include "scenes/data_files.hpp"
#include "scenes/painter.hpp"
#include "scenes/scene_file.hpp"
#include "sim/bench.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/settled.hpp"

namespace {

using namespace warmbay;

struct Loaded {
  scenes::Scene scene;
  std::shared_ptr<const sim::Wall> wall;
};

/// The laundry wall, every voxel edge scaled.
Loaded load(double scale) {
  const std::string root = WARMBAY_SOURCE_DIR;
  const scenes::ReadDataFiles data = scenes::read_data_files(root + "/assets");
  scenes::ReadScene read = scenes::read_scene(root + "/scenes/library/laundry-wall.toml", data.data);
  if (!read.scene) {
    for (const scenes::Fault& fault : read.faults) std::fprintf(stderr, "%s\n", to_line(fault).c_str());
    std::exit(1);
  }
  read.scene->grid.coarse_m *= scale;
  read.scene->grid.fine_m *= scale;
  return {*read.scene, scenes::paint(*read.scene, data.data)};
}

/// Conductor temperatures every minute of 25 min at 15 A and 25 min at 30 A.
std::vector<double> play(sim::Bench& bench) {
  std::vector<double> hottest_k;
  sim::Conditions conditions = bench.conditions();
  const double start_s = bench.time_s();
  for (int minute = 0; minute < 50; ++minute) {
    if (minute % 25 == 0) {
      conditions.current_a = minute == 0 ? 15.0 : 30.0;
      bench.set_conditions(conditions);
      bench.set_segment_end(start_s + (minute + 25) * 60.0);
    }
    // A minute may end within an internal step: between its ends the temperature is taken to be straight.
    const double wanted_s = start_s + (minute + 1) * 60.0;
    double from_s = bench.time_s(), from_k = bench.reading().cables.front().hottest_k;
    while (bench.time_s() < wanted_s - 1e-6) {
      from_s = bench.time_s();
      from_k = bench.reading().cables.front().hottest_k;
      if (bench.step() <= 0.0) break;
    }
    const double to_k = bench.reading().cables.front().hottest_k;
    const double share = bench.time_s() > from_s ? (wanted_s - from_s) / (bench.time_s() - from_s) : 1.0;
    hottest_k.push_back(from_k + share * (to_k - from_k));
  }
  return hottest_k;
}

double megabytes_used() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

/// a = b + s c over arrays far larger than the caches, all cores.
void triad(benchmark::State& state) {
  sim::Crew crew(0);
  const std::size_t n = 1U << 24;
  sim::Field a(n, 0.0F), b(n, 1.0F), c(n, 2.0F);
  for (auto _ : state) {
    crew.run([&](int part, int parts) {
      for (std::size_t i = n * part / parts; i < n * (part + 1) / parts; ++i) a[i] = b[i] + 0.5F * c[i];
    });
    benchmark::ClobberMemory();
  }
  state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations()) * static_cast<std::int64_t>(n) * 12);
}
BENCHMARK(triad)->UseRealTime()->Unit(benchmark::kMillisecond);

/// 50 min of the laundry wall. step_ms: the regular internal step; error_k: against steps ten times finer.
void transient(benchmark::State& state) {
  const Loaded loaded = load(1.0);
  sim::BenchOptions options;
  options.start_k = sim::kelvin_from_celsius(24.0);
  options.step_s = static_cast<double>(state.range(0)) / 1000.0;  // the regular step; it grows to the longest
  options.threads = static_cast<int>(state.range(1));
  static const std::vector<double> reference_k = [&] {
    sim::BenchOptions finer = options;
    finer.step_s = finer.longest_step_s = 0.25;
    finer.threads = 0;
    sim::Bench bench(loaded.wall, finer);
    return play(bench);
  }();
  double error_k = 0.0;
  sim::Bench bench(loaded.wall, options);
  const sim::BenchState opening = bench.save();
  for (auto _ : state) {
    bench.restore(opening);
    const std::vector<double> hottest_k = play(bench);
    for (std::size_t n = 0; n < hottest_k.size(); ++n)
      error_k = std::max(error_k, std::abs(hottest_k[n] - reference_k[n]));
  }
  state.counters["voxels"] = static_cast<double>(loaded.wall->grid.count());
  state.counters["error_k"] = error_k;
  state.counters["sim_s/s"] =
      benchmark::Counter(3000.0 * static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
  state.counters["peak_mb"] = megabytes_used();
}
BENCHMARK(transient)
    ->ArgNames({"step_ms", "threads"})
    ->Args({2500, 1})
    ->Args({2500, 2})
    ->Args({5000, 2})
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);

/// The whole demonstration of the laundry wall, with everything that heat does to it (damage 1) or without (0: the same
/// wall of materials that nothing happens to).
void demonstration(benchmark::State& state) {
  Loaded loaded = load(1.0);
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
  const Loaded loaded = load(static_cast<double>(state.range(0)) / 100.0);
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
BENCHMARK(settled)->ArgName("scale_percent")->Arg(140)->Arg(100)->Arg(70)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
