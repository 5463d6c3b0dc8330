// What heat does to the wall and its cables: kinetics against closed forms, the books of heat and matter over a whole
// destructive run, melt-back, and determinism with all of it.

#include <algorithm>
#include <cmath>

#include "sim/bench.hpp"
#include "sim/damage/kinetics.hpp"
#include "sim/settled.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double gas_constant_j_molk = 8.314462618;

sim::Damage one_process(const sim::Process& process) {
  sim::Damage damage;
  damage.processes = {process};
  return damage;
}

/// A destructive run: rated current, then far beyond.
sim::Bench destroyed(const std::shared_ptr<const sim::Wall>& wall, int threads, double until_s) {
  sim::Bench bench = bench_at(wall, 24.0, 4.0, threads);
  bench.set_conditions(with_current(*wall, 30.0));
  bench.advance_to(600.0);
  bench.set_conditions(with_current(*wall, 45.0));
  bench.advance_to(until_s);
  return bench;
}

bool happened(const sim::Bench& bench, sim::Happening what) {
  return std::any_of(bench.occurrences().begin(), bench.occurrences().end(),
                     [what](const sim::Occurrence& one) { return one.what == what; });
}

/// Void above and below the cable of frail_wall, voxels weighted by volume, m3.
std::array<double, 2> void_above_below_m3(const sim::Bench& bench) {
  const auto snapshot = bench.snapshot();
  const sim::Grid& grid = bench.wall().grid;
  const double axis_m = bench.wall().cables[0].route_m[0][1];
  std::array<double, 2> sum{};
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = 0; j < grid.ny(); ++j)
      for (int i = 0; i < grid.nx(); ++i) {
        if (snapshot->states.empty() || snapshot->states[grid.at(i, j, k)] != sim::VoxelState::gone) continue;
        const double volume_m3 =
            (grid.x_m[i + 1] - grid.x_m[i]) * (grid.y_m[j + 1] - grid.y_m[j]) * (grid.z_m[k + 1] - grid.z_m[k]);
        sum[0.5 * (grid.y_m[j] + grid.y_m[j + 1]) > axis_m ? 0 : 1] += volume_m3;
      }
  return sum;
}

}  // namespace

TEST_CASE("an isothermal voxel loses mass as first-order kinetics say, whatever the step") {
  // Published constants of rigid PVC's second step: A 3.5e12 1/s, E 207 kJ/mol; at 400 C 3.032e-4 1/s.
  sim::Process process{"char", sim::Process::Kind::arrhenius, 3.5e12, 2.07e5, 500.0, 0.0, 0.53, 1.2e6, 0.17, true};
  const sim::Damage damage = one_process(process);
  const sim::Kinetics kinetics(damage);
  const double at_k = sim::kelvin_from_celsius(400.0);
  const double rate_1_s = 3.5e12 * std::exp(-2.07e5 / (gas_constant_j_molk * at_k));
  CHECK(rate_1_s == Approx(3.032e-4).epsilon(2e-3));
  for (const double dt_s : {0.1, 5.0, 60.0}) {
    std::array<float, sim::damage_processes> extent{};
    double lost_kg = 0.0, smoke_kg = 0.0, heat_j = 0.0, time_s = 0.0;
    while (time_s < 2400.0 - 1e-9) {
      double t_k = at_k;  // held
      const auto change = kinetics.advance(extent, 2e-3, 1e30, t_k, dt_s);
      lost_kg += change.lost_kg;
      smoke_kg += change.smoke_kg;
      heat_j += change.heat_j;
      time_s += dt_s;
    }
    const double done = 1.0 - std::exp(-rate_1_s * 2400.0);
    INFO("steps of " << dt_s << " s");
    CHECK(lost_kg == Approx(2e-3 * 0.53 * done).epsilon(5e-3));
    CHECK(smoke_kg == Approx(0.17 * lost_kg).epsilon(1e-6));
    CHECK(heat_j == Approx(2e-3 * 1.2e6 * done).epsilon(5e-3));
    CHECK(kinetics.lost(extent) == Approx(lost_kg / 2e-3).epsilon(1e-6));
  }
}

TEST_CASE("nothing reacts below where its kinetics hold") {
  sim::Process process{"x", sim::Process::Kind::arrhenius, 1e12, 1e5, 400.0, 0.0, 1.0, 0.0, 0.0, false};
  const sim::Damage damage = one_process(process);
  const sim::Kinetics kinetics(damage);
  std::array<float, sim::damage_processes> extent{};
  double t_k = 399.9;
  (void)kinetics.advance(extent, 1.0, 1e30, t_k, 1e6);
  CHECK(extent[0] == 0.0F);
  t_k = 400.1;
  (void)kinetics.advance(extent, 1.0, 1e30, t_k, 10.0);
  CHECK(extent[0] > 0.0F);
}

