// The time step: stable whatever the materials, second order in time where the solution is smooth.

#include <algorithm>
#include <cmath>
#include <random>

#include "sim/bench.hpp"
#include "sim/instrument.hpp"
#include "sim/stepper.hpp"
#include "tests/support/order_fit.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// Foam, aluminium, air and gypsum board side by side in blocks: diffusivities that differ by a thousand.
sim::Wall patchwork() {
  const auto edges = even_edges(0.12, 24);
  sim::Wall wall = block({edges, edges, edges}, material("foam", 0.035, 20.0, 1450.0));
  paint_box(wall, {0.03, 0, 0}, {0.05, 0.12, 0.06}, material("aluminium", 160.0, 2800.0, 880.0));
  paint_box(wall, {0.05, 0.04, 0.02}, {0.12, 0.08, 0.10}, material("air", 0.025, 1.2, 1008.0));
  paint_box(wall, {0, 0, 0.10}, {0.12, 0.12, 0.12}, material("gypsum board", 0.25, 900.0, 1000.0));
  expose(wall, sim::Side::room, add_film(wall, "hot", sim::kelvin_from_celsius(120.0), 25.0));
  expose(wall, sim::Side::left, 0);
  expose(wall, sim::Side::far, add_held(wall, "cold", sim::kelvin_from_celsius(0.0)));
  return wall;
}

}  // namespace

TEST_CASE("no step is too long for stability: temperatures stay between the coldest and the hottest surroundings",
          "[slow]") {
  const auto wall = share(patchwork());
  for (const double step_s : {10.0, 60.0, 300.0}) {
    INFO("steps of " << step_s << " s");
    sim::Bench bench = bench_at(wall, 20.0, step_s);
    bench.advance_to(40 * 3600.0);
    const auto snapshot = bench.snapshot();
    const auto [low, high] = std::minmax_element(snapshot->temperature_k.begin(), snapshot->temperature_k.end());
    CHECK(*low >= sim::kelvin_from_celsius(-0.01));
    CHECK(*high <= sim::kelvin_from_celsius(120.01));
    const auto settled = sim::settle(wall, sim::initial_conditions(*wall));
    REQUIRE(settled.outcome == sim::SettledOutcome::settled);
    double furthest_k = 0.0;
    for (std::size_t n = 0; n < snapshot->temperature_k.size(); ++n) {
      furthest_k = std::max(furthest_k, std::abs(double{snapshot->temperature_k[n]} - settled.state->temperature_k[n]));
    }
    CHECK(furthest_k < 0.05);
  }
}

TEST_CASE("the regular step is stable in a shuffle of aluminium, air and foam in millimetre voxels") {
  // The hardest case for a step that is split by direction: neighbours unlike in all three directions.
  std::mt19937 random(3);  // NOLINT: the same wall every time
  const auto edges = even_edges(0.024, 16);
  sim::Wall wall = block({edges, edges, edges}, material("foam", 0.035, 20.0, 1450.0));
  wall.materials.push_back(material("aluminium", 160.0, 2800.0, 880.0));
  wall.materials.push_back(material("air", 0.03, 1.2, 1008.0));
  for (sim::Voxel& voxel : wall.voxels) voxel = {static_cast<int>(random() % 3), false};
  expose(wall, sim::Side::room, add_film(wall, "hot", sim::kelvin_from_celsius(120.0), 25.0));
  const auto shared = share(std::move(wall));
  sim::Bench bench = bench_at(shared, 20.0, sim::BenchOptions{}.step_s);
  bench.advance_to(600.0);
  const auto snapshot = bench.snapshot();
  for (const float temperature_k : snapshot->temperature_k) {
    REQUIRE(temperature_k >= sim::kelvin_from_celsius(19.9));
    REQUIRE(temperature_k <= sim::kelvin_from_celsius(120.1));
  }
}

