// How a fault reads on a terminal: FILE:LINE:COLUMN: what is wrong, what was expected.

#include "scenes/read/fault.hpp"

#include <fmt/ostream.h>

#include <algorithm>

#include "scenes/read/input_limits.hpp"
#include "scenes/read/printable.hpp"

namespace warmbay::scenes {

std::string to_line(const Fault& fault) {
  // Names of files and what stands in them may hold anything; a fault is one line whatever they hold.
  if (fault.line <= 0) return printable(fmt::format("{}: {}", fault.file, fault.text));
  return printable(fmt::format("{}:{}:{}: {}", fault.file, fault.line, fault.column, fault.text));
}

void print_faults(std::ostream& to, const std::vector<Fault>& faults) {
  const auto told = std::min(faults.size(), input_limits::faults_told);
  for (std::size_t i = 0; i < told; ++i) fmt::print(to, "{}\n", to_line(faults[i]));
  if (const auto rest = faults.size() - told; rest > 0) {
    fmt::print(to, "{}: {} more fault{} not shown\n", printable(faults[told].file), rest, rest == 1 ? " is" : "s are");
  }
}

std::string label_of(std::string_view what, const std::string& name, std::size_t index) {
  return name.empty() ? fmt::format("{} {}", what, index + 1) : fmt::format("{} '{}'", what, name);
}

}  // namespace warmbay::scenes
