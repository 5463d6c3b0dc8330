#pragma once
// Numbers as people and files write them, whatever language the system speaks.

#include <optional>
#include <string_view>

namespace warmbay::scenes {

/// The number that a text is, digits with a '.' for the decimal point; nothing where it is anything else or more.
[[nodiscard]] std::optional<double> plain_number(std::string_view text);

}  // namespace warmbay::scenes
