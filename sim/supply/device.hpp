#pragma once
// Overcurrent protective devices: when they open.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace warmbay::sim {

/// Where inside the published time-current band a device lies: makers and specimens differ, the standard sets limits.
enum class TripTime : std::uint8_t { earliest, typical, latest };

/// A time-current curve: t_s at multiples of the rated current, between them straight on logarithmic scales. Below the
/// first multiple it never opens; beyond the last the last time holds.
struct TripCurve {
  std::vector<double> multiple;  // strictly rising, above 1
  std::vector<double> time_s;    // not rising
  friend bool operator==(const TripCurve&, const TripCurve&) = default;
};

/// What a standard demands at one multiple of the rated current, from cold.
struct BandPoint {
  double multiple = 0.0;
  double least_s = 0.0;          // it must not open sooner; infinity: never
  std::optional<double> most_s;  // and must open by then; empty: it need not open
  friend bool operator==(const BandPoint&, const BandPoint&) = default;
};

struct Device {
  std::string name;
  std::string kind;  // "circuit breaker" or "fuse"
  double rated_a = 0.0;
  std::vector<BandPoint> band;  // strictly rising multiples
  TripCurve curves[3];          // by TripTime
  double cools_s = 0.0;         // time constant of cooling back to cold; 0: at once
  std::string source;
  friend bool operator==(const Device&, const Device&) = default;
};

/// How far a device is on its way: 0 cold, 1 opens.
struct DeviceState {
  double progress = 0.0;
  bool open = false;
  friend bool operator==(const DeviceState&, const DeviceState&) = default;
};

/// Time from cold to opening at a steady current, s; infinity: it holds.
[[nodiscard]] double opening_time_s(const Device& device, TripTime where, double current_a);
/// Time until it opens if the current stays as it is, s; infinity: it does not. 0 when open.
[[nodiscard]] double time_left_s(const Device& device, TripTime where, double current_a, const DeviceState& state);
/// Carries a steady current for dt_s (at most time_left_s; carried to its end it opens). Where the current's curve time
/// is finite, progress grows by dt_s over that time; below the holding current it decays towards cold. An open device
/// stays as it is.
void carry(const Device& device, TripTime where, double current_a, double dt_s, DeviceState& state);

}  // namespace warmbay::sim
