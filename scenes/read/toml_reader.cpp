// See toml_reader.hpp. Positions come from toml++, which keeps those of every key and value.

#include "scenes/read/toml_reader.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <tuple>

#include "scenes/read/input_limits.hpp"
#include "scenes/read/printable.hpp"
#include "scenes/read/toml_depth.hpp"
#include "scenes/read/toml_shelter.hpp"

namespace warmbay::scenes {

namespace {

std::string kind_of(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "an array";
    case toml::node_type::string:
      return "a text";
    case toml::node_type::integer:
      return "a whole number";
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    default:
      return "a date or time";
  }
}

std::string words_of(const Bounds& bounds) {
  if (bounds.above_least) return fmt::format("a number above {:g}, at most {:g}", bounds.least, bounds.most);
  return fmt::format("a number from {:g} to {:g}", bounds.least, bounds.most);
}

bool inside(double value, const Bounds& bounds) {
  if (!std::isfinite(value) || value > bounds.most) return false;
  return bounds.above_least ? value > bounds.least : value >= bounds.least;
}

/// What is wrong with a text that holds a character which steers a terminal.
std::string words_of(char32_t steering, std::string_view key) {
  return fmt::format("'{}' holds the control character U+{:04X}, expected only characters that can be read", key,
                     static_cast<unsigned>(steering));
}

/// Levenshtein's distance between two words.
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above_left = diagonal;
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, above_left + (a[i - 1] == b[j - 1] ? 0u : 1u)});
    }
  }
  return row[b.size()];
}

bool has_beyond_ascii(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) >= 0x80; });
}

}  // namespace

Mark mark_of(const toml::source_region& region) {
  return {std::max(1, static_cast<int>(region.begin.line)), std::max(1, static_cast<int>(region.begin.column))};
}

void Faults::add(Mark mark, std::string text) {
  // Keys and names come from the file and may hold anything; a fault is one line whatever they hold.
  text = printable(text);
  list_.push_back({file_, mark.line, mark.column, std::move(text)});
}

std::vector<Fault> Faults::sorted() const {
  auto list = list_;
  const auto place = [](const Fault& fault) { return std::tie(fault.line, fault.column); };
  std::stable_sort(list.begin(), list.end(), [&](const Fault& a, const Fault& b) { return place(a) < place(b); });
  const auto same = [&](const Fault& a, const Fault& b) { return place(a) == place(b) && a.text == b.text; };
  list.erase(std::unique(list.begin(), list.end(), same), list.end());
  return list;
}

TableReader::TableReader(const toml::table& table, std::string label, Faults& faults)
    : TableReader(table, mark_of(table.source()), std::move(label), faults) {}

TableReader::TableReader(const toml::table& table, Mark mark, std::string label, Faults& faults)
    : table_(table), mark_(mark), label_(std::move(label)), faults_(faults), faults_before_(faults.count()) {}

Mark TableReader::mark(std::string_view key) const {
  const auto* found = table_.get(key);
  return found ? mark_of(found->source()) : mark_;
}

const toml::node* TableReader::node(std::string_view key) {
  if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
  return table_.get(key);
}

void TableReader::missing(std::string_view key, std::string_view expected) {
  faults_.add(mark_, fmt::format("{} has no '{}', expected {}", label_, key, expected));
}

void TableReader::fault(std::string_view key, std::string text) {
  faults_.add(mark(key), std::move(text));
}

void TableReader::fault_at(Mark mark, std::string text) {
  faults_.add(mark, std::move(text));
}

std::optional<double> TableReader::number_in(const toml::node& node, std::string_view key, Bounds bounds) {
  if (!node.is_number()) {
    fault_at(mark_of(node.source()), fmt::format("'{}' is {}, expected {}", key, kind_of(node), words_of(bounds)));
    return std::nullopt;
  }
  const double value =
      node.is_integer() ? static_cast<double>(node.as_integer()->get()) : node.as_floating_point()->get();
  if (inside(value, bounds)) return value;
  fault_at(mark_of(node.source()), fmt::format("'{}' is {:g}, expected {}", key, value, words_of(bounds)));
  return std::nullopt;
}

