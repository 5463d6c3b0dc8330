// See toml_shelter.hpp. Works on the bytes of UTF-8: two or three bytes for what is sheltered, four for its stand-in.

#include "scenes/read/toml_shelter.hpp"

#include <cstddef>
#include <utility>
#include <vector>

namespace warmbay::scenes {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
constexpr char32_t first = 0xA0, last = 0xFEFF, away = 0xF0000;

/// A character of two to four bytes in UTF-8; bytes 0: there is none here.
struct Found {
  char32_t character = 0;
  std::size_t bytes = 0;
};

/// Neither the halves of UTF-16 nor anything written longer than need be counts as a character.
Found character_at(std::string_view text, std::size_t at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  const std::size_t bytes = lead < 0xC0 ? 0 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : lead < 0xF8 ? 4 : 0;
  if (bytes == 0 || at + bytes > text.size()) return {};
  char32_t c = lead & (0x7Fu >> bytes);
  for (std::size_t n = 1; n < bytes; ++n) {
    const auto next = static_cast<unsigned char>(text[at + n]);
    if ((next & 0xC0u) != 0x80u) return {};
    c = c << 6 | (next & 0x3Fu);
  }
  constexpr char32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
  const bool half = c >= 0xD800 && c <= 0xDFFF;
  return c < least[bytes] || half ? Found{} : Found{c, bytes};
}

void append(std::string& text, char32_t c) {
  const auto rest = [&](int bits) { text += static_cast<char>(0x80u | (c >> bits & 0x3Fu)); };
  if (c < 0x800) {
    text += static_cast<char>(0xC0u | c >> 6);
  } else if (c < 0x10000) {
    text += static_cast<char>(0xE0u | c >> 12);
    rest(6);
  } else {
    text += static_cast<char>(0xF0u | c >> 18);
    rest(12);
    rest(6);
  }
  rest(0);
}

/// A stand-in begins here, or its number in a text with escapes: the whole plane of it, which no writing uses.
bool stand_in_at(std::string_view text, std::size_t at) {
  const char32_t c = character_at(text, at).character;
  const std::string_view number = text.substr(at, 6);
  return (c >= first + away && c <= last + away) || number == "\\U000F" || number == "\\U000f";
}

/// The characters from `from` on, as many as are sheltered, as those from `to` on.
std::string moved(std::string_view text, char32_t from, char32_t to) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const Found found = character_at(text, at);
    if (found.bytes > 0 && found.character >= from && found.character - from <= last - first) {
      append(out, found.character - from + to);
      at += found.bytes;
    } else {
      out += text[at++];
    }
  }
  return out;
}

void unshelter_keys(toml::table& table) {
  std::vector<toml::key> keys;
  for (auto&& [key, value] : table)
    if (unsheltered(key.str()) != key.str()) keys.push_back(key);
  for (const toml::key& key : keys) {
    table.insert(toml::key(unsheltered(key.str()), key.source()), std::move(*table.get(key.str())));
    table.erase(key.str());
  }
}

}  // namespace

std::string sheltered(std::string_view text) {
  const std::size_t mark = text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
  return std::string(text.substr(0, mark)) + moved(text.substr(mark), first, first + away);
}

std::string unsheltered(std::string_view text) {
  return moved(text, first + away, first);
}

void unshelter(toml::node& node) {
  if (auto* text = node.as_string()) {
    text->get() = unsheltered(text->get());
  } else if (auto* array = node.as_array()) {
    for (toml::node& element : *array) unshelter(element);
  } else if (auto* table = node.as_table()) {
    for (auto&& [key, value] : *table) unshelter(value);
    unshelter_keys(*table);
  }
}

std::optional<Mark> stand_in(std::string_view text) {
  Mark mark;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const auto byte = static_cast<unsigned char>(text[at]);
    if (stand_in_at(text, at)) return mark;
    if (byte == '\n') mark = {mark.line + 1, 0};
    if ((byte & 0xC0u) != 0x80u) ++mark.column;  // bytes that go on a character take no column
  }
  return std::nullopt;
}

}  // namespace warmbay::scenes
