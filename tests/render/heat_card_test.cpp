// The heat on a graphics card against the heat on the processor: the same walls, the same changes, within 0.02 K. Here
// the card is whatever OpenGL the machine has, most often one in software: slow, and the same arithmetic.

#include <algorithm>
#include <cmath>

#include "render/card/open_card.hpp"
#include "scenes/places.hpp"
#include "sim/bench.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double close_k =
    0.02;  // what the two engines may differ by: floats in another order, powers by another route

/// Without EGL there is no card to test: the line that says so is the behaviour.
std::shared_ptr<const render::gl::HeadlessGl> display() {
  std::string error;
  std::shared_ptr<const render::gl::HeadlessGl> opened = render::gl::HeadlessGl::open(error);
  if (!opened) WARN(error);
  return opened;
}

sim::Bench bench_on(const std::shared_ptr<const render::gl::HeadlessGl>& card, std::shared_ptr<const sim::Wall> wall,
                    double start_c) {
  sim::BenchOptions options;
  options.threads = 1;
  options.step_s = 4.0;
  options.start_k = sim::kelvin_from_celsius(start_c);
  if (card) options.engine = render::card::on_card(card, scenes::find_places().shaders);
  return sim::Bench(std::move(wall), options);
}

struct Apart {
  double field_k = 0.0, copper_k = 0.0, reading_k = 0.0;
};
Apart apart(const sim::Bench& a, const sim::Bench& b) {
  const auto one = a.snapshot(), other = b.snapshot();
  Apart most;
  for (std::size_t v = 0; v < one->temperature_k.size(); ++v)
    most.field_k = std::max<double>(most.field_k, std::abs(one->temperature_k[v] - other->temperature_k[v]));
  for (std::size_t l = 0; l < one->lines.size(); ++l)
    for (std::size_t n = 0; n < one->lines[l].conductor_k.size(); ++n)
      most.copper_k =
          std::max<double>(most.copper_k, std::abs(one->lines[l].conductor_k[n] - other->lines[l].conductor_k[n]));
  for (std::size_t t = 0; t < one->reading.thermocouple_k.size(); ++t)
    most.reading_k =
        std::max(most.reading_k, std::abs(one->reading.thermocouple_k[t] - other->reading.thermocouple_k[t]));
  for (std::size_t s = 0; s < one->reading.surroundings.size(); ++s) {
    const auto &x = one->reading.surroundings[s], &y = other->reading.surroundings[s];
    most.reading_k = std::max({most.reading_k, std::abs(x.hottest_surface_k - y.hottest_surface_k),
                               std::abs(x.coldest_surface_k - y.coldest_surface_k)});
  }
  return most;
}

void play(sim::Bench& bench, double first_a, double then_a) {
  bench.set_conditions(with_current(bench.wall(), first_a));
  bench.set_segment_end(240.0);
  bench.advance_to(240.0);
  sim::Conditions warmer = with_current(bench.wall(), then_a);
  warmer.surroundings_k.back() += 5.0;
  bench.set_conditions(warmer);
  bench.set_segment_end(480.0);
  bench.advance_to(480.0);
}

}  // namespace

TEST_CASE(
    "a wall with films, air round a cable and conductivities that vary is as warm on the card as on the processor") {
  const auto gl = display();
  if (!gl) return;
  const auto wall = share(channel_wall());
  sim::Bench card = bench_on(gl, wall, 24.0), processor = bench_on(nullptr, wall, 24.0);
  CHECK(card.engine_name() != processor.engine_name());
  for (sim::Bench* bench : {&card, &processor}) play(*bench, 15.0, 30.0);
  const Apart most = apart(card, processor);
  CAPTURE(most.field_k, most.copper_k, most.reading_k, processor.reading().cables[0].hottest_k);
  CHECK(processor.reading().cables[0].hottest_k > sim::kelvin_from_celsius(50.0));
  CHECK(card.time_s() == processor.time_s());
  CHECK(most.field_k < close_k);
  CHECK(most.copper_k < close_k);
  CHECK(most.reading_k < close_k);
  const auto one = card.energy(), other = processor.energy();
  CHECK(one.generated_j == Approx(other.generated_j).epsilon(1e-5));
  CHECK(one.left_j == Approx(other.left_j).epsilon(1e-3));
  CHECK(one.stored_j + one.left_j == Approx(one.generated_j).epsilon(1e-3));
}
