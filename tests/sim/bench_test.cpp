// The bench: same wall, same changes, same temperatures, bit for bit; and it keeps its books of heat.

#include "sim/bench.hpp"

#include <algorithm>
#include <cmath>

#include "sim/film.hpp"
#include "sim/settled.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

std::vector<float> field(const sim::Bench& bench) {
  return bench.snapshot()->temperature_k;
}
std::vector<float> copper(const sim::Bench& bench) {
  return bench.snapshot()->lines.at(0).conductor_k;
}

/// 15 A, then 30 A and a warmer room, as a demonstration would.
void play(sim::Bench& bench, const std::vector<double>& stops_s) {
  sim::Conditions conditions = with_current(bench.wall(), 15.0);
  bench.set_conditions(conditions);
  bench.set_segment_end(61.3);
  for (const double stop_s : stops_s) {
    if (stop_s < 61.3) bench.advance_to(stop_s);
  }
  bench.advance_to(61.3);
  conditions.current_a = 30.0;
  conditions.surroundings_k[0] += 10.0;
  bench.set_conditions(conditions);
  bench.set_segment_end(180.0);
  for (const double stop_s : stops_s) {
    if (stop_s > 61.3) bench.advance_to(stop_s);
  }
  bench.advance_to(180.0);
}

}  // namespace

TEST_CASE("a wall at the temperature of its surroundings stays there to the bit while no current flows") {
  sim::Wall wall = channel_wall();
  wall.surroundings[0].temperature_k = wall.surroundings[1].temperature_k = sim::kelvin_from_celsius(24.0);
  sim::Bench bench = bench_at(share(std::move(wall)), 24.0, 2.0);
  const auto before = field(bench);
  bench.advance_to(300.0);
  CHECK(field(bench) == before);
  CHECK(bench.fastest_change_k_s() == 0.0);
}

TEST_CASE("a bench starts from the settled field with no current unless told otherwise") {
  const auto wall = share(channel_wall());
  sim::Bench bench(wall, sim::BenchOptions{1, 2.0, {}});
  const sim::Reading settled = settled_reading(wall);
  const sim::Reading first = bench.reading();
  for (std::size_t n = 0; n < settled.thermocouple_k.size(); ++n) {
    CHECK(first.thermocouple_k[n] == Approx(settled.thermocouple_k[n]).margin(1e-3));
  }
  bench.advance_to(600.0);  // and it is a state of rest
  CHECK(bench.reading().thermocouple_k[0] == Approx(settled.thermocouple_k[0]).margin(0.01));
}

TEST_CASE("the film of a surface that cools by kelvins a second is that of its temperature, not that of seconds ago") {
  // A sheet that has one temperature: C dT/dt = -h(T) (T - Ta) per area, h as tests/sim/film_test.cpp holds it against
  // Churchill & Chu and Stefan-Boltzmann. It may be h of 4 K before (limits::refresh_change_k and step_change_k), which
  // is 2 % more: 0.7 K where a share of exp(-0.7) of 100 K is left.
  sim::Wall wall = block({{0.0, 0.1}, {0.0, 0.1}, {0.0, 0.002}}, material("sheet", 50.0, 100.0, 1000.0));
  const double air_k = sim::kelvin_from_celsius(20.0), emissivity = wall.materials[0].emissivity;
  expose(wall, sim::Side::room, add_natural(wall, "room", air_k));
  add_spot(wall, {0.05, 0.05, 0.001});
  sim::Bench bench = bench_at(share(std::move(wall)), 120.0, 1.0);
  const double found_k = read_at(bench, 10.0).thermocouple_k[0];
  constexpr double capacity_j_m2k = 100.0 * 1000.0 * 0.002, dt_s = 0.001;
  double sheet_k = sim::kelvin_from_celsius(120.0);
  for (int n = 0; n < 10'000; ++n)
    sheet_k -= dt_s / capacity_j_m2k * (sheet_k - air_k) *
               (sim::buoyant_film_w_m2k(sheet_k, air_k, 0.1, sim::Facing::sideways) +
                sim::radiant_film_w_m2k(sheet_k, air_k, emissivity));
  CHECK(found_k == Approx(sheet_k).margin(0.7));
}

TEST_CASE("one, two, three and four threads give the same temperatures, bit for bit", "[threads]") {
  const auto wall = share(channel_wall());
  sim::Bench one = bench_at(wall, 24.0, 2.0, 1);
  play(one, {});
  for (const int threads : {2, 3, 4}) {
    INFO(threads << " threads");
    sim::Bench other = bench_at(wall, 24.0, 2.0, threads);
    play(other, {});
    CHECK(field(other) == field(one));
    CHECK(copper(other) == copper(one));
    CHECK(other.reading().power_w == one.reading().power_w);
    CHECK(other.energy().left_j == one.energy().left_j);
  }
}

TEST_CASE("however the calls to advance are cut up, the temperatures are the same, bit for bit") {
  const auto wall = share(channel_wall());
  sim::Bench whole = bench_at(wall, 24.0, 2.0);
  play(whole, {});
  std::vector<double> stops_s;
  for (double t_s = 0.0; t_s < 180.0; t_s += 0.37) stops_s.push_back(t_s);
  sim::Bench cut = bench_at(wall, 24.0, 2.0);
  play(cut, stops_s);
  CHECK(cut.time_s() == whole.time_s());
  CHECK(field(cut) == field(whole));
  CHECK(copper(cut) == copper(whole));
}

TEST_CASE("a saved bench goes on bit-identically in another bench") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 2.0);
  bench.set_conditions(with_current(*wall, 25.0));
  bench.advance_to(47.0);
  const sim::BenchState state = bench.save();
  bench.advance_to(200.0);

  sim::Bench other = bench_at(wall, 90.0, 2.0);  // whatever it was before
  other.advance_to(10.0);
  other.restore(state);
  CHECK(other.time_s() == state.time_s);
  CHECK(other.conditions() == state.conditions);
  other.advance_to(200.0);
  CHECK(other.time_s() == bench.time_s());
  CHECK(field(other) == field(bench));
  CHECK(copper(other) == copper(bench));

  bench.restore(state);  // and back in time in the same bench
  bench.advance_to(200.0);
  CHECK(field(bench) == field(other));
}

