// The same wall run in time by a general-purpose integrator (SUNDIALS CVODE, relative 1e-8, absolute 1e-6 K) from a
// right-hand side assembled apart from the solver's own code (heat_balance): 25 min at 15 A, then 25 min at 30 A.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "tests/standards/cable_wall.hpp"
#include "tests/standards/cvode_run.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const std::vector<double> minutes{0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 25.5, 26.0, 27.0, 30.0, 40.0, 50.0};
constexpr double start_c = 24.0, switch_min = 25.0;

/// Hottest conductor at every one of `minutes`, K.
std::vector<double> by_cvode(const sim::Wall& wall) {
  const HeatBalance balance(wall);
  CvodeRun run(balance, sim::kelvin_from_celsius(start_c), 1e-8, 1e-6);
  run.set_current(15.0);
  std::vector<double> hottest_k;
  for (const double minute : minutes) {
    run.run_to(60.0 * minute);
    hottest_k.push_back(run.hottest_conductor_k(0));
    if (minute == switch_min) run.set_current(30.0);
  }
  INFO(balance.unknowns() << " unknowns, " << run.steps() << " steps of CVODE");
  CHECK(run.steps() > 100);
  return hottest_k;
}

std::vector<double> by_bench(const std::shared_ptr<const sim::Wall>& wall, double step_s, double longest_step_s) {
  sim::BenchOptions options;
  options.threads = 1;
  options.step_s = step_s;
  options.longest_step_s = longest_step_s;
  options.start_k = sim::kelvin_from_celsius(start_c);
  sim::Bench bench(wall, options);
  bench.set_conditions(with_current(*wall, 15.0));
  std::vector<double> hottest_k;
  for (const double minute : minutes) {
    hottest_k.push_back(read_at(bench, 60.0 * minute).cables[0].hottest_k);
    if (minute == switch_min) bench.set_conditions(with_current(*wall, 30.0));
  }
  return hottest_k;
}

/// Compares the bench at a short step with CVODE, and shows what the step lengths that ship give.
void compare(const std::shared_ptr<const sim::Wall>& wall, const std::string& name) {
  const std::vector<double> reference_k = by_cvode(*wall);
  const sim::BenchOptions shipped;
  const std::vector<double> close_k = by_bench(wall, 0.5, 0.5);
  const std::vector<double> usual_k = by_bench(wall, shipped.step_s, shipped.longest_step_s);
  std::string table = fmt::format("{}, {} voxels; hottest conductor\n{:>6} {:>10} {:>12} {:>12}\n", name,
                                  wall->grid.count(), "min", "CVODE °C", "0.5 s: K", "shipped: K");
  for (std::size_t n = 0; n < minutes.size(); ++n)
    table += fmt::format("{:6} {:10.4f} {:+12.4f} {:+12.4f}\n", minutes[n], sim::celsius_from_kelvin(reference_k[n]),
                         close_k[n] - reference_k[n], usual_k[n] - reference_k[n]);
  WARN(table);
  CHECK(reference_k.back() > reference_k.front() + 20.0);
  for (std::size_t n = 0; n < minutes.size(); ++n) {
    INFO("after " << minutes[n] << " min");
    CHECK(close_k[n] == Approx(reference_k[n]).margin(0.05));
  }
}

}  // namespace

TEST_CASE("a wall with a cable follows a general-purpose integrator in time within 0.05 K at the conductor", "[slow]") {
  compare(share(cable_wall(false, 0.025, 0.003)), "constant properties, given films");
}

TEST_CASE("so it does with conductivities that rise and films that come from the surface's own temperature", "[slow]") {
  compare(share(cable_wall(true, 0.035, 0.004)), "k(T), natural films");
}
