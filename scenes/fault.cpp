// How a fault reads on a terminal: FILE:LINE:COLUMN: what is wrong, what was expected.

#include "scenes/fault.hpp"

#include <fmt/format.h>

namespace warmbay::scenes {

std::string to_line(const Fault& fault) {
  if (fault.line <= 0) return fmt::format("{}: {}", fault.file, fault.text);
  return fmt::format("{}:{}:{}: {}", fault.file, fault.line, fault.column, fault.text);
}

}  // namespace warmbay::scenes
