#pragma once
// How deep a TOML text nests, told before it is parsed: the parser makes a table for every part of a dotted key, and
// what is thousands deep ends its stack when it is freed.

#include <optional>
#include <string_view>

#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// Where a text first nests tables and arrays deeper than `most` levels: parts of table headers and of dotted keys,
/// arrays and inline tables count one each, and add up. Nothing when it does not, or when it stops being TOML before.
[[nodiscard]] std::optional<Mark> too_deep(std::string_view text, int most);

}  // namespace warmbay::scenes
