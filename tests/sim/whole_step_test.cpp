// The step that cannot fail, by itself, and what the bench makes of what is not a number.

#include "sim/whole_step.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/bench.hpp"
#include "sim/instrument.hpp"
#include "tests/support/order_fit.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

namespace {

using namespace warmbay;
using namespace warmbay::tests;

sim::HeatState state_at(const sim::Conduction& conduction, float rise_k) {
  sim::HeatState state;
  state.rise_k.assign(conduction.layout().size, rise_k);
  for (const sim::CopperLine& line : conduction.copper().lines)
    state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), rise_k);
  return state;
}

/// Metal, foam and air voxel by voxel, with a film that is hot: what the split step fares worst in.
sim::Wall patchwork() {
  const auto edges = even_edges(0.02, 10);
  sim::Wall wall = block({edges, edges, edges}, material("steel", 50.0, 7800.0, 450.0));
  wall.materials.push_back(material("light foam", 0.02, 1.0, 1400.0));
  wall.materials.push_back(material("foil", 400.0, 2700.0, 900.0));
  for (std::size_t v = 0; v < wall.voxels.size(); ++v) wall.voxels[v] = {static_cast<int>((v * 7919U) % 3U), false};
  expose(wall, sim::Side::room, add_film(wall, "hot", sim::kelvin_from_celsius(120.0), 25.0));
  return wall;
}

}  // namespace

TEST_CASE("a whole step of any length leaves every voxel between where it was and its surroundings", "[slow]") {
  // Maximum principle of backward Euler: Varga, Matrix Iterative Analysis (1962), ch. 3. A margin for the linear solve.
  const auto wall = share(patchwork());
  sim::Crew crew(2);
  sim::Conduction conduction(wall, crew);
  sim::WholeStep whole(conduction, crew);
  for (const double dt_s : {0.01, 1.0, 100.0, 10000.0}) {
    sim::HeatState state = state_at(conduction, 0.0F);
    conduction.set_surroundings({sim::kelvin_from_celsius(120.0)}, state.rise_k);
    conduction.refresh(state.rise_k);
    const sim::RiseRange between{0.0, sim::kelvin_from_celsius(120.0) - sim::datum_k};
    for (int n = 0; n < 5; ++n) {
      const auto outcome =
          whole.advance(state, dt_s, sim::steady_feed(conduction.copper(), 0.0), {between, between.highest_k});
      REQUIRE(outcome.finite);
      CHECK(outcome.range.lowest_k >= between.lowest_k - 1e-3);
      CHECK(outcome.range.highest_k <= between.highest_k + 1e-3);
    }
  }
}

TEST_CASE("a whole step loses no heat") {
  const auto wall = share(patchwork());
  sim::Crew crew(1);
  sim::Conduction conduction(wall, crew);
  sim::WholeStep whole(conduction, crew);
  sim::HeatState state = state_at(conduction, 0.0F);
  conduction.set_surroundings({sim::kelvin_from_celsius(120.0)}, state.rise_k);
  conduction.refresh(state.rise_k);
  double left_j = 0.0, stored_j = 0.0;
  for (int n = 0; n < 10; ++n)
    left_j += whole.advance(state, 60.0, sim::steady_feed(conduction.copper(), 0.0), sim::RiseBound{}).left_j;
  for (std::size_t v = 0; v < state.rise_k.size(); ++v)
    if (conduction.is_solid(v)) stored_j += static_cast<double>(conduction.capacity()[v]) * state.rise_k[v];
  REQUIRE(stored_j > 1.0);
  CHECK(-left_j == Approx(stored_j).epsilon(1e-5));
}

