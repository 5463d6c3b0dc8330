#pragma once
// A colour map from assets/palettes: sRGB, from the coldest to the hottest.

#include <filesystem>
#include <string>
#include <vector>

#include "scenes/data/rgb.hpp"
#include "scenes/read/fault.hpp"

namespace warmbay::scenes {

struct Palette {
  std::vector<Rgb> colours;  // two or more, evenly spaced
  std::string name = {};     // as the file says, else the file's own

  /// The colour at f, 0 (coldest) to 1 (hottest); outside, the end's colour.
  [[nodiscard]] Rgb at(double f) const;
};

/// Reads `rgb = [[r, g, b], ...]`, 0 to 1 each, and `name`. On a fault the palette is empty.
[[nodiscard]] Palette read_palette(const std::filesystem::path& file, std::vector<Fault>& faults);

}  // namespace warmbay::scenes