TEST_CASE("water that leaves over a band takes exactly its heat, once") {
  // 1 kg with 1000 J/K, heated by 300 kJ from 20 C: 100 kJ warm it to 120 C, where a band of 100 to 140 C takes 200 kJ
  // in all. C (T0 + Q/C - T) = L (T - from) / width gives T = 113.33 C.
  sim::Process process{"water",
                       sim::Process::Kind::band,
                       0.0,
                       0.0,
                       sim::kelvin_from_celsius(100.0),
                       sim::kelvin_from_celsius(140.0),
                       0.1,
                       2e5,
                       0.0,
                       false};
  const sim::Damage damage = one_process(process);
  const sim::Kinetics kinetics(damage);
  std::array<float, sim::damage_processes> extent{};
  double t_k = sim::kelvin_from_celsius(180.0);
  const auto change = kinetics.advance(extent, 1.0, 1000.0, t_k, 5.0);
  CHECK(sim::celsius_from_kelvin(t_k) == Approx(113.3333).margin(1e-3));
  CHECK(change.heat_j == Approx(1000.0 * (180.0 - 113.3333)).epsilon(1e-4));
  const auto again = kinetics.advance(extent, 1.0, 1000.0, t_k, 5.0);
  CHECK(again.heat_j == Approx(0.0).margin(1e-2));  // at rest: nothing more leaves
  // 50 kJ more: a third of the water has left, C (163.33 - T) = L ((T - from) / width - 1/3) gives T = 121.67 C.
  t_k = sim::kelvin_from_celsius(113.3333 + 50.0);
  const auto more = kinetics.advance(extent, 1.0, 1000.0, t_k, 5.0);
  CHECK(sim::celsius_from_kelvin(t_k) == Approx(121.6667).margin(1e-3));
  CHECK(more.heat_j == Approx(1000.0 * (163.3333 - 121.6667)).epsilon(1e-4));
  t_k = sim::kelvin_from_celsius(400.0);
  const auto rest = kinetics.advance(extent, 1.0, 1000.0, t_k, 5.0);
  CHECK(change.heat_j + again.heat_j + more.heat_j + rest.heat_j == Approx(2e5).epsilon(1e-6));
  CHECK(extent[0] == 1.0F);
  t_k = sim::kelvin_from_celsius(20.0);  // cold again: the water does not come back
  CHECK(kinetics.advance(extent, 1.0, 1000.0, t_k, 5.0).heat_j == 0.0);
  CHECK(extent[0] == 1.0F);
}

TEST_CASE("the books of heat and of matter close over a whole destructive run") {
  const auto wall = share(frail_wall());
  sim::Bench bench = bench_at(wall, 24.0, 4.0);
  const double first_kg = bench.matter().left_kg;
  bench.set_conditions(with_current(*wall, 30.0));
  bench.advance_to(900.0);
  bench.set_conditions(with_current(*wall, 45.0));
  bench.advance_to(2400.0);
  const auto energy = bench.energy();
  const auto matter = bench.matter();
  REQUIRE(bench.reading().void_m3 > 0.0);
  REQUIRE(energy.taken_up_j > 0.005 * energy.generated_j);
  // A wall of 0.4 m by 0.2 m; 0.5 % is asked for.
  const double accounted_j = energy.stored_j + energy.left_j + energy.taken_up_j + energy.with_gas_j;
  CHECK(accounted_j == Approx(energy.generated_j).epsilon(1e-3));
  CHECK(matter.gas_kg > 0.0);
  CHECK(matter.left_kg + matter.gas_kg == Approx(first_kg).epsilon(1e-5));
  CHECK(first_kg - matter.left_kg == Approx(matter.gas_kg).epsilon(5e-3));
}

TEST_CASE("foam draws back from a hot cable, more above it than below, and the faces do not tell") {
  const auto wall = share(frail_wall());
  sim::Bench bench = bench_at(wall, 24.0, 4.0);
  bench.set_conditions(with_current(*wall, 32.0));
  bench.advance_to(2400.0);
  CHECK(happened(bench, sim::Happening::softening));
  CHECK(happened(bench, sim::Happening::melt_back));
  const auto [above_m3, below_m3] = void_above_below_m3(bench);
  CHECK(bench.reading().void_m3 == Approx(above_m3 + below_m3).epsilon(1e-3));
  CHECK(below_m3 > 0.0);
  CHECK(above_m3 > 1.03 * below_m3);
  CHECK(celsius(bench.reading(), 2) < 45.0);  // the board's face
  CHECK(bench.reading().cables[0].hottest_k > sim::kelvin_from_celsius(120.0));
}

TEST_CASE("the melt lies as a denser skin on the foam that still stands") {
  const auto wall = share(frail_wall());
  const sim::Bench bench = destroyed(wall, 1, 1500.0);
  const auto snapshot = bench.snapshot();
  const sim::Grid& grid = wall->grid;
  int skin = 0, beside_void = 0;
  for (int k = 1; k + 1 < grid.nz(); ++k)
    for (int j = 1; j + 1 < grid.ny(); ++j)
      for (int i = 1; i + 1 < grid.nx(); ++i) {
        if (snapshot->states[grid.at(i, j, k)] != sim::VoxelState::melt) continue;
        ++skin;
        const std::array<std::size_t, 6> beside{grid.at(i - 1, j, k), grid.at(i + 1, j, k), grid.at(i, j - 1, k),
                                                grid.at(i, j + 1, k), grid.at(i, j, k - 1), grid.at(i, j, k + 1)};
        beside_void += std::any_of(beside.begin(), beside.end(),
                                   [&](std::size_t v) { return snapshot->states[v] == sim::VoxelState::gone; });
      }
  CHECK(skin > 20);
  CHECK(beside_void > skin / 2);
}

