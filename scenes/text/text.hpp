#pragma once
// The catalogue of everything a person reads: assets/text/LANGUAGE.toml, flat tables of keys and sentences.

#include <filesystem>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/read/fault.hpp"

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
  /// Keys that were asked for in vain. Shared by threads: the window draws while the heat's thread words its events.
  struct Missing {
    std::mutex mutex;
    std::map<std::string, std::string, std::less<>> keys;
  };
  std::shared_ptr<Missing> missing_ = std::make_shared<Missing>();
};

}  // namespace warmbay::scenes