TEST_CASE("temperatures converge to second order in the step") {
  // A cube of wood with a film on three sides, read while its temperatures change smoothly. Reference: the same wall
  // with a step sixteen times shorter than the shortest one below.
  const auto edges = even_edges(0.05, 10);
  sim::Wall wall = block({edges, edges, edges}, material("wood", 0.13, 500.0, 1600.0));
  add_film(wall, "gas", sim::kelvin_from_celsius(20.0), 10.0);
  for (const auto side : {sim::Side::right, sim::Side::top, sim::Side::far}) expose(wall, side, 0);
  const auto shared = share(std::move(wall));
  sim::Crew crew(1);
  sim::Conduction conduction(shared, crew);
  const auto after = [&](double step_s) {
    sim::HeatState state;
    state.rise_k.assign(conduction.layout().size, 80.0F);
    conduction.set_surroundings(sim::initial_conditions(*shared).surroundings_k, state.rise_k);
    conduction.refresh(state.rise_k);
    sim::Stepper stepper(conduction, crew);
    for (int n = 0; n < static_cast<int>(6400.0 / step_s); ++n)
      static_cast<void>(stepper.step(state, step_s, sim::steady_feed(conduction.copper(), 0.0)));
    return sim::point_rise_k(conduction, state.rise_k, {0.02, 0.02, 0.03});
  };
  const double exact = after(6.25);
  std::vector<double> steps_s{400.0, 200.0, 100.0}, errors;
  for (const double step_s : steps_s) errors.push_back(after(step_s) - exact);
  CAPTURE(errors[0], errors[1], errors[2]);
  const double order = order_from_errors(steps_s, errors);
  CHECK(order > 1.7);
  CHECK(order < 2.3);
}

TEST_CASE("the conductor is within 0.25 K of a ten times finer step, right after a jump of the current too") {
  const auto wall = share(channel_wall());
  sim::Bench usual = bench_at(wall, 24.0, 2.0), fine = bench_at(wall, 24.0, 0.2);
  usual.set_conditions(with_current(*wall, 30.0));
  fine.set_conditions(with_current(*wall, 30.0));
  double furthest_k = 0.0;
  for (double t_s = 10.0; t_s <= 600.0; t_s += 10.0) {
    usual.set_segment_end(t_s);
    fine.set_segment_end(t_s);
    usual.advance_to(t_s);
    fine.advance_to(t_s);
    furthest_k =
        std::max(furthest_k, std::abs(usual.reading().cables[0].hottest_k - fine.reading().cables[0].hottest_k));
  }
  CHECK(furthest_k < 0.25);
}

TEST_CASE("a finely cut channel bears steps of 20 s, its conductor stays within 0.25 K, and ballast keeps no heat") {
  // Without ballast this wall bears steps of 5 s at most.
  const auto wall = share(channel_wall(0.012, 0.0007));
  sim::Bench coarse = bench_at(wall, 24.0, 20.0), fine = bench_at(wall, 24.0, 1.0);
  double furthest_k = 0.0;
  for (sim::Bench* bench : {&coarse, &fine}) bench->set_conditions(with_current(*wall, 20.0));
  for (double t_s = 300.0; t_s <= 1800.0; t_s += 300.0) {
    for (sim::Bench* bench : {&coarse, &fine}) static_cast<void>(read_at(*bench, t_s));
    furthest_k =
        std::max(furthest_k, std::abs(coarse.reading().cables[0].hottest_k - fine.reading().cables[0].hottest_k));
  }
  CHECK(coarse.mended_steps() < 40);  // of about a hundred: most on the way up the ladder
  CHECK(furthest_k < 0.25);
  const sim::Bench::Energy energy = coarse.energy();
  CHECK(energy.stored_j + energy.left_j == Approx(energy.generated_j).epsilon(1e-3));
}