std::optional<double> TableReader::number(std::string_view key, Bounds bounds) {
  const auto* found = node(key);
  return found ? number_in(*found, key, bounds) : std::nullopt;
}

double TableReader::need_number(std::string_view key, Bounds bounds) {
  if (!node(key)) missing(key, words_of(bounds));
  return number(key, bounds).value_or(bounds.most);
}

std::optional<int> TableReader::whole(std::string_view key, int least, int most) {
  const auto* found = node(key);
  if (!found) return std::nullopt;
  const auto expected = fmt::format("a whole number from {} to {}", least, most);
  if (!found->is_integer()) {
    fault(key, fmt::format("'{}' is {}, expected {}", key, kind_of(*found), expected));
    return std::nullopt;
  }
  const auto value = found->as_integer()->get();
  if (value >= least && value <= most) return static_cast<int>(value);
  fault(key, fmt::format("'{}' is {}, expected {}", key, value, expected));
  return std::nullopt;
}

std::optional<bool> TableReader::flag(std::string_view key) {
  const auto* found = node(key);
  if (!found) return std::nullopt;
  if (found->is_boolean()) return found->as_boolean()->get();
  fault(key, fmt::format("'{}' is {}, expected true or false", key, kind_of(*found)));
  return std::nullopt;
}

std::optional<std::string> TableReader::text(std::string_view key, Lines lines) {
  const auto* found = node(key);
  if (!found) return std::nullopt;
  if (!found->is_string()) {
    fault(key, fmt::format("'{}' is {}, expected a text in quotes", key, kind_of(*found)));
    return std::nullopt;
  }
  const auto& value = found->as_string()->get();
  if (value.empty()) {
    fault(key, fmt::format("'{}' is empty, expected a text", key));
  } else if (const auto steering = steering_character(value, lines == Lines::several)) {
    fault(key, words_of(*steering, key));
  } else {
    return value;
  }
  return std::nullopt;
}

std::string TableReader::need_text(std::string_view key, Lines lines) {
  if (!node(key)) missing(key, "a text in quotes");
  return text(key, lines).value_or("");
}

std::optional<std::size_t> TableReader::choice(std::string_view key, std::initializer_list<std::string_view> words) {
  const auto word = text(key);
  if (!word) return std::nullopt;
  const auto* found = std::find(words.begin(), words.end(), *word);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  fault(key, fmt::format("'{}' is '{}', expected one of: {}", key, *word, fmt::join(words, ", ")));
  return std::nullopt;
}

std::vector<std::string> TableReader::texts(std::string_view key) {
  std::vector<std::string> words;
  const auto* found = node(key);
  if (!found) return words;
  if (!found->is_array()) {
    fault(key, fmt::format("'{}' is {}, expected an array of texts", key, kind_of(*found)));
    return words;
  }
  if (const auto size = found->as_array()->size(); size > input_limits::entries) {
    fault(key, fmt::format("'{}' has {} entries, expected at most {}", key, size, input_limits::entries));
    return words;
  }
  for (const auto& element : *found->as_array()) {
    if (element.is_string() && !element.as_string()->get().empty()) {
      const auto& word = element.as_string()->get();
      if (const auto steering = steering_character(word, false)) {
        fault_at(mark_of(element.source()), words_of(*steering, key));
      } else {
        words.push_back(word);
      }
    } else {
      fault_at(mark_of(element.source()), fmt::format("'{}' holds {}, expected texts that are not empty", key,
                                                      element.is_string() ? "an empty text" : kind_of(element)));
    }
  }
  return words;
}

template <std::size_t N>
std::optional<std::array<double, N>> TableReader::numbers(std::string_view key, Bounds bounds) {
  const auto* found = node(key);
  if (!found) return std::nullopt;
  const auto* array = found->as_array();
  if (!array || array->size() != N) {
    const auto what = array ? fmt::format("an array of {}", array->size()) : kind_of(*found);
    fault(key, fmt::format("'{}' is {}, expected {}", key, what, N == 2 ? "[from, to]" : "[x, y, z]"));
    return std::nullopt;
  }
  std::array<double, N> values{};
  bool good = true;
  for (std::size_t i = 0; i < N; ++i) {
    const auto value = number_in(*array->get(i), key, bounds);
    good = good && value;
    values[i] = value.value_or(0.0);
  }
  return good ? std::optional(values) : std::nullopt;
}