TEST_CASE("whole steps extrapolated from two halves are of second order in time") {
  // Richardson's extrapolation of a first-order method: Hairer & Wanner II (1996), IV.9. Sub-steps must not be cut: the
  // cube cools slowly and by little.
  const auto edges = even_edges(0.05, 10);
  sim::Wall wall = block({edges, edges, edges}, material("wood", 0.13, 500.0, 1600.0));
  add_film(wall, "gas", sim::kelvin_from_celsius(20.0), 10.0);
  for (const auto side : {sim::Side::right, sim::Side::top, sim::Side::far}) expose(wall, side, 0);
  sim::Crew crew(1);
  sim::Conduction conduction(share(std::move(wall)), crew);
  sim::WholeStep whole(conduction, crew);
  const auto after = [&](double step_s) {
    sim::HeatState state = state_at(conduction, 60.0F);
    conduction.set_surroundings({sim::kelvin_from_celsius(20.0)}, state.rise_k);
    conduction.refresh(state.rise_k);
    for (int n = 0; n < static_cast<int>(3200.0 / step_s); ++n)
      static_cast<void>(whole.advance(state, step_s, sim::steady_feed(conduction.copper(), 0.0), sim::RiseBound{}));
    return sim::point_rise_k(conduction, state.rise_k, {0.02, 0.02, 0.03});
  };
  const double exact = after(1.5625);
  std::vector<double> steps_s{50.0, 25.0, 12.5}, errors;
  for (const double step_s : steps_s) errors.push_back(after(step_s) - exact);
  CAPTURE(errors[0], errors[1], errors[2]);
  const double order = order_from_errors(steps_s, errors);
  CHECK(order > 1.6);
  CHECK(order < 2.6);
}

TEST_CASE("an extrapolated voxel that would pass its surroundings takes its two halves instead") {
  // One voxel whose film changes it ten times over in a step (h dt = 10 rho c d): halves leave 1 / 36 of what it is
  // off, the whole step 1 / 11, and 2 / 36 - 1 / 11 lies beyond. A second one, apart, is cold: 0.01 K is then no error
  // that shortens the step.
  sim::Grid grid{{0.0, 0.001, 0.011, 0.021}, {0.0, 0.01}, {0.0, 0.01}};
  sim::Wall wall = block(grid, material("thin", 50.0, 10.0, 1000.0));
  paint_box(wall, {0.001, 0, 0}, {0.011, 0.01, 0.01}, material("nothing", 1e-9, 1.0, 1.0));
  paint_box(wall, {0.011, 0, 0}, {0.021, 0.01, 0.01}, material("cold", 50.0, 7800.0, 450.0));
  expose(wall, sim::Side::left, add_film(wall, "hot", sim::kelvin_from_celsius(120.0), 25.0));
  sim::Crew crew(1);
  sim::Conduction conduction(share(std::move(wall)), crew);
  sim::WholeStep whole(conduction, crew);
  sim::HeatState state = state_at(conduction, 0.0F);
  conduction.set_surroundings({sim::kelvin_from_celsius(120.0)}, state.rise_k);
  conduction.refresh(state.rise_k);
  const double hot_k = sim::kelvin_from_celsius(120.0) - sim::datum_k, off_k = 0.5;
  const std::size_t thin = conduction.layout().at(0, 0, 0);
  state.rise_k[thin] = static_cast<float>(hot_k - off_k);
  const sim::RiseBound bound{{0.0, hot_k}, hot_k};
  REQUIRE(whole.advance(state, 4.0, sim::steady_feed(conduction.copper(), 0.0), bound).finite);
  CHECK(hot_k - state.rise_k[thin] == Approx(off_k / 36.0).margin(1e-4));
}

