// See variant.hpp. The file is read twice, as it stands and as changed: what is wrong only with the changed one is then
// the fault of the changes. Values are copied in; toml++ copies no places, so that a fault of the changed scene may
// have none in the scene's file, and is told at the place of the changes.

#include "scenes/trust/variant.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <sstream>
#include <tuple>
#include <vector>

#include "scenes/file/scene_table.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

/// The `name` (or `title`) of a table in an array of tables; empty when it has none.
std::string name_of(const toml::table& table) {
  for (const char* key : {"name", "title"})
    if (const auto* text = table.get_as<std::string>(key)) return text->get();
  return "";
}

/// One step down a path: the names that stand under a table, and where each leads.
struct Way {
  std::string name;  // as paths write it, such as "supply" or "cable.feed"
  toml::table* to;
};

std::vector<Way> ways_from(toml::table& table) {
  std::vector<Way> ways;
  for (auto&& [key, node] : table) {
    const std::string name(key.str());
    if (toml::table* inner = node.as_table()) ways.push_back({name, inner});
    if (toml::array* array = node.as_array())
      for (toml::node& element : *array)
        if (toml::table* inner = element.as_table(); inner != nullptr && !name_of(*inner).empty())
          ways.push_back({fmt::format("{}.{}", name, name_of(*inner)), inner});
  }
  return ways;
}

bool starts_with_name(std::string_view path, std::string_view name) {
  return path.size() > name.size() && path.substr(0, name.size()) == name && path[name.size()] == '.';
}

/// Puts values into the table of a scene file.
class Changer {
 public:
  Changer(toml::table& root, std::string file, Faults& faults) : root_(root), file_(std::move(file)), faults_(faults) {}

  void change(std::string_view path, Mark mark, const toml::node& value) {
    toml::table* table = &root_;
    std::string_view rest = path;
    while (const auto way = longest_way(*table, rest)) {
      table = way->to;
      rest.remove_prefix(way->name.size() + 1);
    }
    const std::size_t dot = rest.find('.');
    if (rest.empty() || dot == 0 || dot + 1 == rest.size())
      faults_.add(mark, fmt::format("'{}' is no path, expected names with single dots between them", path));
    else if (const std::string whole = whole_table(*table, rest); !whole.empty())
      faults_.add(mark,
                  fmt::format("'{}' is a whole table of {}, expected one of its keys: '{}.KEY'", path, file_, path));
    else if (dot == std::string_view::npos)
      table->insert_or_assign(rest, value);
    else if (table == &root_ && !root_.contains(rest.substr(0, dot)) &&
             rest.find('.', dot + 1) == std::string_view::npos)
      add_table(rest.substr(0, dot), rest.substr(dot + 1), value);
    else
      names_nothing(path, rest, mark, *table);
  }

 private:
  /// The way whose name is the longest that the rest of a path begins with: names may hold dots themselves.
  static std::optional<Way> longest_way(toml::table& table, std::string_view rest) {
    std::optional<Way> best;
    for (Way& way : ways_from(table))
      if (starts_with_name(rest, way.name) && (!best || way.name.size() > best->name.size())) best = std::move(way);
    return best;
  }

  /// The name of the way that the rest of a path is all of; a plain key may be a table all the same.
  static std::string whole_table(toml::table& table, std::string_view rest) {
    for (const Way& way : ways_from(table))
      if (way.name == rest) return way.name;
    return "";
  }

  void add_table(std::string_view key, std::string_view inner, const toml::node& value) {
    toml::table table;
    table.insert_or_assign(inner, value);
    root_.insert_or_assign(key, std::move(table));
  }

  void names_nothing(std::string_view path, std::string_view rest, Mark mark, toml::table& table) {
    std::vector<std::string> there;
    for (const Way& way : ways_from(table)) there.push_back(way.name);
    const std::string_view wanted = rest.substr(0, rest.rfind('.'));
    faults_.add(mark, fmt::format("'{}' names nothing in {}: it has no '{}' there{}", path, file_, wanted,
                                  did_you_mean(wanted, there)));
  }

  toml::table& root_;
  std::string file_;
  Faults& faults_;
};

/// Where the change stands that is furthest down its file: those of a whole case, above, have proved sound by then.
Mark last_mark(const toml::table& with) {
  Mark last;
  for (auto&& [path, value] : with) {
    const Mark mark = mark_of(path.source());
    if (std::tie(mark.line, mark.column) > std::tie(last.line, last.column)) last = mark;
  }
  return last;
}

/// A fault of the changed scene in the words of a fault of the changes.
std::string as_changed(const Fault& fault) {
  const bool placed = fault.line > 1 || fault.column > 1;
  return "with these changes " + (placed ? to_line(fault) : fmt::format("{}: {}", fault.file, fault.text));
}

std::string words_of(const toml::node& value);

/// "key = value", the key in quotation marks where TOML needs them.
std::string entry_words(const toml::key& key, const toml::node& value) {
  std::ostringstream written;
  written << toml::toml_formatter(toml::table{{key.str(), true}});
  std::string words = written.str();
  words.resize(words.size() - std::string_view("true").size());
  return words + words_of(value);
}

/// One line. toml++ 3.3 writes single values well; whether an array goes on one line it finds by the logarithm of its
/// numbers as a count of digits, which is undefined for those below 1.
std::string words_of(const toml::node& value) {
  std::vector<std::string> inner;
  if (const auto* array = value.as_array())
    for (const toml::node& element : *array) inner.push_back(words_of(element));
  if (const auto* table = value.as_table())
    for (auto&& [key, of_key] : *table) inner.push_back(entry_words(key, of_key));
  if (value.is_array()) return inner.empty() ? "[]" : fmt::format("[ {} ]", fmt::join(inner, ", "));
  if (value.is_table()) return inner.empty() ? "{}" : fmt::format("{{ {} }}", fmt::join(inner, ", "));
  std::ostringstream written;
  written << toml::toml_formatter(value);
  std::string words = written.str();
  std::replace(words.begin(), words.end(), '\n', ' ');
  return words;
}

}  // namespace

ReadScene read_varied_scene_text(std::string_view text, const std::string& name, const toml::table& with,
                                 const DataFiles& data, Faults& of_with) {
  ReadScene plain = read_scene_text(text, name, data);
  if (!plain.scene || with.empty()) return plain;
  Faults none(name);
  std::optional<toml::table> root = parse_toml(text, none);
  const std::size_t before = of_with.count();
  Changer changer(*root, std::filesystem::path(name).filename().string(), of_with);
  for (auto&& [path, value] : with) changer.change(path.str(), mark_of(path.source()), value);
  if (of_with.count() > before) return {};
  ReadScene varied = read_scene_table(*root, name, data);
  for (const Fault& fault : varied.faults) of_with.add(last_mark(with), as_changed(fault));
  varied.faults.clear();
  return varied;
}

ReadScene read_varied_scene(const std::filesystem::path& file, const toml::table& with, const DataFiles& data,
                            Faults& of_with) {
  ReadScene result;
  const auto content = read_whole_file(file, "a scene file", result.faults);
  return content ? read_varied_scene_text(*content, file.string(), with, data, of_with) : result;
}

toml::table with_both(const toml::table& with, const toml::table& more) {
  toml::table both = with;
  for (auto&& [path, value] : more) both.insert_or_assign(path, value);
  return both;
}

std::string variant_words(const toml::table& with) {
  std::string words;
  for (auto&& [path, value] : with) {
    if (!words.empty()) words += ' ';
    words += entry_words(path, value);
  }
  return words;
}

}  // namespace warmbay::scenes
