// The heat on a graphics card against the heat on the processor: the same walls, the same changes, within 0.02 K. Here
// the card is whatever OpenGL the machine has, most often one in software: slow, and the same arithmetic.

#include <algorithm>
#include <cmath>
#include <thread>

#include "render/card/open_card.hpp"
#include "render/gl/quality.hpp"
#include "scenes/places.hpp"
#include "sim/bench.hpp"
#include "tests/render/context.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double close_k =
    0.02;  // what the two engines may differ by: floats in another order, powers by another route

/// Without EGL there is no card to test.
std::shared_ptr<const render::gl::HeadlessGl> display() {
  return render::testing::headless_or_skip();
}

sim::Bench bench_on(const std::shared_ptr<const render::gl::HeadlessGl>& card, std::shared_ptr<const sim::Wall> wall,
                    double start_c) {
  sim::BenchOptions options;
  options.threads = 1;
  options.step_s = 4.0;
  options.mends = false;  // the split step alone: the card does not look for restless voxels
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
    "a wall with films, air round a cable and conductivities that vary is as warm on the card as on the processor",
    "[slow]") {
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

TEST_CASE("air spaces without a cable carry as much heat on the card as on the processor", "[slow]") {
  const auto gl = display();
  if (!gl) return;
  const auto edges = even_edges(0.12, 20);
  sim::Wall wall = block({edges, edges, edges}, material("board", 0.2, 700.0, 1000.0));
  sim::Material air = material("air", 0.026, 1.2, 1006.0);
  air.air_space = true;
  paint_box(wall, {0.03, 0.018, 0.03}, {0.09, 0.102, 0.06}, air);  // an upright cavity, and one that lies on top of it
  paint_box(wall, {0.03, 0.03, 0.078}, {0.09, 0.09, 0.102}, air);
  expose(wall, sim::Side::room, add_natural(wall, "room", sim::kelvin_from_celsius(60.0)));
  expose(wall, sim::Side::far, add_natural(wall, "outside", sim::kelvin_from_celsius(5.0)));
  expose(wall, sim::Side::left, add_held(wall, "plate", sim::kelvin_from_celsius(30.0)));
  add_spot(wall, {0.06, 0.06, 0.0});
  add_spot(wall, {0.06, 0.06, 0.03});
  const auto shared = share(std::move(wall));
  sim::Bench card = bench_on(gl, shared, 20.0), processor = bench_on(nullptr, shared, 20.0);
  REQUIRE(processor.reading().surroundings.size() == 3);
  for (sim::Bench* bench : {&card, &processor}) bench->advance_to(1800.0);
  const Apart most = apart(card, processor);
  CAPTURE(most.field_k, most.reading_k);
  CHECK(most.field_k < close_k);
  CHECK(most.reading_k < close_k);
  for (std::size_t s = 0; s < 3; ++s)
    CHECK(card.reading().surroundings[s].heat_w == Approx(processor.reading().surroundings[s].heat_w).epsilon(2e-3));
}

TEST_CASE("a run on the card is repeatable bit by bit, and goes on bit by bit where it was saved", "[slow]") {
  const auto gl = display();
  if (!gl) return;
  const auto wall = share(frail_wall());
  sim::Bench one = bench_on(gl, wall, 24.0), other = bench_on(gl, wall, 24.0);
  auto begin = [](sim::Bench& bench) {
    bench.set_conditions(with_current(bench.wall(), 45.0));
    bench.advance_to(200.0);
  };
  auto go_on = [](sim::Bench& bench) { bench.advance_to(420.0); };
  begin(one);
  const sim::BenchState middle = one.save();
  go_on(one);
  begin(other);
  go_on(other);
  const auto end = one.snapshot();
  CHECK(end->reading.void_m3 > 0.0);  // so that air spaces have grown in between
  CHECK(end->temperature_k == other.snapshot()->temperature_k);
  one.restore(middle);
  CHECK(one.time_s() == middle.time_s);
  go_on(one);
  CHECK(end->temperature_k == one.snapshot()->temperature_k);
  CHECK(end->lines[0].conductor_k == one.snapshot()->lines[0].conductor_k);
  CHECK(one.energy().left_j == other.energy().left_j);
}

TEST_CASE("what heat does to a wall and its cable is the same on the card, and the books balance", "[slow]") {
  const auto gl = display();
  if (!gl) return;
  const auto wall = share(frail_wall());
  sim::Bench card = bench_on(gl, wall, 24.0), processor = bench_on(nullptr, wall, 24.0);
  const double before_kg = card.matter().left_kg;
  CHECK(before_kg == processor.matter().left_kg);
  auto play_to = [&](double time_s) {
    for (sim::Bench* bench : {&card, &processor}) {
      bench->set_conditions(with_current(*wall, 45.0));
      bench->set_segment_end(time_s);
      bench->advance_to(time_s);
    }
  };
  play_to(400.0);
  REQUIRE(processor.reading().void_m3 > 1e-4);
  const Apart most = apart(card, processor);
  CAPTURE(most.field_k, most.copper_k, most.reading_k);
  CHECK(most.field_k < close_k);
  CHECK(most.copper_k < close_k);
  CHECK(most.reading_k < close_k);
  const sim::Reading one = card.reading(), other = processor.reading();
  CHECK(one.void_m3 == Approx(other.void_m3).epsilon(1e-9));
  CHECK(one.smoke_kg == Approx(other.smoke_kg).epsilon(1e-3));
  CHECK(one.cables[0].worn == Approx(other.cables[0].worn).epsilon(1e-3));
  CHECK(card.snapshot()->states == processor.snapshot()->states);

  play_to(430.0);  // the insulation gives way
  // The wall is alike at both ends, so rounding decides at which of them the first short is, and from the far end a
  // second one nearer to the supply is told: the first of every kind is compared.
  const auto first_of_kind = [](const std::vector<sim::Occurrence>& all) {
    std::vector<sim::Occurrence> first;
    for (const sim::Occurrence& occurrence : all)
      if (std::none_of(first.begin(), first.end(), [&](const auto& seen) {
            return seen.what == occurrence.what && seen.material == occurrence.material;
          }))
        first.push_back(occurrence);
    return first;
  };
  const auto told = first_of_kind(card.occurrences()), wanted = first_of_kind(processor.occurrences());
  REQUIRE(told.size() == wanted.size());
  REQUIRE(told.size() >= 4);
  for (std::size_t n = 0; n < told.size(); ++n) {
    CHECK(told[n].what == wanted[n].what);
    CHECK(std::abs(told[n].time_s - wanted[n].time_s) < 1.0);
  }
  const auto energy = card.energy();
  CHECK(energy.stored_j + energy.left_j + energy.taken_up_j + energy.with_gas_j ==
        Approx(energy.generated_j).epsilon(1e-3));
  CHECK(card.matter().left_kg + card.matter().gas_kg == Approx(before_kg).epsilon(1e-5));
}

TEST_CASE("the card is asked for by name, left out by name, and not taken where it is only software") {
  std::string why_not;
  CHECK_FALSE(render::card::engine_for(scenes::Backend::cpu, why_not));
  std::string no_display;
  const auto gl = render::gl::HeadlessGl::open(no_display);  // where there is none, all of this holds as well
  const bool software = gl && render::gl::current_quality().tier == render::gl::Tier::software;
  if (gl) gl->leave();
  CHECK(static_cast<bool>(render::card::engine_for(scenes::Backend::gpu, why_not)) == static_cast<bool>(gl));
  CHECK(why_not.empty() == static_cast<bool>(gl));
  if (software) CHECK_FALSE(render::card::engine_for(scenes::Backend::automatic, why_not));
}

TEST_CASE("a wall that a card cannot have is told in one line; the choice of the faster takes the processor then") {
  const auto gl = display();
  if (!gl) return;
  sim::BenchOptions options;
  options.engine = render::card::on_card(gl, "/no/such/folder");
  const auto wall = share(channel_wall());
  CHECK_THROWS_WITH(sim::Bench(wall, options), "/no/such/folder/heat/common.glsl: this shader cannot be read");
  options.engine = render::card::on_the_faster(gl, "/no/such/folder");
  options.threads = 1;
  CHECK(sim::Bench(wall, options).engine_name() == "1 thread");
}

TEST_CASE("a wall built on one thread is computed on another, two of them side by side", "[slow]") {
  const auto gl = display();
  if (!gl) return;
  gl->leave();
  const auto wall = share(channel_wall());
  std::vector<double> hottest_k(2);
  std::vector<std::unique_ptr<sim::Bench>> benches(2);
  std::thread builder([&] {
    for (auto& bench : benches) {
      bench = std::make_unique<sim::Bench>(bench_on(gl, wall, 24.0));
      bench->set_conditions(with_current(*wall, 30.0));
      bench->leave_thread();
    }
  });
  builder.join();
  std::vector<std::thread> workers;
  for (std::size_t n = 0; n < 2; ++n)
    workers.emplace_back([&, n] {
      benches[n]->advance_to(120.0);
      hottest_k[n] = benches[n]->reading().cables[0].hottest_k;
      benches[n].reset();
    });
  for (std::thread& worker : workers) worker.join();
  CHECK(hottest_k[0] > sim::kelvin_from_celsius(35.0));
  CHECK(hottest_k[0] == hottest_k[1]);
}
