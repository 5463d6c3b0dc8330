// What a split step misses of the trapezoidal rule, against the rule worked out by hand, and where nothing is split.

#include "sim/splitting_error.hpp"

#include <cmath>

#include "sim/stepper.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

struct Stepped {
  explicit Stepped(sim::Wall of)
      : wall(share(std::move(of))), crew(1), conduction(wall, crew), stepper(conduction, crew) {
    state.rise_k.assign(conduction.layout().size, 0.0F);
    for (const sim::CopperLine& line : conduction.copper().lines)
      state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 0.0);
    conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, state.rise_k);
    conduction.refresh(state.rise_k);
  }
  sim::SplittingError step(double dt_s) {
    static_cast<void>(stepper.step(state, dt_s, sim::steady_feed(conduction.copper(), 0.0)));
    return sim::splitting_error(conduction, crew, state, stepper.copper_before_k());
  }
  std::shared_ptr<const sim::Wall> wall;
  sim::Crew crew;
  sim::Conduction conduction;
  sim::Stepper stepper;
  sim::HeatState state;
};

sim::Wall heated_block(int n) {
  const auto edges = even_edges(0.01 * n, n);
  sim::Wall wall = block({edges, edges, edges}, material("stone", 1.0, 2000.0, 1000.0));
  for (const sim::Side side : {sim::Side::right, sim::Side::top, sim::Side::far})
    expose(wall, side, add_film(wall, "gas", sim::kelvin_from_celsius(80.0), 500.0));
  return wall;
}

}  // namespace

TEST_CASE("where heat flows along one axis only, a split step is the trapezoidal rule") {
  sim::Wall wall =
      block({even_edges(0.1, 20), even_edges(0.05, 1), even_edges(0.05, 1)}, material("brass", 100.0, 8500.0, 380.0));
  expose(wall, sim::Side::right, add_film(wall, "gas", sim::kelvin_from_celsius(80.0), 500.0));
  Stepped rod(std::move(wall));
  for (int n = 0; n < 10; ++n) {
    const sim::SplittingError error = rod.step(2.0);
    CHECK(error.off_k < 1e-4);
    CHECK(error.astray_w < 1e-2);  // of 75 W that flow in
  }
}

TEST_CASE("what splitting adds grows with the square of the step") {
  std::vector<double> astray_w;
  for (const double dt_s : {40.0, 80.0, 160.0}) {
    Stepped cube(heated_block(6));
    sim::SplittingError error;
    for (int n = 0; n < static_cast<int>(800.0 / dt_s); ++n) error = cube.step(dt_s);
    astray_w.push_back(error.astray_w);
  }
  CAPTURE(astray_w[0], astray_w[1], astray_w[2]);
  CHECK(std::log2(astray_w[1] / astray_w[0]) == Approx(2.0).margin(0.4));
  CHECK(std::log2(astray_w[2] / astray_w[1]) == Approx(2.0).margin(0.4));
}

TEST_CASE("heat that a step has not accounted for is told voxel by voxel") {
  // Two voxels of capacity C joined by G: 10 and 0 K after a step of 1 s that has warmed the first by 2 K. Half way
  // 9 G flow out of the first while C 2 K / 1 s came in.
  sim::Wall wall =
      block({even_edges(0.02, 2), even_edges(0.01, 1), even_edges(0.01, 1)}, material("brass", 100.0, 8500.0, 380.0));
  Stepped pair(std::move(wall));
  const sim::Layout& layout = pair.conduction.layout();
  const std::size_t first = layout.at(0, 0, 0), second = layout.at(1, 0, 0);
  pair.state.change_k.assign(layout.size, 0.0F);
  pair.state.change_s = 1.0;
  pair.state.rise_k[first] = 10.0F;
  pair.state.change_k[first] = 2.0F;
  const sim::SplittingError error = sim::splitting_error(pair.conduction, pair.crew, pair.state, {});
  const double c = pair.conduction.capacity()[first], g = pair.conduction.conductance(sim::Axis::x)[first];
  CHECK(error.astray_w == Approx(2.0 * c + 9.0 * g + 9.0 * g).epsilon(1e-4));
  CHECK(error.off_k == Approx((2.0 * c + 9.0 * g) / (c + g)).epsilon(1e-4));
  CHECK(pair.state.rise_k[second] == 0.0F);
}
