// std::from_chars, and where the standard library has none for numbers with a point (libc++ 13) the stream that the C
// locale reads: both take the same texts.

#include "scenes/read/plain_number.hpp"

#include <charconv>
#include <locale>
#include <sstream>
#include <string>

namespace warmbay::scenes {

std::optional<double> plain_number(std::string_view text) {
  double value = 0.0;
#if defined(__cpp_lib_to_chars)
  const char* const end = text.data() + text.size();
  const auto [rest, trouble] = std::from_chars(text.data(), end, value);
  return trouble == std::errc() && rest == end ? std::optional(value) : std::nullopt;
#else
  if (text.empty() || text.front() == '+' || text.front() == ' ') return std::nullopt;
  std::istringstream in{std::string(text)};
  in.imbue(std::locale::classic());
  in >> std::noskipws >> value;
  return in && in.peek() == std::istringstream::traits_type::eof() ? std::optional(value) : std::nullopt;
#endif
}

}  // namespace warmbay::scenes
