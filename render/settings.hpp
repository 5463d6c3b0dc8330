#pragma once
// What the window remembers from one start to the next, in the platform's data folder and nowhere else. No personal
// data.

#include <filesystem>
#include <string>

#include "render/units_display.hpp"

namespace warmbay::render {

enum class ThemeName { graphite, paper, contrast };

struct Settings {
  bool caution_acknowledged = false;
  Units units;
  ThemeName theme = ThemeName::graphite;
  double scale = 0.0;  // 0: picked from the display; else 0.75 to 3
  std::string palette = "inferno";
  friend bool operator==(const Settings&, const Settings&) = default;
};

/// SDL's folder for this program's data (XDG_DATA_HOME on Linux); empty when the platform has none.
[[nodiscard]] std::filesystem::path settings_file();
/// Reads a settings file. A missing or damaged one, and values out of range, give the defaults.
[[nodiscard]] Settings read_settings(const std::filesystem::path& file);
/// Writes beside, then renames. Returns one line of what went wrong, or nothing.
[[nodiscard]] std::string write_settings(const std::filesystem::path& file, const Settings& settings);

}  // namespace warmbay::render
