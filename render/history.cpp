// Readings for the strip chart.

#include "render/history.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace warmbay::render {

History empty_history(const sim::Wall& wall) {
  History history;
  for (const sim::Cable& cable : wall.cables) history.curves.push_back({cable.name, true, cable.type.rated_k, {}, -1});
  for (const sim::Thermocouple& spot : wall.thermocouples) history.curves.push_back({spot.name, false, 0.0, {}, -1});
  return history;
}

void extend(History& history, std::span<const sim::Reading> readings) {
  for (std::size_t row = history.time_s.size(); row < readings.size(); ++row) {
    const sim::Reading& reading = readings[row];
    history.time_s.push_back(static_cast<float>(reading.time_s));
    std::size_t curve = 0;
    for (const sim::CableReading& cable : reading.cables) {
      history.curves[curve++].value_k.push_back(static_cast<float>(cable.hottest_k));
    }
    for (std::size_t t = 0; t < reading.thermocouple_k.size(); ++t) {
      Curve& spot = history.curves[curve++];
      spot.value_k.push_back(static_cast<float>(reading.thermocouple_k[t]));
      const bool slipped = t < reading.slipped.size() && reading.slipped[t] != 0;
      if (slipped && spot.slipped_row < 0) spot.slipped_row = static_cast<int>(row);
    }
  }
}

void decimate(std::span<const float> time_s, std::span<const float> value, double from_s, double to_s, int columns,
              std::vector<Column>& out) {
  out.clear();
  if (columns < 1 || !(to_s > from_s)) return;
  const auto begin = std::lower_bound(time_s.begin(), time_s.end(), static_cast<float>(from_s)) - time_s.begin();
  const double columns_per_s = columns / (to_s - from_s);
  for (std::size_t i = static_cast<std::size_t>(begin); i < time_s.size() && time_s[i] <= to_s; ++i) {
    const int column = std::min(columns - 1, static_cast<int>((time_s[i] - from_s) * columns_per_s));
    const float v = value[i];
    if (out.empty() || out.back().column != column) {
      out.push_back({column, v, v, v, v});
    } else {
      out.back().low = std::min(out.back().low, v);
      out.back().high = std::max(out.back().high, v);
      out.back().last = v;
    }
  }
}

double round_up_125(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (value <= factor * power * (1.0 + 1e-9)) return factor * power;
  }
  return 10.0 * power;
}

double time_axis_s(double time_s) {
  static constexpr std::array<double, 8> minutes{10, 20, 30, 60, 90, 120, 180, 240};
  for (const double m : minutes) {
    if (time_s <= 60.0 * m) return 60.0 * m;
  }
  return std::ceil(time_s / 7200.0) * 7200.0;
}

}  // namespace warmbay::render