TEST_CASE("a run with ballast goes on bit by bit where it was saved") {
  const auto wall = share(channel_wall(0.012, 0.0007));
  sim::Bench straight = bench_at(wall, 24.0, 20.0), parted = bench_at(wall, 24.0, 20.0);
  for (sim::Bench* bench : {&straight, &parted}) bench->set_conditions(with_current(*wall, 20.0));
  straight.advance_to(900.0);
  parted.advance_to(500.0);
  const sim::BenchState middle = parted.save();
  parted.advance_to(700.0);
  parted.restore(middle);
  parted.advance_to(900.0);
  CHECK(straight.snapshot()->temperature_k == parted.snapshot()->temperature_k);
}

TEST_CASE("a step that is taken back leaves the state as it was, bit by bit, and can be taken again") {
  const auto wall = share(channel_wall());
  sim::Crew crew(2);
  sim::Conduction conduction(wall, crew);
  sim::Stepper stepper(conduction, crew);
  sim::HeatState state = even_heat(conduction, 24.0);
  conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, state.rise_k);
  conduction.refresh(state.rise_k);
  const sim::Feed feed = sim::steady_feed(conduction.copper(), 30.0);
  for (int n = 0; n < 3; ++n) static_cast<void>(stepper.step(state, 5.0, feed));
  const sim::HeatState before = state;
  static_cast<void>(stepper.step(state, 10.0, feed));
  REQUIRE(state.rise_k != before.rise_k);
  stepper.undo(state);
  CHECK(state.rise_k == before.rise_k);
  CHECK(state.copper_rise_k == before.copper_rise_k);
  CHECK(state.change_k == before.change_k);
  CHECK(state.change_s == before.change_s);
  sim::HeatState other = before;
  sim::Stepper fresh(conduction, crew);
  static_cast<void>(stepper.step(state, 4.0, feed));
  static_cast<void>(fresh.step(other, 4.0, feed));
  CHECK(state.rise_k == other.rise_k);
  CHECK(state.change_k == other.change_k);
}

TEST_CASE("conductances are the same whether all rows are looked at or only those that can have drifted far enough") {
  const auto wall = share(channel_wall());
  sim::Crew crew(2);
  sim::Conduction looked(wall, crew), skipped(wall, crew);
  sim::Stepper looking(looked, crew), skipping(skipped, crew);
  const auto start = [&](sim::Conduction& conduction) {
    sim::HeatState state = even_heat(conduction, 4.0);
    conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, state.rise_k);
    return state;
  };
  sim::HeatState a = start(looked), b = start(skipped);
  const sim::Feed feed = sim::steady_feed(looked.copper(), 30.0);
  for (int n = 0; n < 80; ++n) {
    looked.refresh(a.rise_k);
    skipped.refresh(b.rise_k, &skipping.row_drift_k());
    static_cast<void>(looking.step(a, 10.0, feed));
    static_cast<void>(skipping.step(b, 10.0, feed));
  }
  REQUIRE(*std::max_element(a.rise_k.begin(), a.rise_k.end()) > 10.0F);
  CHECK(a.rise_k == b.rise_k);
  for (const sim::Axis axis : {sim::Axis::x, sim::Axis::y, sim::Axis::z})
    CHECK(looked.conductance(axis) == skipped.conductance(axis));
}

TEST_CASE("a wall one or two voxels deep warms up like a deep one whose depth changes nothing") {
  const auto centre_c = [](int deep) {
    const auto edges = even_edges(0.05, 10);
    sim::Wall wall = block({edges, edges, even_edges(0.02, deep)}, material("wood", 0.13, 500.0, 1600.0));
    expose(wall, sim::Side::left, add_film(wall, "gas", sim::kelvin_from_celsius(20.0), 10.0));
    expose(wall, sim::Side::top, 0);
    const int inside = add_spot(wall, {0.02, 0.02, 0.01});
    sim::Bench bench = bench_at(share(std::move(wall)), 100.0, 5.0);
    return celsius(read_at(bench, 3600.0), inside);
  };
  const double deep_c = centre_c(6);
  REQUIRE(deep_c < 90.0);
  for (const int deep : {1, 2, 3}) CHECK(centre_c(deep) == Approx(deep_c).margin(2e-3));
}
