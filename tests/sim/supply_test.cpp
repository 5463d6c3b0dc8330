// Shorts, openings, protective devices and the cable as a heater: what the supply makes of a failing cable.

#include <algorithm>
#include <cmath>

#include "sim/bench.hpp"
#include "sim/cross_section.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const sim::Occurrence* first(const sim::Bench& bench, sim::Happening what) {
  const auto found = std::find_if(bench.occurrences().begin(), bench.occurrences().end(),
                                  [what](const sim::Occurrence& one) { return one.what == what; });
  return found == bench.occurrences().end() ? nullptr : &*found;
}

/// Time at which the conductor passes limit_c, s, interpolated between internal steps.
double time_to(sim::Bench& bench, double limit_c) {
  const double limit_k = sim::kelvin_from_celsius(limit_c);
  double before_s = bench.time_s(), before_k = bench.reading().cables[0].hottest_k;
  for (int n = 0; n < 100000; ++n) {
    if (bench.step() <= 0.0) break;
    const double now_k = bench.reading().cables[0].hottest_k;
    if (now_k >= limit_k) return before_s + (bench.time_s() - before_s) * (limit_k - before_k) / (now_k - before_k);
    before_s = bench.time_s();
    before_k = now_k;
  }
  FAIL("the conductor never got to " << limit_c << " C");
  return 0.0;
}

sim::Device breaker(double opens_s) {
  sim::Device device;
  device.name = "test 16";
  device.rated_a = 16.0;
  for (sim::TripCurve& curve : device.curves) curve = {{1.3, 2.0, 10.0}, {10.0 * opens_s, opens_s, 0.01}};
  return device;
}

}  // namespace

TEST_CASE("a short circuit heats the conductor adiabatically: I2t = k2S2 from 70 to 160 C") {
  // IEC 60364-4-43: k = 115 A s^0.5/mm2 for copper insulated with PVC (the formula gives 114.8); within 3 %.
  const auto wall = share(frail_wall());
  const double section_mm2 = 1e6 * wall->cables[0].type.conductor_m2;
  for (const double current_a : {1000.0, 2000.0, 4000.0}) {
    sim::Bench bench = bench_at(wall, 70.0, 5.0);
    bench.set_conditions(with_current(*wall, current_a));
    const double time_s = time_to(bench, 160.0);
    INFO(current_a << " A for " << time_s << " s");
    REQUIRE(time_s < 5.0);
    CHECK(current_a * current_a * time_s < 115.0 * 115.0 * section_mm2 * section_mm2 * 1.03);
    CHECK(current_a * current_a * time_s > 115.0 * 115.0 * section_mm2 * section_mm2 * 0.97);
  }
}

TEST_CASE("a conductor melts through after the time of Onderdonk's formula, and no current flows after that") {
  // 33 (I / A)^2 t = log10[(Tm - Ta) / (234 + Ta) + 1], A in circular mils, adiabatic; within 15 %.
  sim::Wall frail = frail_wall();
  frail.cables[0].type.insulation.damage.reset();  // no short before
  const auto wall = share(std::move(frail));
  const double circular_mils = wall->cables[0].type.conductor_m2 / 5.067075e-10;
  for (const double current_a : {600.0, 1900.0}) {
    sim::Bench bench = bench_at(wall, 40.0, 5.0);
    bench.set_conditions(with_current(*wall, current_a));
    bench.advance_to(10.0);
    const sim::Occurrence* open = first(bench, sim::Happening::open_circuit);
    REQUIRE(open);
    const double published_s =
        std::log10((1083.0 - 40.0) / (234.0 + 40.0) + 1.0) / (33.0 * std::pow(current_a / circular_mils, 2));
    CHECK(open->time_s == Approx(published_s).epsilon(0.15));
    CHECK(bench.reading().current_a == 0.0);
    CHECK(bench.reading().voltage_v == 0.0);
    CHECK(bench.reading().cables[0].hottest_k < wall->damage.melting_copper_k);
  }
}

TEST_CASE("insulation that is pressed fails first, and current flows only up to the short") {
  sim::Wall frail = frail_wall();
  frail.cables[0].squeeze = sim::Squeeze::pinched;
  frail.cables[0].squeeze_at_m = 0.32;
  const auto wall = share(std::move(frail));
  sim::Bench bench = bench_at(wall, 24.0, 4.0);
  bench.set_conditions(with_current(*wall, 45.0));
  sim::Reading before;
  for (int n = 0; n < 2000 && !first(bench, sim::Happening::short_circuit); ++n) {
    before = bench.reading();
    bench.step();
  }
  const sim::Occurrence* touch = first(bench, sim::Happening::short_circuit);
  REQUIRE(touch);
  CHECK(touch->cable == 0);
  CHECK(touch->value == Approx(0.32).margin(0.012));
  const sim::Reading after = bench.reading();
  CHECK(after.current_a == 45.0);
  CHECK(after.voltage_v / before.voltage_v == Approx(0.32 / 0.4).epsilon(0.06));
  CHECK(after.power_w == Approx(after.voltage_v * 45.0));
  const auto hot = bench.snapshot();
  bench.advance_to(bench.time_s() + 120.0);
  const auto later = bench.snapshot();
  CHECK(later->lines[0].conductor_k.back() <
        hot->lines[0].conductor_k.back() - 20.0F);  // cools, but for what copper brings
  CHECK(later->lines[0].conductor_k.front() > hot->lines[0].conductor_k.front());
}

