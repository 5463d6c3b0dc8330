#pragma once
// The readings at even spacing, whatever the bench's internal steps: interpolated linearly between their ends.

#include <vector>

#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// The reading at time_s between two readings of the same bench; every field linear in time, except where a cable is
/// hottest, which is taken from the nearer end (between two places lies one that is not hot).
[[nodiscard]] sim::Reading between(const sim::Reading& before, const sim::Reading& after, double time_s);

/// Row k stands for the time k * spacing_s(); rows are never skipped, so the number of rows says which one comes next.
/// Where there may be only so many, a full log drops every second row and goes on at twice the spacing: a run without
/// an end needs no memory without an end.
class ReadingsLog {
 public:
  /// most_rows: 2 or more; 0: any number.
  explicit ReadingsLog(double every_s, std::size_t most_rows = 0)
      : every_s_(every_s), spacing_s_(every_s), most_rows_(most_rows) {}

  /// The first row, t = 0.
  void start(const sim::Reading& first) { rows_.assign(1, first); }
  /// Adds the rows that fall after `before` and not after `after`: the two ends of one internal step. True: rows from
  /// before have been dropped.
  bool add(const sim::Reading& before, const sim::Reading& after);
  /// Forgets the rows after time_s. Back at t = 0 the spacing is as it was at first.
  void forget_after(double time_s);

  [[nodiscard]] const std::vector<sim::Reading>& rows() const { return rows_; }
  [[nodiscard]] double spacing_s() const { return spacing_s_; }

 private:
  void thin();

  double every_s_;
  double spacing_s_;
  std::size_t most_rows_;
  std::vector<sim::Reading> rows_;
};

}  // namespace warmbay::scenes
