// How many frames a second the whole screen makes at 1280 x 720 while the heat runs beside it, and how soon the first
// one is there. Drawn without a display; on a machine without a graphics card this is the software renderer, and the
// heat is the processor's alone. With one the heat is computed there too, once sharing its field with the drawing and
// once by way of the host.

#include <benchmark/benchmark.h>
#include <glad/gl.h>

#include <algorithm>
#include <chrono>
#include <optional>
#include <stdexcept>
#include <thread>

#include "render/card/open_card.hpp"
#include "render/drawing.hpp"
#include "render/gl/framebuffer.hpp"
#include "render/gl/headless_gl.hpp"
#include "render/gl/quality.hpp"
#include "render/heat_thread.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/places.hpp"

namespace {

using namespace warmbay;
using Clock = std::chrono::steady_clock;

double since_s(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

struct Program {
  scenes::Places places = scenes::find_places();
  scenes::DataFiles data = scenes::read_data_files(places.assets).data;
  std::vector<scenes::Fault> faults;
  scenes::Text text = scenes::Text::read(places.assets / "text" / "en.toml", faults);
  std::shared_ptr<const scenes::Scene> scene;

  Program() {
    scenes::ReadScene read = scenes::read_scene(places.scenes / "laundry-wall.toml", data);
    if (read.scene) scene = std::make_shared<const scenes::Scene>(std::move(*read.scene));
  }
};

/// A screen of 1280 x 720 without a display. error: why there is none, or empty.
struct Stage {
  explicit Stage(const Program& program) : context(render::gl::HeadlessGl::open(error)) {
    if (!context) return;
    picture.emplace(1280, 720, 0);
    picture->bind();
    std::vector<std::string> troubles;
    screen = render::first_screen_state(program.places.assets, {}, troubles);
    drawing.emplace(program.places.assets, program.places.shaders, program.text);
  }
  std::string error;
  decltype(render::gl::HeadlessGl::open(error)) context;
  std::optional<render::gl::Framebuffer> picture;
  render::ScreenState screen;
  std::optional<render::Drawing> drawing;
};

enum Heat : std::int64_t { on_processor, on_card, on_card_shared };

/// Throws std::runtime_error where there is no such card. The stage's context is current before and after.
sim::EngineFactory engine_of(std::int64_t heat, const Stage& stage) {
  std::string why_not;
  sim::EngineFactory engine;
  if (heat == on_card) engine = render::card::engine_for(scenes::Backend::gpu, why_not);
  if (heat == on_card_shared) engine = render::card::engine_beside_drawing(scenes::Backend::gpu, why_not);
  stage.context->enter();
  if (!why_not.empty()) throw std::runtime_error(why_not);
  return engine;
}

/// The whole screen, every frame drawn afresh, as fast as it goes. factor: of simulated time, 0: as fast as it goes.
/// worst_ms: the slowest frame.
void frames(benchmark::State& state) {
  Program program;
  Stage stage(program);
  if (!stage.drawing || !program.scene) return state.SkipWithError(stage.drawing ? "no scene" : stage.error.c_str());
  stage.screen.caution_open = false;
  render::HeatOptions options;
  options.factor = static_cast<double>(state.range(1));
  try {
    options.engine = engine_of(state.range(0), stage);
  } catch (const std::exception& error) {
    return state.SkipWithError(error.what());
  }
  render::HeatThread heat(program.data, options);
  heat.open(program.scene, false);
  const auto failed = [&] { return heat.now()->trouble.what != render::Trouble::What::none; };
  while (!heat.now()->snapshot && !failed()) std::this_thread::yield();
  if (failed()) return state.SkipWithError("the wall could not be built");
  const render::Drawing::Canvas canvas;
  const long long before = heat.now()->version;
  double worst_s = 0.0;
  for (auto _ : state) {
    const auto start = Clock::now();
    if (heat.now()->waiting) heat.send(render::NextStep{});
    benchmark::DoNotOptimize(stage.drawing->frame(*heat.now(), stage.screen, canvas));
    glFinish();
    worst_s = std::max(worst_s, since_s(start));
  }
  const auto now = heat.now();
  state.counters["frames/s"] = benchmark::Counter(static_cast<double>(state.iterations()), benchmark::Counter::kIsRate);
  state.counters["worst_ms"] = worst_s * 1e3;
  state.counters["handovers"] = static_cast<double>(now->version - before);
  state.counters["time_factor"] = now->reached_factor;
}

/// From nothing to the first frame of the screen: data, texts, context, fonts, shaders. The wall is built meanwhile.
void first_frame(benchmark::State& state) {
  for (auto _ : state) {
    Program program;
    Stage stage(program);
    if (!stage.drawing) return state.SkipWithError(stage.error.c_str());
    benchmark::DoNotOptimize(stage.drawing->frame({}, stage.screen, {}));
    glFinish();
  }
}
BENCHMARK(first_frame)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace

int main(int argc, char** argv) {
  std::string error;
  const auto gl = render::gl::HeadlessGl::open(error);
  const bool software = !gl || render::gl::current_quality().tier == render::gl::Tier::software;
  auto* const of = benchmark::RegisterBenchmark("frames", frames);
  of->ArgNames({"heat", "factor"})->UseRealTime()->MinTime(4.0)->Unit(benchmark::kMillisecond);
  of->Args({on_processor, 60});
  if (!software)
    for (const Heat heat : {on_processor, on_card, on_card_shared}) of->Args({heat, 0});
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}
