#pragma once
// The catalogue of everything a person reads: assets/text/LANGUAGE.toml, flat tables of keys and sentences.

#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/fault.hpp"

namespace warmbay::scenes {

class Text {
 public:
  /// Reads a catalogue; keys of nested tables are joined by '.': [panel.supply] title -> "panel.supply.title".
  [[nodiscard]] static Text read(const std::filesystem::path& file, std::vector<Fault>& faults);

  /// The sentence of a key, or the key itself when the catalogue has none (so that a missing one is seen).
  [[nodiscard]] const std::string& operator()(std::string_view key) const;
  [[nodiscard]] bool has(std::string_view key) const;

 private:
  std::map<std::string, std::string, std::less<>> entries_;
  mutable std::map<std::string, std::string, std::less<>> missing_;
};

}  // namespace warmbay::scenes
