// When a fuse or circuit breaker opens: a published time-current curve, used up at the rate of the present current.
//
// A steady current opens the device exactly at its curve's time t(I). For a current that varies, the share of the way
// done grows at 1 / t(I) (a device does not remember how it got warm, only how far). A current that it holds lets it
// cool: progress decays exponentially. What this leaves out: a device warm from its rated load trips a little sooner
// than a cold one, and ambient temperature shifts the curve (standards calibrate at 30 or 40 °C).

#include "sim/supply/device.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace warmbay::sim {

namespace {

constexpr double never_s = std::numeric_limits<double>::infinity();
constexpr double rounding = 1e-12;  // relative; a time so close to the one left is that time

/// Time at a multiple of the rated current: straight on logarithmic scales between the curve's points.
double curve_time_s(const TripCurve& curve, double multiple) {
  if (curve.multiple.empty() || multiple < curve.multiple.front()) return never_s;
  const auto above = std::upper_bound(curve.multiple.begin(), curve.multiple.end(), multiple);
  const auto i = static_cast<std::size_t>(above - curve.multiple.begin()) - 1;  // the last point not above
  if (above == curve.multiple.end() || curve.multiple[i] == multiple) return curve.time_s[i];
  const double share = std::log(multiple / curve.multiple[i]) / std::log(curve.multiple[i + 1] / curve.multiple[i]);
  return curve.time_s[i] * std::pow(curve.time_s[i + 1] / curve.time_s[i], share);
}

}  // namespace

double opening_time_s(const Device& device, TripTime where, double current_a) {
  return curve_time_s(device.curves[static_cast<std::size_t>(where)], std::abs(current_a) / device.rated_a);
}

double time_left_s(const Device& device, TripTime where, double current_a, const DeviceState& state) {
  if (state.open) return 0.0;
  return (1.0 - state.progress) * opening_time_s(device, where, current_a);
}

void carry(const Device& device, TripTime where, double current_a, double dt_s, DeviceState& state) {
  if (state.open || dt_s <= 0.0) return;
  const double whole_s = opening_time_s(device, where, current_a);
  if (std::isinf(whole_s)) {
    state.progress = device.cools_s > 0.0 ? state.progress * std::exp(-dt_s / device.cools_s) : 0.0;
    return;
  }
  const double left_s = (1.0 - state.progress) * whole_s;
  state.open = dt_s >= left_s * (1.0 - rounding);
  state.progress = state.open ? 1.0 : state.progress + dt_s / whole_s;
}

}  // namespace warmbay::sim
