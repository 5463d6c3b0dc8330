// When a protective device opens: its curve, and what varying currents do to it.

#include "sim/supply/device.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace warmbay::sim {

namespace {

/// A device of 10 A: on logarithmic scales straight from 2x, 100 s to 8x, 1 s.
Device device() {
  Device made;
  made.name = "test";
  made.rated_a = 10.0;
  made.curves[0] = {{1.5, 2.0, 8.0}, {300.0, 50.0, 0.5}};
  made.curves[1] = {{2.0, 8.0}, {100.0, 1.0}};
  made.curves[2] = {{3.0, 8.0}, {400.0, 2.0}};
  made.cools_s = 60.0;
  return made;
}

constexpr auto typical = TripTime::typical;

/// Carries current_a in steps of dt_s until it opens or for longest_s; the time that went by.
double carried_s(const Device& of, double current_a, double dt_s, double longest_s, DeviceState& state) {
  double time_s = 0.0;
  while (!state.open && time_s < longest_s - 1e-9) {
    const double step_s = std::min({dt_s, time_left_s(of, typical, current_a, state), longest_s - time_s});
    carry(of, typical, current_a, step_s, state);
    time_s += step_s;
  }
  return time_s;
}

}  // namespace

TEST_CASE("a trip curve is straight between its points on logarithmic scales", "[device]") {
  const Device of = device();
  CHECK(opening_time_s(of, typical, 20.0) == 100.0);
  CHECK(opening_time_s(of, typical, 80.0) == 1.0);
  // Half-way from 2 to 8 on a logarithmic scale is 4; half-way from 100 s to 1 s is 10 s.
  CHECK(opening_time_s(of, typical, 40.0) == Approx(10.0).epsilon(1e-12));
  CHECK(opening_time_s(of, TripTime::earliest, 40.0) == Approx(5.0).epsilon(1e-12));
  CHECK(opening_time_s(of, TripTime::latest, 30.0) == 400.0);
}

TEST_CASE("below its curve a device holds, beyond it the last time stands", "[device]") {
  const Device of = device();
  CHECK(std::isinf(opening_time_s(of, typical, 19.99)));
  CHECK(std::isinf(opening_time_s(of, typical, 0.0)));
  CHECK(std::isinf(opening_time_s(of, TripTime::latest, 29.0)));
  CHECK(opening_time_s(of, TripTime::earliest, 15.0) == 300.0);
  CHECK(opening_time_s(of, typical, 5000.0) == 1.0);
  CHECK(std::isinf(time_left_s(of, typical, 10.0, {0.9, false})));
}

TEST_CASE("a steady current opens a device at its curve's time, however the time is cut up", "[device]") {
  const Device of = device();
  for (const double dt_s : {0.01, 0.7, 5.0, 1000.0}) {
    DeviceState state;
    // 1e-9: the sum of up to 1000 steps rounds.
    CHECK(carried_s(of, 40.0, dt_s, 1e6, state) == Approx(10.0).epsilon(1e-9));
    CHECK(state.open);
    CHECK(state.progress == 1.0);
    CHECK(time_left_s(of, typical, 40.0, state) == 0.0);
  }
}

TEST_CASE("half the time at one current leaves half the time at another", "[device]") {
  const Device of = device();
  DeviceState state;
  carry(of, typical, 20.0, 50.0, state);  // half of 100 s
  CHECK(state.progress == Approx(0.5).epsilon(1e-12));
  CHECK(time_left_s(of, typical, 40.0, state) == Approx(5.0).epsilon(1e-12));
  CHECK(time_left_s(of, typical, 80.0, state) == Approx(0.5).epsilon(1e-12));
  carry(of, typical, 40.0, time_left_s(of, typical, 40.0, state), state);
  CHECK(state.open);
}

TEST_CASE("a current that it holds lets a device cool back with its time constant", "[device]") {
  const Device of = device();
  DeviceState state{0.8, false};
  carry(of, typical, 12.0, 60.0, state);
  CHECK(state.progress == Approx(0.8 * std::exp(-1.0)).epsilon(1e-12));
  carry(of, typical, 0.0, 30.0, state);
  CHECK(state.progress == Approx(0.8 * std::exp(-1.5)).epsilon(1e-12));
  CHECK_FALSE(state.open);
  carry(of, typical, 0.0, 0.0, state);
  CHECK(state.progress == Approx(0.8 * std::exp(-1.5)).epsilon(1e-12));
}

TEST_CASE("an intermittent overload that cools enough in between never opens a device", "[device]") {
  const Device of = device();
  DeviceState state;
  // 20 s at 20 A add 0.2; 120 s without current leave exp(-2) of it: the sum settles at 0.2 / (1 - exp(-2)) = 0.2313.
  for (int n = 0; n < 200; ++n) {
    carry(of, typical, 20.0, 20.0, state);
    REQUIRE_FALSE(state.open);
    if (n == 199) CHECK(state.progress == Approx(0.2 / (1.0 - std::exp(-2.0))).epsilon(1e-9));
    carry(of, typical, 0.0, 120.0, state);
  }
}

TEST_CASE("an open device stays open until it is closed by hand", "[device]") {
  const Device of = device();
  DeviceState state{1.0, true};
  carry(of, typical, 0.0, 1e6, state);
  CHECK(state.open);
  CHECK(time_left_s(of, typical, 0.0, state) == 0.0);
}

TEST_CASE("the direction of a current does not matter to a device", "[device]") {
  CHECK(opening_time_s(device(), typical, -40.0) == opening_time_s(device(), typical, 40.0));
}

}  // namespace warmbay::sim
