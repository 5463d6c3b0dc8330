// A scanner that knows of TOML 1.0 only what nests: headers, dotted keys, brackets, braces; and what hides them: the
// four kinds of strings, and comments. It uses no recursion. It need only be right up to the first error in the text,
// because the parser stops there as well.

#include "scenes/read/toml_depth.hpp"

#include <limits>
#include <vector>

namespace warmbay::scenes {

namespace {

class Scanner {
 public:
  Scanner(std::string_view text, int most) : text_(text), most_(most) {
    if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  }

  std::optional<Mark> scan() {
    while (!deep_ && at_ < text_.size()) step();
    return deep_;
  }

  std::optional<Mark> scan_for_beyond_ascii() {
    while (at_ < text_.size()) {
      if (static_cast<unsigned char>(peek()) >= 0x80) return mark_;
      step();
    }
    return std::nullopt;
  }

 private:
  /// An array or inline table that is open. depth: its own.
  struct Open {
    bool is_table;
    int depth;
  };

  [[nodiscard]] char peek(std::size_t ahead = 0) const {
    return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
  }

  void advance() {
    const auto byte = static_cast<unsigned char>(text_[at_++]);
    if (byte == '\n') {
      ++mark_.line;
      mark_.column = 1;
    } else if ((byte & 0xC0) != 0x80) {  // bytes that go on a character of UTF-8 take no column
      ++mark_.column;
    }
  }

  void reach(int depth) {
    depth_ = depth;
    if (depth > most_ && !deep_) deep_ = mark_;
  }

  void skip_comment() {
    while (at_ < text_.size() && peek() != '\n') advance();
  }

  void skip_string() {
    const char quote = peek();
    const bool several_lines = peek(1) == quote && peek(2) == quote;
    for (int n = several_lines ? 3 : 1; n > 0; --n) advance();
    while (at_ < text_.size()) {
      if (quote == '"' && peek() == '\\' && at_ + 1 < text_.size()) {
        advance();
      } else if (!several_lines && (peek() == quote || peek() == '\n')) {
        break;
      } else if (several_lines && peek() == quote && peek(1) == quote && peek(2) == quote) {
        // Up to two quotation marks may stand right before the closing three.
        for (int n = 0; n < 5 && peek() == quote; ++n) advance();
        return;
      }
      advance();
    }
    if (peek() == quote) advance();
  }

  void open(bool is_table) {
    open_.push_back({is_table, depth_ + 1});
    reach(depth_ + 1);
    in_key_ = is_table;
  }

  void close() {
    if (!open_.empty()) open_.pop_back();
    in_key_ = false;
    in_header_ = false;
    depth_ = open_.empty() ? depth_ : open_.back().depth;
  }

  /// A new line outside all brackets begins a key, a header or nothing.
  void end_line() {
    if (!open_.empty()) return;
    if (in_header_) header_depth_ = depth_;
    in_header_ = false;
    in_key_ = true;
    fresh_line_ = true;
    depth_ = header_depth_;
  }

  void bracket() {
    if (!fresh_line_ || !open_.empty()) return open(false);
    in_header_ = true;
    const bool of_array = peek(1) == '[';
    if (of_array) advance();
    reach(of_array ? 2 : 1);  // an element of an array of tables is one deeper than the array
  }

  void step() {
    const char c = peek();
    if (c == '"' || c == '\'') {
      fresh_line_ = false;
      return skip_string();
    }
    if (c == '#') return skip_comment();
    if (c == '\n') {
      end_line();
    } else if (c == '[' && !in_header_) {
      bracket();
    } else if (c == '{' && !in_header_) {
      open(true);
    } else if (c == '}' || (c == ']' && !in_header_)) {
      close();
    } else if (c == ',') {
      in_key_ = !open_.empty() && open_.back().is_table;
      if (!open_.empty()) depth_ = open_.back().depth;
    } else if (c == '=') {
      in_key_ = false;
    } else if (c == '.' && (in_header_ || in_key_)) {
      reach(depth_ + 1);
    }
    if (c != ' ' && c != '\t' && c != '\n' && c != '\r') fresh_line_ = false;
    advance();
  }

  std::string_view text_;
  int most_;
  std::size_t at_ = 0;
  Mark mark_;
  std::optional<Mark> deep_;
  std::vector<Open> open_;
  int depth_ = 0;         // here
  int header_depth_ = 0;  // of the tables that the last header opened
  bool in_key_ = true;
  bool in_header_ = false;
  bool fresh_line_ = true;  // only blanks so far
};

}  // namespace

std::optional<Mark> too_deep(std::string_view text, int most) {
  return Scanner(text, most).scan();
}

std::optional<Mark> beyond_ascii(std::string_view text) {
  return Scanner(text, std::numeric_limits<int>::max()).scan_for_beyond_ascii();
}

}  // namespace warmbay::scenes