TEST_CASE("unpressed insulation wears at its stated rate: half the life for every nine kelvin") {
  sim::Wall frail = frail_wall();
  for (sim::Material& of : frail.materials) of.damage.reset();
  const auto wall = share(std::move(frail));
  auto worn_per_s = [&](double celsius_now) {
    sim::Bench bench = bench_at(wall, celsius_now, 1.0);
    bench.step();
    return bench.reading().cables[0].worn / bench.time_s();
  };
  CHECK(worn_per_s(215.0) == Approx(1.0 / 300.0).epsilon(0.02));
  CHECK(worn_per_s(150.0) / worn_per_s(141.0) == Approx(2.0).epsilon(0.02));
}

TEST_CASE("a branch's device opens at its curve's time, the wall cools, and it can be closed again") {
  sim::Wall frail = frail_wall();
  frail.devices = {breaker(90.0)};
  const auto wall = share(std::move(frail));
  sim::Bench bench = bench_at(wall, 24.0, 4.0);
  sim::Conditions conditions = with_current(*wall, 32.0);
  conditions.supply = sim::SupplyKind::branch;
  conditions.device = 0;
  bench.set_conditions(conditions);
  bench.advance_to(89.0);
  CHECK_FALSE(bench.reading().device_open);
  CHECK(bench.reading().device_progress == Approx(bench.time_s() / 90.0).epsilon(0.01));
  bench.advance_to(100.0);
  const sim::Occurrence* trip = first(bench, sim::Happening::trip);
  REQUIRE(trip);
  CHECK(trip->time_s == Approx(90.0).margin(1e-3));
  CHECK(trip->value == 32.0);
  CHECK(bench.reading().current_a == 0.0);
  const double then_k = bench.reading().cables[0].hottest_k;
  bench.advance_to(400.0);
  CHECK(bench.reading().cables[0].hottest_k < then_k - 5.0);
  bench.reset_device();
  CHECK(bench.reading().current_a == 32.0);
  bench.advance_to(600.0);
  CHECK(bench.occurrences().size() == 2);  // tripped again
}

TEST_CASE("on a branch a short draws what the mains let through, and the device sees it") {
  sim::Wall frail = frail_wall();
  frail.cables[0].squeeze = sim::Squeeze::pinched;
  frail.cables[0].squeeze_at_m = 0.2;
  frail.mains = {230.0, 0.4};
  frail.devices = {breaker(1e6)};
  const auto wall = share(std::move(frail));
  sim::Bench bench = bench_at(wall, 24.0, 4.0);
  sim::Conditions conditions = with_current(*wall, 40.0);
  conditions.supply = sim::SupplyKind::branch;
  conditions.device = 0;
  bench.set_conditions(conditions);
  bench.advance_to(3000.0);
  const sim::Occurrence* touch = first(bench, sim::Happening::short_circuit);
  const sim::Occurrence* trip = first(bench, sim::Happening::trip);
  REQUIRE(touch);
  REQUIRE(trip);
  CHECK(trip->time_s - touch->time_s == Approx(0.01).margin(0.002));
  CHECK(trip->value == Approx(230.0 / 0.405).epsilon(0.01));  // two conductors of 0.2 m add some 5 milliohm
}

TEST_CASE("a thermocouple on a cable lags behind it, and slips when the foam is gone") {
  const auto wall = share(frail_wall());
  sim::Bench bench = bench_at(wall, 24.0, 1.0);
  bench.set_conditions(with_current(*wall, 45.0));
  bench.advance_to(60.0);
  const auto early = bench.snapshot();
  const auto middle = early->lines[0].sheath_k.size() / 2;
  const double sheath_k = 0.5 * (early->lines[0].sheath_k[middle] + early->lines[0].sheath_k[middle - 1]);
  const double rate_k_s = bench.fastest_change_k_s();
  CHECK(early->reading.thermocouple_k[1] < sheath_k);
  CHECK(early->reading.thermocouple_k[1] > sheath_k - 3.0 * wall->damage.instruments.lag_s * rate_k_s);
  CHECK(early->reading.slipped == std::vector<std::uint8_t>{0, 0, 0, 0});
  bench.set_conditions(with_current(*wall, 30.0));
  bench.advance_to(2400.0);
  REQUIRE_FALSE(first(bench, sim::Happening::short_circuit));
  const auto late = bench.snapshot();
  CHECK(late->reading.slipped == std::vector<std::uint8_t>{0, 1, 0, 0});  // only the one that may
  const double hot_k = 0.5 * (late->lines[0].sheath_k[middle] + late->lines[0].sheath_k[middle - 1]);
  CHECK(late->reading.thermocouple_k[1] < hot_k - 3.0);
  CHECK(late->reading.thermocouple_k[1] > hot_k - 20.0);
}
