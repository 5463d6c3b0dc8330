#pragma once
// What a surface feels like to a hand: words for ranges of surface temperature, read from assets/touch.toml.

#include <filesystem>
#include <string>
#include <vector>

namespace warmbay::render {

struct Feel {
  double from_k = 0.0;  // from this surface temperature on
  std::string text;     // key of its word in the catalogue
};

/// Rising by from_k. On failure empty, with one line in `error`.
[[nodiscard]] std::vector<Feel> read_feels(const std::filesystem::path& file, std::string& error);
/// The word's key for a surface; empty when there are no words.
[[nodiscard]] std::string feel_of(const std::vector<Feel>& feels, double surface_k);

}  // namespace warmbay::render
