#pragma once
// Typed, located reading of a TOML table: every getter says what it expects, notes what is wrong and where, and goes
// on, so that one pass over a file finds all of its faults. Shared by scene files, data files and text catalogues.

#include <toml++/toml.h>
#include <array>
#include <cstddef>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/read/fault.hpp"

namespace warmbay::scenes {

/// A place in a file, both from 1.
struct Mark {
  int line = 1;
  int column = 1;
};

[[nodiscard]] Mark mark_of(const toml::source_region& region);

/// The faults of one file, gathered in any order.
class Faults {
 public:
  explicit Faults(std::string file) : file_(std::move(file)) {}
  void add(Mark mark, std::string text);
  [[nodiscard]] std::size_t count() const { return list_.size(); }
  /// All of them, in the order of their lines; the same one twice counts once.
  [[nodiscard]] std::vector<Fault> sorted() const;

 private:
  std::string file_;
  std::vector<Fault> list_;
};

/// Numbers a key may have, in the file's own unit.
struct Bounds {
  double least;
  double most;
  bool above_least = false;  // least itself is not allowed
};

[[nodiscard]] constexpr Bounds above(double least, double most) {
  return {least, most, true};
}
[[nodiscard]] constexpr Bounds between(double least, double most) {
  return {least, most, false};
}

/// Whether a text may have line ends and tabulators: a sentence may, a name may not.
enum class Lines { one, several };

/// One table of a file. Ask for every key it may have, then call done(): what was never asked for is unknown.
/// label: what faults call the table, such as "[wall]" or "cable 'feed'".
class TableReader {
 public:
  TableReader(const toml::table& table, std::string label, Faults& faults);
  TableReader(const toml::table& table, Mark mark, std::string label, Faults& faults);

  void rename(std::string label) { label_ = std::move(label); }
  [[nodiscard]] const std::string& label() const { return label_; }
  /// Where the table begins.
  [[nodiscard]] Mark mark() const { return mark_; }
  /// Where the value of a key stands; the table's own place when it is missing.
  [[nodiscard]] Mark mark(std::string_view key) const;
  [[nodiscard]] bool has(std::string_view key) const { return table_.contains(key); }
  /// No fault was found since this reader was made.
  [[nodiscard]] bool fine() const { return faults_.count() == faults_before_; }

  // Each getter of a plain name gives nothing when the key is missing or its value is at fault (which is then noted);
  // each need_… also notes that it is missing, and gives a harmless stand-in.
  [[nodiscard]] std::optional<double> number(std::string_view key, Bounds bounds);
  [[nodiscard]] double need_number(std::string_view key, Bounds bounds);
  [[nodiscard]] std::optional<int> whole(std::string_view key, int least, int most);
  [[nodiscard]] std::optional<bool> flag(std::string_view key);
  // Texts are not empty and hold no characters that steer a terminal.
  [[nodiscard]] std::optional<std::string> text(std::string_view key, Lines lines = Lines::one);
  [[nodiscard]] std::string need_text(std::string_view key, Lines lines = Lines::one);
  /// The index of a text in a list of words.
  [[nodiscard]] std::optional<std::size_t> choice(std::string_view key, std::initializer_list<std::string_view> words);
  [[nodiscard]] std::vector<std::string> texts(std::string_view key);
  [[nodiscard]] std::optional<std::array<double, 2>> pair(std::string_view key, Bounds bounds);
  [[nodiscard]] std::optional<std::array<double, 3>> triple(std::string_view key, Bounds bounds);
  /// A table of that name; nullptr when missing or at fault.
  [[nodiscard]] const toml::table* table(std::string_view key);
  /// The tables of [[key]], in order.
  [[nodiscard]] std::vector<const toml::table*> tables(std::string_view key);
  /// The value as it stands, for what the getters above do not cover.
  [[nodiscard]] const toml::node* node(std::string_view key);

  /// A number of an array, with where it stands; notes a fault and gives nothing when it is none or out of bounds.
  [[nodiscard]] std::optional<double> number_in(const toml::node& node, std::string_view key, Bounds bounds);
  void missing(std::string_view key, std::string_view expected);
  void fault(std::string_view key, std::string text);
  void fault_at(Mark mark, std::string text);
  /// Notes every key that no getter asked for, with the nearest one that exists.
  void done();

 private:
  template <std::size_t N>
  std::optional<std::array<double, N>> numbers(std::string_view key, Bounds bounds);

  const toml::table& table_;
  Mark mark_;
  std::string label_;
  Faults& faults_;
  std::size_t faults_before_;
  std::vector<std::string> known_;
};

/// The nearest of some words, when it is near enough to be a slip of the pen; else empty.
[[nodiscard]] std::string nearest_word(std::string_view word, const std::vector<std::string>& words);
/// "; did you mean 'WORD'?" for the nearest of some words, or nothing.
[[nodiscard]] std::string did_you_mean(std::string_view word, const std::vector<std::string>& words);

/// The root table of a TOML text; nothing (and one fault where it stops being TOML) when it is none.
[[nodiscard]] std::optional<toml::table> parse_toml(std::string_view text, Faults& faults);

}  // namespace warmbay::scenes
