// Works on bytes: only a few short sequences of UTF-8 matter, and a file's name need not be UTF-8 at all.

#include "scenes/read/printable.hpp"

#include <fmt/format.h>

namespace warmbay::scenes {

namespace {

struct Found {
  char32_t character;
  std::size_t bytes;
};

bool turns_or_breaks(char32_t c) {
  return c == 0x061C || c == 0x200E || c == 0x200F || (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

/// The character that steers and begins here, or nothing.
std::optional<Found> steering_at(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t ahead) -> unsigned {
    return at + ahead < text.size() ? static_cast<unsigned char>(text[at + ahead]) : 0u;
  };
  const auto goes_on = [](unsigned b) { return (b & 0xC0u) == 0x80u; };
  if (byte(0) < 0x20 || byte(0) == 0x7F) return Found{byte(0), 1};
  if ((byte(0) & 0xE0u) == 0xC0u && goes_on(byte(1))) {
    const char32_t c = (byte(0) & 0x1Fu) << 6 | (byte(1) & 0x3Fu);
    if ((c >= 0x80 && c < 0xA0) || turns_or_breaks(c)) return Found{c, 2};
  }
  if ((byte(0) & 0xF0u) == 0xE0u && goes_on(byte(1)) && goes_on(byte(2))) {
    const char32_t c = (byte(0) & 0x0Fu) << 12 | (byte(1) & 0x3Fu) << 6 | (byte(2) & 0x3Fu);
    if (turns_or_breaks(c)) return Found{c, 3};
  }
  return std::nullopt;
}

}  // namespace

std::optional<char32_t> steering_character(std::string_view text, bool line_ends) {
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (line_ends && (text[at] == '\n' || text[at] == '\t')) continue;
    if (const auto found = steering_at(text, at)) return found->character;
  }
  return std::nullopt;
}

std::string printable(std::string_view text) {
  std::string clean;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const auto found = steering_at(text, at);
    if (!found) {
      clean += text[at];
      continue;
    }
    clean += fmt::format("U+{:04X}", static_cast<unsigned>(found->character));
    at += found->bytes - 1;
  }
  return clean;
}

}  // namespace warmbay::scenes
