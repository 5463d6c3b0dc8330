#pragma once
// The readings of one run as flat lists, for the strip chart, and their reduction to one range per column of pixels.

#include <span>
#include <string>
#include <vector>

#include "sim/snapshot.hpp"
#include "sim/wall.hpp"

namespace warmbay::render {

struct Curve {
  std::string name;            // of the thermocouple or the cable
  bool conductor = false;      // the hottest conductor point of a cable, else a thermocouple
  double rated_k = 0.0;        // conductor curves: what the cable is rated for
  std::vector<float> value_k;  // one per time
  int slipped_row = -1;        // the first row after the thermocouple slipped from its cable, or -1
};

struct History {
  std::vector<float> time_s;
  std::vector<Curve> curves;
};

/// Curves without rows: the hottest conductor of each cable first, then the thermocouples.
[[nodiscard]] History empty_history(const sim::Wall& wall);
/// Takes rows over from `readings`, starting with the first that history does not have.
void extend(History& history, std::span<const sim::Reading> readings);

/// The lowest and highest value that fall into one column of pixels; first and last keep the line joined up.
struct Column {
  int column = 0;
  float low = 0.0F;
  float high = 0.0F;
  float first = 0.0F;
  float last = 0.0F;
};

/// Reduces a curve to at most `columns` ranges over [from_s, to_s]; columns without a value are left out.
/// time_s: rising; value: one per time. No detail higher than a column is lost: low and high are exact.
void decimate(std::span<const float> time_s, std::span<const float> value, double from_s, double to_s, int columns,
              std::vector<Column>& out);

/// The smallest "round" number (1, 2 or 5 times a power of ten) that is at least `value` (> 0).
[[nodiscard]] double round_up_125(double value);
/// The axis' length for a run of time_s: 10, 20, 30, 60, 120, 180 min ... so that the axis moves seldom.
[[nodiscard]] double time_axis_s(double time_s);

}  // namespace warmbay::render