std::optional<std::array<double, 2>> TableReader::pair(std::string_view key, Bounds bounds) {
  return numbers<2>(key, bounds);
}

std::optional<std::array<double, 3>> TableReader::triple(std::string_view key, Bounds bounds) {
  return numbers<3>(key, bounds);
}

const toml::table* TableReader::table(std::string_view key) {
  const auto* found = node(key);
  if (!found) return nullptr;
  if (!found->is_table()) fault(key, fmt::format("'{}' is {}, expected a table", key, kind_of(*found)));
  return found->as_table();
}

std::vector<const toml::table*> TableReader::tables(std::string_view key) {
  std::vector<const toml::table*> list;
  const auto* found = node(key);
  if (!found) return list;
  const auto* array = found->as_array();
  if (array && array->size() > input_limits::tables) {
    fault_at(mark_of(array->get(input_limits::tables)->source()),
             fmt::format("[[{}]] is there {} times, expected at most {}", key, array->size(), input_limits::tables));
    return list;
  }
  if (!array) {
    fault(key, fmt::format("'{0}' is {1}, expected tables, each under [[{0}]]", key, kind_of(*found)));
    return list;
  }
  for (const auto& element : *array) {
    if (element.is_table()) {
      list.push_back(element.as_table());
    } else {
      fault_at(mark_of(element.source()), fmt::format("'{}' holds {}, expected tables", key, kind_of(element)));
    }
  }
  return list;
}

void TableReader::done() {
  for (const auto& [key, value] : table_) {
    if (std::find(known_.begin(), known_.end(), key.str()) != known_.end()) continue;
    const auto guess = did_you_mean(key.str(), known_);
    faults_.add(mark_of(key.source()), guess.empty() ? fmt::format("{} has no key '{}', expected one of: {}", label_,
                                                                   key.str(), fmt::join(known_, ", "))
                                                     : fmt::format("{} has no key '{}'{}", label_, key.str(), guess));
  }
}

std::string nearest_word(std::string_view word, const std::vector<std::string>& words) {
  std::string best;
  std::size_t best_distance = std::max<std::size_t>(2, word.size() / 3) + 1;
  for (const auto& candidate : words) {
    // A name longer than any sane one costs too much to compare and is no slip of the pen.
    if (word.size() > 64 || candidate.size() > 64) continue;
    const auto away = distance(word, candidate);
    if (away < best_distance && away < candidate.size()) {
      best = candidate;
      best_distance = away;
    }
  }
  return best;
}

std::string did_you_mean(std::string_view word, const std::vector<std::string>& words) {
  const auto guess = nearest_word(word, words);
  return guess.empty() ? "" : fmt::format("; did you mean '{}'?", guess);
}

std::optional<toml::table> parse_toml(std::string_view text, Faults& faults) {
  if (const auto mark = too_deep(text, input_limits::depth)) {
    faults.add(*mark, fmt::format("tables and arrays nest more than {} deep here, expected at most that",
                                  input_limits::depth));
    return std::nullopt;
  }
  if (const auto mark = beyond_ascii(text)) {
    faults.add(*mark, "this is not TOML 1.0: a character beyond ASCII, expected it in quotation marks or a comment");
    return std::nullopt;
  }
  if (const auto mark = stand_in(text)) {
    faults.add(*mark, "this character is from a plane for private use, expected one that everybody can read");
    return std::nullopt;
  }
  try {
    toml::table table = toml::parse(sheltered(text));
    if (has_beyond_ascii(text)) unshelter(table);
    return table;
  } catch (const toml::parse_error& error) {
    faults.add(mark_of(error.source()), fmt::format("this is not TOML 1.0: {}", unsheltered(error.description())));
    return std::nullopt;
  }
}

}  // namespace warmbay::scenes
