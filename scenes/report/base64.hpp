#pragma once
// Bytes as text, for pictures inside a page (RFC 4648).

#include <string>
#include <string_view>

namespace warmbay::scenes {

[[nodiscard]] std::string base64(std::string_view bytes);

}  // namespace warmbay::scenes
