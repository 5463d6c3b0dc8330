#pragma once
// What gave way during a run: smoke, voids, shorts, devices, as sentences of the report and as marks in its charts.

#include <string>
#include <vector>

#include "scenes/report/report.hpp"

namespace warmbay::scenes {

/// Something that happened, for the charts and the key under them.
struct Mark {
  double time_s = 0.0;
  std::string letter;  // "A", "B", ...
  std::string what;
  std::string where;  // may be empty
};
/// Every event but steps and rest, and every thermocouple that slipped, in the order of time.
[[nodiscard]] std::vector<Mark> marks_of(const ReportInput& input);
/// The key to the marks' letters, as HTML; empty without marks.
[[nodiscard]] std::string marks_key(const ReportInput& input, const std::vector<Mark>& marks);

/// The DANGER notice of a run whose model ended, as HTML; else empty.
[[nodiscard]] std::string end_notice(const ReportInput& input);

/// The section's sentences as an HTML list; empty for a wall to which nothing can happen.
[[nodiscard]] std::string gave_way(const ReportInput& input);

}  // namespace warmbay::scenes
