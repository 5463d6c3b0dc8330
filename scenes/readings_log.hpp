#pragma once
// The readings at even spacing, whatever the bench's internal steps: interpolated linearly between their ends.

#include <vector>

#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// The reading at time_s between two readings of the same bench; every field linear in time, except where a cable is
/// hottest, which is taken from the nearer end (between two places lies one that is not hot).
[[nodiscard]] sim::Reading between(const sim::Reading& before, const sim::Reading& after, double time_s);

/// Row k stands for the time k * every_s; rows are never skipped, so the number of rows says which one comes next.
class ReadingsLog {
 public:
  explicit ReadingsLog(double every_s) : every_s_(every_s) {}

  /// The first row, t = 0.
  void start(const sim::Reading& first) { rows_.assign(1, first); }
  /// Adds the rows that fall after `before` and not after `after`: the two ends of one internal step.
  void add(const sim::Reading& before, const sim::Reading& after);
  /// Forgets all but the first `count` rows.
  void truncate(std::size_t count) { rows_.resize(count); }

  [[nodiscard]] const std::vector<sim::Reading>& rows() const { return rows_; }

 private:
  double every_s_;
  std::vector<sim::Reading> rows_;
};

}  // namespace warmbay::scenes
