// Flattens a catalogue of nested tables into keys joined by '.'.

#include "scenes/text/text.hpp"

#include <fmt/format.h>

#include "scenes/read/printable.hpp"
#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

void gather(const toml::table& table, const std::string& before, std::map<std::string, std::string, std::less<>>& into,
            Faults& faults) {
  for (const auto& [key, value] : table) {
    const auto name = before + std::string(key.str());
    if (const auto* inner = value.as_table()) {
      gather(*inner, name + ".", into, faults);
    } else if (const auto* sentence = value.as_string()) {
      into[name] = sentence->get();
      if (steering_character(sentence->get(), true)) {
        faults.add(mark_of(value.source()), fmt::format("'{}' holds a control character, expected a sentence", name));
      }
    } else {
      faults.add(mark_of(value.source()), fmt::format("'{}' is no text, expected a sentence in quotes", name));
    }
  }
}

}  // namespace

Text Text::read(const std::filesystem::path& file, std::vector<Fault>& faults) {
  Text text;
  const auto content = read_whole_file(file, "a text catalogue", faults);
  if (!content) return text;
  Faults found(file.string());
  if (const auto root = parse_toml(*content, found)) {
    gather(*root, "", text.entries_, found);
    // Without one sentence everything that a person reads would be the names of keys.
    if (text.entries_.empty() && found.count() == 0) found.add({}, "the text catalogue is empty, expected sentences");
  }
  const auto sorted = found.sorted();
  faults.insert(faults.end(), sorted.begin(), sorted.end());
  return text;
}

const std::string& Text::operator()(std::string_view key) const {
  if (const auto found = entries_.find(key); found != entries_.end()) return found->second;
  const std::lock_guard lock(missing_->mutex);
  return missing_->keys.try_emplace(std::string(key), key).first->second;
}

bool Text::has(std::string_view key) const {
  return entries_.find(key) != entries_.end();
}

}  // namespace warmbay::scenes