TEST_CASE("films and conductivities follow within a whole step") {
  // Two millimetres of light foam between board and a room 80 K colder cool in seconds: the film of their first moment
  // is more than half as large again as that of their last. Reference: the same minute in steps of 0.05 s.
  sim::Wall wall =
      block({even_edges(0.02, 2), even_edges(0.02, 2), even_edges(0.02, 10)}, material("board", 0.2, 800.0, 1000.0));
  sim::Material foam = material("light foam", 0.04, 2.0, 1400.0);
  foam.conductivity_w_mk = sim::Curve({250.0, 400.0}, {0.02, 0.08});
  paint_box(wall, {0, 0, 0}, {0.02, 0.02, 0.002}, foam);
  expose(wall, sim::Side::room, add_natural(wall, "room", sim::kelvin_from_celsius(-20.0)));
  const auto shared = share(std::move(wall));
  const auto after_a_minute = [&](int steps) {
    sim::Crew crew(1);
    sim::Conduction conduction(shared, crew);
    sim::WholeStep whole(conduction, crew);
    sim::HeatState state = state_at(conduction, 60.0F);
    conduction.set_surroundings({sim::kelvin_from_celsius(-20.0)}, state.rise_k);
    conduction.refresh(state.rise_k);
    for (int n = 0; n < steps; ++n) {
      conduction.refresh_all(state.rise_k);
      REQUIRE(whole.advance(state, 60.0 / steps, sim::steady_feed(conduction.copper(), 0.0), sim::RiseBound{}).finite);
    }
    return sim::point_rise_k(conduction, state.rise_k, {0.01, 0.01, 0.001});
  };
  CHECK(after_a_minute(1) == Approx(after_a_minute(1200)).margin(0.1));
}

TEST_CASE("the second half of a whole step goes by the conductivities half way: minutes do as well as seconds") {
  // A slab whose conductivity falls by half while it cools. With those of a sub-step's beginning in both of its halves
  // extrapolation no longer takes out the error of first order: 0.1 K. Reference: the same in steps of 3.125 s. 0.01 K:
  // extrapolation leaves a fraction of limits::whole_error_k.
  sim::Material filling = material("filling", 0.1, 500.0, 1600.0);
  filling.conductivity_w_mk = sim::Curve({273.15, 373.15}, {0.02, 0.3});
  sim::Wall wall = block({even_edges(0.03, 8), even_edges(0.03, 1), even_edges(0.03, 1)}, filling);
  expose(wall, sim::Side::right, add_film(wall, "gas", sim::kelvin_from_celsius(20.0), 10.0));
  sim::Crew crew(1);
  sim::Conduction conduction(share(std::move(wall)), crew);
  const auto after_3200_s = [&](double step_s) {
    sim::WholeStep whole(conduction, crew);
    sim::HeatState state = state_at(conduction, 90.0F);
    conduction.set_surroundings({sim::kelvin_from_celsius(20.0)}, state.rise_k);
    for (int n = 0; n < static_cast<int>(3200.0 / step_s); ++n) {
      conduction.refresh_all(state.rise_k);
      REQUIRE(whole.advance(state, step_s, sim::steady_feed(conduction.copper(), 0.0), sim::RiseBound{}).finite);
    }
    return sim::point_rise_k(conduction, state.rise_k, {0.015, 0.015, 0.015});
  };
  const double exact_k = after_3200_s(3.125);
  CHECK(exact_k < 60.0);  // else little has changed
  for (const double step_s : {100.0, 200.0, 400.0}) {
    INFO("steps of " << step_s << " s");
    CHECK(after_3200_s(step_s) == Approx(exact_k).margin(0.01));
  }
}

TEST_CASE("no voxel may be warmer than all before it and than the copper has become") {
  // Maximum principle: Protter & Weinberger (1967), ch. 3. Copper at 50 K above the datum may warm itself up to 75 K.
  const sim::RiseBound bound{{-5.0, 60.0}, 75.0};
  CHECK(bound.holds({-5.0, 60.0}, {40.0, 50.0}));
  CHECK(bound.holds({-5.0, 74.0}, {40.0, 75.0}));        // copper did become that warm
  CHECK_FALSE(bound.holds({-5.0, 74.0}, {40.0, 61.0}));  // it could have, and has not
  CHECK_FALSE(bound.holds({-5.0, 60.0}, {40.0, 76.0}));
  CHECK_FALSE(bound.holds({-6.0, 60.0}, {40.0, 50.0}));
  CHECK_FALSE(bound.holds({-5.0, std::nan("")}, {40.0, 50.0}));
  const sim::RiseRange left = bound.clipped({-5.4, 60.4}, {40.0, 50.0});
  CHECK(left.lowest_k == -5.0);
  CHECK(left.highest_k == 60.0);
}

