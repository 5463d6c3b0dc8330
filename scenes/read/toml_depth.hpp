#pragma once
// What must be told of a TOML text before it is parsed. How deep it nests: the parser makes a table for every part of a
// dotted key, and what is thousands deep ends its stack when it is freed.

#include <optional>
#include <string_view>

#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// Where a text first nests tables and arrays deeper than `most` levels: parts of table headers and of dotted keys,
/// arrays and inline tables count one each, and add up. Nothing when it does not, or when it stops being TOML before.
[[nodiscard]] std::optional<Mark> too_deep(std::string_view text, int most);

/// Where a text first has a character beyond ASCII that is neither in quotation marks nor in a comment. TOML 1.0 allows
/// none there; the parser would name it as part of a value or of a key.
[[nodiscard]] std::optional<Mark> beyond_ascii(std::string_view text);

}  // namespace warmbay::scenes
