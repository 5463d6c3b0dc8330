#pragma once
// Keeps from toml++ 3.3 the characters that it must not see. It looks each one from U+00A0 to U+FEFF up in a table of
// blanks that lacks most of them (undefined behaviour): after a line that ends in a backslash, and wherever it tells
// what it has met instead of a value. So such characters go through the parser as others of the same width, U+F00A0 to
// U+FFEFF of the second-last plane, which no writing uses, and are put back in what it made of them.

#include <toml++/toml.h>

#include <optional>
#include <string>
#include <string_view>

#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// The text for the parser; what is not UTF-8, and a byte order mark at the beginning, stay as they are.
[[nodiscard]] std::string sheltered(std::string_view text);
/// What the parser gave, with the characters of the file: a text, or every text and key of a table.
[[nodiscard]] std::string unsheltered(std::string_view text);
void unshelter(toml::node& node);

/// Where a text first holds one of the stand-ins itself, or \U000F of their numbers; it could not be told from what it
/// stands for.
[[nodiscard]] std::optional<Mark> stand_in(std::string_view text);

}  // namespace warmbay::scenes
