// Comma-separated values after RFC 4180, but with plain line feeds: every reader takes them, and so do line tools.

#include "scenes/output/csv.hpp"

#include <fmt/format.h>

#include <iterator>

#include "sim/units.hpp"

namespace warmbay::scenes {

std::string csv_field(std::string_view written) {
  // A spreadsheet would work such a text out; after an apostrophe it takes it for text.
  const bool formula = !written.empty() && std::string_view("=+-@").find(written.front()) != std::string_view::npos;
  std::string text(formula ? 1 : 0, '\'');
  text += written;
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + '"';
}

std::string readings_csv(const sim::Wall& wall, const std::vector<sim::Reading>& rows) {
  std::string csv = "time_s,current_a,voltage_v,power_w,smoke_mg_s,void_cm3";
  for (const sim::Thermocouple& spot : wall.thermocouples) csv.append(",").append(csv_field(spot.name + "_c"));
  for (const sim::Cable& cable : wall.cables) csv.append(",").append(csv_field(cable.name + "_hottest_c"));
  csv += '\n';
  const auto out = std::back_inserter(csv);
  for (const sim::Reading& row : rows) {
    fmt::format_to(out, "{:.10g},{:.6g},{:.6g},{:.6g},{:.6g},{:.6g}", row.time_s, row.current_a, row.voltage_v,
                   row.power_w, row.smoke_kg_s * 1e6, row.void_m3 * 1e6);
    for (const double kelvin : row.thermocouple_k) fmt::format_to(out, ",{:.3f}", sim::celsius_from_kelvin(kelvin));
    for (const sim::CableReading& cable : row.cables)
      fmt::format_to(out, ",{:.3f}", sim::celsius_from_kelvin(cable.hottest_k));
    csv += '\n';
  }
  return csv;
}

std::string events_csv(const std::vector<Event>& events) {
  std::string csv = "time_s,event,where,value,text\n";
  for (const Event& e : events)
    fmt::format_to(std::back_inserter(csv), "{:.10g},{},{},{:.6g},{}\n", e.time_s, csv_field(e.event),
                   csv_field(e.where), e.value, csv_field(e.text));
  return csv;
}

}  // namespace warmbay::scenes