TEST_CASE("a destructive run is the same to the bit for 1, 2, 3 and 4 threads and however it is cut up", "[slow]") {
  const auto wall = share(frail_wall());
  const sim::Bench one = destroyed(wall, 1, 1200.0);
  REQUIRE(one.reading().void_m3 > 0.0);
  for (const int threads : {2, 3, 4}) {
    const sim::Bench other = destroyed(wall, threads, 1200.0);
    INFO(threads << " threads");
    CHECK(other.snapshot()->temperature_k == one.snapshot()->temperature_k);
    CHECK(other.snapshot()->states == one.snapshot()->states);
    CHECK(other.reading().smoke_kg == one.reading().smoke_kg);
  }
  sim::Bench cut = bench_at(wall, 24.0, 4.0);
  cut.set_conditions(with_current(*wall, 30.0));
  for (int n = 1; n <= 60; ++n) cut.advance_to(10.0 * n);
  cut.set_conditions(with_current(*wall, 45.0));
  for (int n = 1; n <= 600; ++n) cut.advance_to(600.0 + n);
  CHECK(cut.snapshot()->temperature_k == one.snapshot()->temperature_k);
}

TEST_CASE("a damaged wall can be put back and goes on to the bit") {
  const auto wall = share(frail_wall());
  sim::Bench bench = bench_at(wall, 24.0, 4.0);
  const sim::BenchState opening = bench.save();
  bench.set_conditions(with_current(*wall, 45.0));
  bench.advance_to(800.0);
  const sim::BenchState middle = bench.save();
  REQUIRE(bench.reading().void_m3 > 0.0);
  bench.advance_to(1200.0);
  const auto after = bench.snapshot();
  bench.restore(middle);
  bench.advance_to(1200.0);
  CHECK(bench.snapshot()->temperature_k == after->temperature_k);
  CHECK(bench.snapshot()->states == after->states);
  CHECK(bench.reading().thermocouple_k == after->reading.thermocouple_k);
  bench.restore(opening);
  CHECK(bench.reading().void_m3 == 0.0);
  CHECK(bench.occurrences().empty());
  bench.set_conditions(with_current(*wall, 45.0));
  bench.advance_to(1200.0);
  CHECK(bench.snapshot()->temperature_k == after->temperature_k);
}

TEST_CASE("what is drawn back or dried stays so when the wall is cold again") {
  const auto wall = share(frail_wall());
  sim::Bench bench = destroyed(wall, 2, 1500.0);
  bench.set_conditions(with_current(*wall, 0.0));
  bench.advance_to(1800.0);  // no longer hot enough for anything
  const auto hot = bench.snapshot();
  bench.advance_to(9000.0);
  CHECK(bench.reading().cables[0].hottest_k < sim::kelvin_from_celsius(40.0));
  CHECK(bench.reading().void_m3 == hot->reading.void_m3);
  CHECK(bench.snapshot()->states == hot->states);
  CHECK(bench.reading().smoke_kg_s == 0.0);
}

TEST_CASE("the settled field of a damaged wall is where its bench is heading", "[slow]") {
  const auto wall = share(frail_wall());
  sim::Bench bench = destroyed(wall, 2, 1500.0);
  const sim::Conditions rated = with_current(*wall, 15.0);
  bench.set_conditions(rated);
  bench.advance_to(60000.0);
  const auto end = bench.snapshot();
  const sim::Settled damaged = sim::settle(wall, rated, 2, end.get());
  const sim::Settled sound = sim::settle(wall, rated, 2);
  REQUIRE(damaged.outcome == sim::SettledOutcome::settled);
  CHECK(damaged.state->reading.cables[0].hottest_k == Approx(end->reading.cables[0].hottest_k).margin(0.05));
  CHECK(damaged.state->reading.cables[0].hottest_k + 1.0 < sound.state->reading.cables[0].hottest_k);
}

TEST_CASE("the model ends where a surface is as hot as its material ignites") {
  sim::Wall wall = frail_wall();
  for (sim::Material& of : wall.materials)
    if (of.name == "foam") {
      sim::Damage damage = *of.damage;
      damage.ignites_k = sim::kelvin_from_celsius(110.0);
      of.damage = std::make_shared<const sim::Damage>(damage);
    }
  const auto shared = share(std::move(wall));
  sim::Bench bench = bench_at(shared, 24.0, 4.0);
  bench.set_conditions(with_current(*shared, 45.0));
  bench.advance_to(3000.0);
  REQUIRE(bench.ended());
  const sim::Occurrence& last = bench.occurrences().back();
  CHECK(last.what == sim::Happening::ignition_risk);
  CHECK(last.material == "foam");
  CHECK(last.value >= sim::kelvin_from_celsius(110.0));
  CHECK(bench.time_s() == last.time_s);
  CHECK(bench.step() == 0.0);
}
