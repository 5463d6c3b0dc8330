// Words for what a surface feels like.

#include "render/touch.hpp"

#include <toml++/toml.h>

#include <algorithm>

#include "sim/units.hpp"

namespace warmbay::render {

std::vector<Feel> read_feels(const std::filesystem::path& file, std::string& error) {
  std::vector<Feel> feels;
  try {
    const toml::table table = toml::parse_file(file.string());
    if (const toml::array* list = table["feel"].as_array()) {
      for (const toml::node& node : *list) {
        const toml::table* feel = node.as_table();
        const auto from_c = feel == nullptr ? std::nullopt : (*feel)["from_c"].value<double>();
        const auto text = feel == nullptr ? std::nullopt : (*feel)["text"].value<std::string>();
        if (!from_c || !text) {
          error = file.string() + ": every [[feel]] needs from_c (a number) and text (a key)";
          return {};
        }
        feels.push_back({sim::kelvin_from_celsius(*from_c), *text});
      }
    }
  } catch (const toml::parse_error& fault) {
    const auto& at = fault.source().begin;
    error = file.string() + ":" + std::to_string(at.line) + ":" + std::to_string(at.column) + ": " +
            std::string(fault.description());
    return {};
  }
  std::sort(feels.begin(), feels.end(), [](const Feel& a, const Feel& b) { return a.from_k < b.from_k; });
  return feels;
}

std::string feel_of(const std::vector<Feel>& feels, double surface_k) {
  std::string text;
  for (const Feel& feel : feels) {
    if (surface_k >= feel.from_k || text.empty()) text = feel.text;
  }
  return text;
}

}  // namespace warmbay::render