TEST_CASE("advance_to never passes its time, and stops less than a step short of it") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 2.0);
  for (const double t_s : {0.01, 0.5, 3.3, 3.4, 20.0, 20.5, 77.7}) {
    bench.advance_to(t_s);
    CHECK(bench.time_s() <= t_s);
    CHECK(bench.time_s() > t_s - 2.0);
  }
  const double before_s = bench.time_s();
  const double step_s = bench.step();
  CHECK(step_s > 0.0);
  CHECK(bench.time_s() == Approx(before_s + step_s));
}

TEST_CASE("steps end exactly at the segment's end and wait there") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 2.0);
  bench.set_segment_end(31.7);
  bench.advance_to(1000.0);
  CHECK(bench.time_s() == 31.7);
  CHECK(bench.step() == 0.0);
  bench.set_segment_end(40.0);
  bench.advance_to(1000.0);
  CHECK(bench.time_s() == 40.0);
}

TEST_CASE("heat in is stored plus left within 0.1 % over a transient") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 2.0);
  play(bench, {});
  bench.set_segment_end(1800.0);
  bench.advance_to(1800.0);
  const auto energy = bench.energy();
  CHECK(energy.generated_j > 1000.0);
  CHECK(energy.stored_j + energy.left_j == Approx(energy.generated_j).epsilon(1e-3));
  // Both sides of the book are in play.
  CHECK(energy.stored_j > 0.1 * energy.generated_j);
}

TEST_CASE("the heat generated is the integral of the power that is read") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 1.0);
  bench.set_conditions(with_current(*wall, 20.0));
  double sum_j = 0.0, power_w = bench.reading().power_w;
  while (bench.time_s() < 300.0) {
    const double step_s = bench.step();
    const double after_w = bench.reading().power_w;
    sum_j += 0.5 * (power_w + after_w) * step_s;
    power_w = after_w;
  }
  CHECK(bench.energy().generated_j == Approx(sum_j).epsilon(1e-3));
}

TEST_CASE("a transient runs to the settled field", "[slow]") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 10.0, 2);
  bench.set_conditions(with_current(*wall, 15.0));
  bench.advance_to(8 * 3600.0);
  const sim::Reading last = bench.reading(), settled = settled_reading(wall, 15.0);
  for (std::size_t n = 0; n < settled.thermocouple_k.size(); ++n) {
    CHECK(last.thermocouple_k[n] == Approx(settled.thermocouple_k[n]).margin(0.05));
  }
  CHECK(last.cables[0].drop_v == Approx(settled.cables[0].drop_v).epsilon(2e-4));
  for (std::size_t n = 0; n < 2; ++n) {
    CHECK(last.surroundings[n].heat_w == Approx(settled.surroundings[n].heat_w).epsilon(5e-3).margin(0.005));
  }
}

TEST_CASE("a snapshot says what the reading says") {
  const auto wall = share(channel_wall());
  sim::Bench bench = bench_at(wall, 24.0, 2.0);
  bench.set_conditions(with_current(*wall, 20.0));
  bench.advance_to(120.0);
  const auto snapshot = bench.snapshot();
  const sim::Reading reading = bench.reading();
  CHECK(snapshot->wall == wall);
  CHECK(snapshot->conditions.current_a == 20.0);
  CHECK(snapshot->temperature_k.size() == wall->grid.count());
  CHECK(snapshot->reading.thermocouple_k == reading.thermocouple_k);
  const auto& conductor_k = snapshot->lines.at(0).conductor_k;
  CHECK(*std::max_element(conductor_k.begin(), conductor_k.end()) == Approx(reading.cables[0].hottest_k).margin(1e-3));
  CHECK(snapshot->lines[0].along_m.size() == conductor_k.size());
  CHECK(reading.voltage_v == Approx(reading.cables[0].drop_v));
  CHECK(reading.power_w == Approx(reading.voltage_v * reading.current_a));
}
