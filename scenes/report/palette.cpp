// Colour maps are data: published tables with their source beside them.

#include "scenes/report/palette.hpp"

#include <toml++/toml.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

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

Palette read_palette(const std::filesystem::path& file, std::vector<Fault>& faults) {
  Palette palette;
  const auto fault = [&](const toml::source_region& where, const std::string& text) {
    faults.push_back({file.string(), static_cast<int>(where.begin.line), static_cast<int>(where.begin.column), text});
  };
  try {
    const toml::table table = toml::parse_file(file.string());
    const toml::array* rows = table["rgb"].as_array();
    if (rows == nullptr || rows->size() < 2) {
      fault({}, "no colours; rgb = [[r, g, b], ...] with two or more was expected");
      return {};
    }
    for (const toml::node& row : *rows) {
      const std::optional<Rgb> colour = colour_of(row);
      if (!colour) {
        fault(row.source(), "not a colour; [r, g, b] with numbers from 0 to 1 was expected");
        return {};
      }
      palette.colours.push_back(*colour);
    }
  } catch (const toml::parse_error& error) {
    fault(error.source(), std::string(error.description()));
    return {};
  }
  return palette;
}

}  // namespace warmbay::scenes
