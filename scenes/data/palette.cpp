// Colour maps are data: published tables with their source beside them.

#include "scenes/data/palette.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::scenes {

namespace {

/// The colour in an array of three numbers, or nothing.
std::optional<Rgb> colour_of(const toml::node& node) {
  const toml::array* triple = node.as_array();
  if (triple == nullptr || triple->size() != 3) return std::nullopt;
  std::array<double, 3> part{};
  for (std::size_t i = 0; i < 3; ++i) {
    const std::optional<double> value = (*triple)[i].value<double>();
    if (!value || !(*value >= 0.0 && *value <= 1.0)) return std::nullopt;
    part[i] = *value;
  }
  return Rgb{part[0], part[1], part[2]};
}

}  // namespace

Rgb Palette::at(double f) const {
  const double place = std::clamp(f, 0.0, 1.0) * static_cast<double>(colours.size() - 1);
  const std::size_t lower = std::min(static_cast<std::size_t>(place), colours.size() - 2);
  const double t = place - static_cast<double>(lower);
  const Rgb& a = colours[lower];
  const Rgb& b = colours[lower + 1];
  return {std::lerp(a.r, b.r, t), std::lerp(a.g, b.g, t), std::lerp(a.b, b.b, t)};
}

namespace {

void read_colours(const toml::table& table, Palette& palette, Faults& faults) {
  const toml::array* rows = table["rgb"].as_array();
  if (rows == nullptr || rows->size() < 2) {
    faults.add({}, "no colours; rgb = [[r, g, b], ...] with two or more was expected");
    return;
  }
  for (const toml::node& row : *rows) {
    const std::optional<Rgb> colour = colour_of(row);
    if (!colour) {
      faults.add(mark_of(row.source()), "not a colour; [r, g, b] with numbers from 0 to 1 was expected");
      return;
    }
    palette.colours.push_back(*colour);
  }
}

}  // namespace

Palette read_palette(const std::filesystem::path& file, std::vector<Fault>& faults) {
  const auto content = read_whole_file(file, shipped_data_file, faults);
  if (!content) return {};
  Faults found(file.string());
  Palette palette;
  if (const auto table = parse_toml(*content, found)) {
    read_colours(*table, palette, found);
    palette.name = (*table)["name"].value_or(file.stem().string());
  }
  if (found.count() == 0) return palette;
  const auto sorted = found.sorted();
  faults.insert(faults.end(), sorted.begin(), sorted.end());
  return {};
}

}  // namespace warmbay::scenes
