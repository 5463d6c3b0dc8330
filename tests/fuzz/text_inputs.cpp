// Case files, catalogues of sentences, and how deep a text nests.

#include <fmt/format.h>

#include "scenes/play/event_sentence.hpp"
#include "scenes/read/printable.hpp"
#include "scenes/read/toml_depth.hpp"
#include "scenes/text/text.hpp"
#include "scenes/trust/case_reader.hpp"
#include "tests/fuzz/held.hpp"
#include "tests/fuzz/inputs.hpp"

namespace warmbay::fuzz {

namespace {

/// A folder of cases that holds the scenes of the standards and one case.
const Folder& case_folder() {
  static const Folder folder;
  static const bool filled = [] {
    const auto standards = std::filesystem::path(WARMBAY_SOURCE_DIR) / "tests" / "standards";
    for (const auto& entry : std::filesystem::directory_iterator(standards)) {
      const std::string name = entry.path().filename().string();
      if (name.ends_with(".toml") && !name.ends_with(".case.toml") && name != "cases.toml") folder.link(entry.path());
    }
    static_cast<void>(folder.put("cases.toml", "format = 1\ncases = [\"input.case.toml\"]\n"));
    return true;
  }();
  static_cast<void>(filled);
  return folder;
}

/// Tables and arrays within each other, below the root.
int depth_of(const toml::node& node) {
  int most = 0;
  const auto look = [&](const toml::node& inner) {
    if (inner.is_table() || inner.is_array()) most = std::max(most, 1 + depth_of(inner));
  };
  if (const auto* table = node.as_table())
    for (const auto& [key, value] : *table) look(value);
  if (const auto* array = node.as_array())
    for (const auto& value : *array) look(value);
  return most;
}

}  // namespace

std::string broken_case(std::string_view bytes) {
  const std::string file = case_folder().put("input.case.toml", bytes).string();
  const auto cases = scenes::read_cases(case_folder().path(), shipped());
  if (cases.size() != 1) return "one case in the folder is read as another number of them";
  const auto& one = cases.front();
  if (one.read.has_value() != one.faults.empty()) return "neither a case nor a fault, or both";
  if (one.read)
    for (const auto& check : one.read->checks)
      if (!(check.least <= check.most)) return "a tolerance runs backwards: " + check.name;
  return wrong_faults(one.faults, bytes, file);
}

std::string broken_text(std::string_view bytes) {
  const FileInMemory file(bytes);
  std::vector<scenes::Fault> faults;
  const auto text = scenes::Text::read(file.path(), faults);
  if (!faults.empty()) return wrong_faults(faults, bytes, file.path().string());
  for (const char* name : {"over-rating", "softening", "melt-back", "smoke", "char", "short", "open", "trip", "settled",
                           "ignition-risk", "alarm"}) {
    const scenes::Event event{60.0, name, "feed", 123.0, "as it came"};
    const std::string sentence = scenes::event_sentence(text, event, scenes::file_units());
    if (scenes::steering_character(sentence, true)) return "a sentence steers the terminal";
  }
  return {};
}

std::string broken_depth(std::string_view bytes) {
  scenes::Faults none("input");
  const auto parsed = scenes::parse_toml(bytes, none);
  const int depth = parsed ? depth_of(*parsed) : 0;
  for (const int most : {1, 3, 6}) {
    const auto deep = scenes::too_deep(bytes, most);
    if (!parsed) continue;  // no TOML: only that the scanner comes back counts
    if (deep && depth <= most)
      return fmt::format("{} levels are taken for more than {} at {}:{}", depth, most, deep->line, deep->column);
    // A header through an array of tables names one level where two lie: so much deeper it may be.
    if (!deep && depth > 2 * most) return fmt::format("{} levels are not seen as more than {}", depth, most);
  }
  return {};
}

}  // namespace warmbay::fuzz
