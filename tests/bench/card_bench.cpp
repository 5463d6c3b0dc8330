// How fast the heat runs on a graphics card, on the laundry wall with everything on, beside the processor in the same
// run. The card's own time is what its clock says of the kernels (GL_TIME_ELAPSED); the rest is the host's.
//
// Without a card the software renderer would take its place, which says nothing of any card: only the smallest wall is
// run there. Every figure is checked before it counts: heat's books, and the conductor against the processor's.

#include <benchmark/benchmark.h>

#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "render/card/heat_card.hpp"
#include "render/gl/quality.hpp"
#include "scenes/places.hpp"
#include "scenes/play/conditions.hpp"
#include "tests/bench/laundry.hpp"

namespace {

using namespace warmbay;

/// Plays the demonstration's steps, or until_s of them, which ends with foam melting and smoke.
double play(sim::Bench& bench, const scenes::Scene& scene, double until_s) {
  sim::Conditions conditions = scenes::first_conditions(scene, bench.wall());
  double end_s = 0.0;
  for (std::size_t step = 0; step < scene.steps.size() && end_s < until_s; ++step) {
    conditions = scenes::conditions_of_step(scene, bench.wall(), static_cast<int>(step), conditions);
    bench.set_conditions(conditions);
    end_s = std::min(end_s + scene.steps[step].hold_s, until_s);
    bench.set_segment_end(end_s);
    bench.advance_to(end_s);
  }
  return bench.time_s();
}

double hottest_k(const sim::Bench& bench) {
  return bench.reading().cables.front().hottest_k;
}

/// What both engines are timed with: the bench is made outside the time, and its books are checked after it.
template <class Play>
void time_playing(benchmark::State& state, const bench::Loaded& loaded, const sim::BenchOptions& options,
                  const Play& played) {
  double simulated_s = 0.0;
  for (auto _ : state) {
    state.PauseTiming();
    auto bench = std::make_unique<sim::Bench>(loaded.wall, options);
    state.ResumeTiming();
    simulated_s += play(*bench, loaded.scene, static_cast<double>(state.range(1)));
    state.PauseTiming();
    const sim::Bench::Energy energy = bench->energy();
    const double accounted_j = energy.stored_j + energy.left_j + energy.taken_up_j + energy.with_gas_j;
    const double off = accounted_j / energy.generated_j - 1.0;
    state.counters["heat_off"] = off;
    if (std::abs(off) > 1e-3) {
      state.SkipWithError(("heat is missing: " + std::to_string(100.0 * off) + " % of what was generated, after " +
                           std::to_string(simulated_s) + " s")
                              .c_str());
      break;
    }
    played(*bench);
    state.counters["void_cm3"] = bench->reading().void_m3 * 1e6;
    state.counters["hottest_c"] = sim::celsius_from_kelvin(hottest_k(*bench));
    state.SetLabel(bench->engine_name());
    bench.reset();
    state.ResumeTiming();
  }
  state.counters["voxels"] = static_cast<double>(loaded.wall->grid.count());
  state.counters["sim_s/s"] = benchmark::Counter(simulated_s, benchmark::Counter::kIsRate);
}

bool on_software() {
  std::string error;
  const auto gl = render::gl::HeadlessGl::open(error);
  return !gl || render::gl::current_quality().tier == render::gl::Tier::software;
}

void processor(benchmark::State& state) {
  const bench::Loaded loaded = bench::load_laundry(static_cast<double>(state.range(0)) / 100.0);
  time_playing(state, loaded, {}, [](const sim::Bench&) {});
}

void card(benchmark::State& state) {
  const bench::Loaded loaded = bench::load_laundry(static_cast<double>(state.range(0)) / 100.0);
  const std::filesystem::path shaders = scenes::find_places().shaders;
  render::card::HeatCard* engine = nullptr;
  double device_s = 0.0, simulated_s = 0.0;
  sim::BenchOptions options;
  std::string error;
  options.engine = [&](const sim::EngineParts& parts) -> std::unique_ptr<sim::HeatEngine> {
    auto context = render::gl::HeadlessGl::open(error);
    auto made = context ? render::card::HeatCard::make(parts, std::move(context), shaders, error) : nullptr;
    engine = made.get();
    return made;
  };
  time_playing(state, loaded, options, [&](const sim::Bench& bench) {
    if (!engine) return;
    device_s += engine->device_s();
    simulated_s += bench.time_s();
  });
  if (!engine) return state.SkipWithError(error.c_str());
  // A software renderer's clock says nothing of it.
  if (!on_software()) state.counters["card_sim_s/s"] = simulated_s / device_s;
}

/// 300 % is a small wall, 60 % about a million voxels, 20 % about seventeen. 2700 s end in the first damage, 4500 s
/// with melting foam and smoke, 6000 s is the whole demonstration.
void add_walls(benchmark::internal::Benchmark* of, bool software) {
  of->ArgNames({"scale_percent", "until_s"})->UseRealTime()->Unit(benchmark::kMillisecond)->Iterations(1);
  if (software) {
    of->Args({300, 300});
    return;
  }
  of->Args({60, 2700})->Args({60, 4500})->Args({60, 6000})->Args({20, 1500});
}

}  // namespace

int main(int argc, char** argv) {
  const bool software = on_software();
  add_walls(benchmark::RegisterBenchmark("processor", processor), software);
  add_walls(benchmark::RegisterBenchmark("card", card), software);
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}