TEST_CASE("a temperature that is not a number stops the bench at its last good state") {
  const auto wall = share(channel_wall());
  sim::BenchOptions options;
  options.threads = 1;
  options.start_k = sim::kelvin_from_celsius(24.0);
  sim::Bench bench(wall, options);
  bench.advance_to(30.0);
  sim::BenchState state = bench.save();
  const sim::Layout layout(wall->grid);
  state.heat.rise_k[layout.at(layout.nx / 2, layout.ny / 2, layout.nz / 2)] = std::numeric_limits<float>::quiet_NaN();
  bench.restore(state);
  CHECK(bench.step() == 0.0);
  CHECK(bench.broken());
  CHECK(bench.time_s() == state.time_s);
  CHECK(bench.step() == 0.0);
  bench.advance_to(3600.0);
  CHECK(bench.time_s() == state.time_s);
}

TEST_CASE("small changes again and again leave a wall where a steady current would") {
  const auto wall = share(channel_wall());
  sim::BenchOptions options;
  options.threads = 1;
  options.start_k = sim::kelvin_from_celsius(24.0);
  sim::Bench dragged(wall, options), steady(wall, options);
  sim::Conditions conditions = steady.conditions();
  conditions.current_a = 15.25;
  steady.set_conditions(conditions);
  steady.set_segment_end(600.0);
  steady.advance_to(600.0);
  for (int n = 1; n <= 60; ++n) {
    conditions.current_a = n % 2 == 0 ? 15.0 : 15.5;
    dragged.set_conditions(conditions);
    dragged.set_segment_end(10.0 * n);
    dragged.advance_to(10.0 * n);
  }
  const auto a = dragged.snapshot(), b = steady.snapshot();
  float furthest_k = 0.0F;
  for (std::size_t v = 0; v < a->temperature_k.size(); ++v)
    furthest_k = std::max(furthest_k, std::abs(a->temperature_k[v] - b->temperature_k[v]));
  CHECK(furthest_k < 0.5F);
}

TEST_CASE("a patchwork whose surroundings flip every ten seconds stays between them, its heat accounted for") {
  sim::Wall wall = patchwork();
  expose(wall, sim::Side::far, add_film(wall, "far", sim::kelvin_from_celsius(20.0), 25.0));
  const auto shared = share(std::move(wall));
  sim::BenchOptions options;
  options.threads = 1;
  options.start_k = sim::kelvin_from_celsius(20.0);
  sim::Bench bench(shared, options);
  sim::Conditions conditions = bench.conditions();
  for (int n = 1; n <= 200; ++n) {
    conditions.surroundings_k = {sim::kelvin_from_celsius(n % 2 == 0 ? 20.0 : -40.0),
                                 sim::kelvin_from_celsius(n % 3 == 0 ? 60.0 : 20.0)};
    bench.set_conditions(conditions);
    bench.set_segment_end(10.0 * n);
    bench.advance_to(10.0 * n);
    const auto snapshot = bench.snapshot();
    for (const float temperature_k : snapshot->temperature_k) {
      REQUIRE(temperature_k > sim::kelvin_from_celsius(-40.0) - 0.5);
      REQUIRE(temperature_k < sim::kelvin_from_celsius(60.0) + 0.5);
    }
  }
  CHECK(bench.mended_steps() > 0);
  const sim::Bench::Energy energy = bench.energy();
  CHECK(std::abs(energy.stored_j + energy.left_j) < 1e-3 * std::abs(energy.stored_j));
}
