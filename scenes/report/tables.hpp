#pragma once
// The tables of a report, as HTML.

#include <string>

#include "scenes/report/report.hpp"

namespace warmbay::scenes {

/// Layers, boxes, cables and surroundings, with where their numbers come from.
[[nodiscard]] std::string make_up_tables(const ReportInput& input);

/// Each step at its end: current, hottest conductor against its rating, volts, watts, what the surfaces feel like.
[[nodiscard]] std::string step_table(const ReportInput& input);

/// How far the hottest conductor may be off at the end of each step; with input.uncertainty only.
[[nodiscard]] std::string uncertainty_table(const ReportInput& input);

[[nodiscard]] std::string event_table(const ReportInput& input);

}  // namespace warmbay::scenes
