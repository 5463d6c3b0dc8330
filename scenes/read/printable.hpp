#pragma once
// Characters that steer a terminal instead of being read: the controls of ASCII and Latin-1, and what turns the
// direction of writing or breaks a line (Unicode 15, general categories Cc, Zl, Zp and the bidirectional formats).

#include <optional>
#include <string>
#include <string_view>

namespace warmbay::scenes {

/// The first such character of a text in UTF-8. line_ends: '\n' and the tabulator are no fault there.
[[nodiscard]] std::optional<char32_t> steering_character(std::string_view text, bool line_ends);

/// The text with every such character as its number, "U+001B", so that it may go to a terminal.
[[nodiscard]] std::string printable(std::string_view text);

}  // namespace warmbay::scenes
