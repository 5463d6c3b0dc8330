#pragma once
// readings.csv and events.csv: columns as the contract of the commands names them, quoting as RFC 4180 has it.

#include <string>
#include <string_view>
#include <vector>

#include "scenes/play/event.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// A text as a field: one that begins with =, +, - or @, which a spreadsheet would take for a formula, gets an
/// apostrophe before it; then it is quoted where it must be (comma, quotation mark, line end). Numbers do not go this
/// way: a minus sign in front of them stays alone.
[[nodiscard]] std::string csv_field(std::string_view text);

/// A row per reading: time_s, current_a, voltage_v, power_w, smoke_mg_s, void_cm3, then NAME_c per thermocouple and
/// NAME_hottest_c per cable, °C. '.' is the decimal sign whatever the locale.
[[nodiscard]] std::string readings_csv(const sim::Wall& wall, const std::vector<sim::Reading>& rows);

/// time_s,event,where,value,text
[[nodiscard]] std::string events_csv(const std::vector<Event>& events);

}  // namespace warmbay::scenes
