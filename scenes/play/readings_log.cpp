// Linear interpolation of readings; see the header.

#include "scenes/play/readings_log.hpp"

#include <algorithm>
#include <cmath>

#include "scenes/play/player_limits.hpp"

namespace warmbay::scenes {

sim::Reading between(const sim::Reading& before, const sim::Reading& after, double time_s) {
  const double length_s = after.time_s - before.time_s;
  const double f = length_s > 0.0 ? std::clamp((time_s - before.time_s) / length_s, 0.0, 1.0) : 1.0;
  // std::lerp gives exactly the ends at 0 and 1, so a row on the end of an internal step is that reading, bit by bit.
  const auto mix = [f](double a, double b) { return std::lerp(a, b, f); };

  sim::Reading row = after;
  row.time_s = time_s;
  row.current_a = mix(before.current_a, after.current_a);
  row.voltage_v = mix(before.voltage_v, after.voltage_v);
  row.power_w = mix(before.power_w, after.power_w);
  row.smoke_kg_s = mix(before.smoke_kg_s, after.smoke_kg_s);
  row.smoke_kg = mix(before.smoke_kg, after.smoke_kg);
  row.void_m3 = mix(before.void_m3, after.void_m3);
  row.device_progress = mix(before.device_progress, after.device_progress);
  for (std::size_t i = 0; i < row.thermocouple_k.size(); ++i)
    row.thermocouple_k[i] = mix(before.thermocouple_k[i], after.thermocouple_k[i]);
  for (std::size_t i = 0; i < row.cables.size(); ++i) {
    const sim::CableReading& a = before.cables[i];
    const sim::CableReading& b = after.cables[i];
    row.cables[i].hottest_k = mix(a.hottest_k, b.hottest_k);
    row.cables[i].hottest_at_m = f < 0.5 ? a.hottest_at_m : b.hottest_at_m;
    row.cables[i].drop_v = mix(a.drop_v, b.drop_v);
    row.cables[i].power_w = mix(a.power_w, b.power_w);
    row.cables[i].current_a = mix(a.current_a, b.current_a);
    row.cables[i].worn = mix(a.worn, b.worn);
  }
  for (std::size_t i = 0; i < row.surroundings.size(); ++i) {
    const sim::SurroundingsReading& a = before.surroundings[i];
    const sim::SurroundingsReading& b = after.surroundings[i];
    row.surroundings[i] = {mix(a.heat_w, b.heat_w), mix(a.hottest_surface_k, b.hottest_surface_k),
                           mix(a.coldest_surface_k, b.coldest_surface_k), b.area_m2};
  }
  return row;
}

bool ReadingsLog::add(const sim::Reading& before, const sim::Reading& after) {
  for (bool thinned = false;;) {
    const double row_s = static_cast<double>(rows_.size()) * spacing_s_;
    if (row_s > after.time_s + player_limits::same_moment_s) return thinned;
    const bool at_end = std::abs(row_s - after.time_s) <= player_limits::same_moment_s;
    rows_.push_back(between(before, after, at_end ? after.time_s : row_s));
    rows_.back().time_s = row_s;
    if (most_rows_ == 0 || rows_.size() <= most_rows_) continue;
    thin();
    thinned = true;
  }
}

void ReadingsLog::forget_after(double time_s) {
  while (rows_.size() > 1 && rows_.back().time_s > time_s + player_limits::same_moment_s) rows_.pop_back();
  if (time_s <= player_limits::same_moment_s) spacing_s_ = every_s_;
}

void ReadingsLog::thin() {
  std::size_t kept = 0;
  for (std::size_t row = 0; row < rows_.size(); row += 2, ++kept)
    if (kept != row) rows_[kept] = std::move(rows_[row]);
  rows_.resize(kept);
  spacing_s_ *= 2.0;
}

}  // namespace warmbay::scenes
