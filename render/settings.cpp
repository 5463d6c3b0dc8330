// Settings as a small TOML file. A damaged one is never an error: the window starts with the defaults.

#include "render/settings.hpp"

#include <SDL.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <sstream>
#include <string_view>

#ifdef __EMSCRIPTEN__
#include "render/web/page.hpp"
#endif
#include "scenes/output/write_file.hpp"
#include "scenes/read/toml_reader.hpp"
#include "scenes/read/whole_file.hpp"

namespace warmbay::render {

namespace {

constexpr std::array<std::string_view, 3> theme_names{"graphite", "paper", "contrast"};
constexpr std::array<std::string_view, 2> temperature_names{"celsius", "fahrenheit"};
constexpr std::array<std::string_view, 2> length_names{"millimetre", "inch"};
constexpr std::array<std::string_view, 2> conductor_names{"mm2", "awg"};

template <typename Enum, std::size_t n>
Enum named(const toml::table& table, std::string_view key, const std::array<std::string_view, n>& names,
           Enum fallback) {
  const std::string_view value = table[key].value_or(std::string_view{});
  const auto found = std::find(names.begin(), names.end(), value);
  return found == names.end() ? fallback : static_cast<Enum>(found - names.begin());
}

template <typename Enum, std::size_t n>
std::string name_of(const std::array<std::string_view, n>& names, Enum value) {
  return std::string(names[static_cast<std::size_t>(value)]);
}

}  // namespace

std::filesystem::path settings_file() {
  char* folder = SDL_GetPrefPath("", "warmbay");
  if (folder == nullptr) return {};
  const std::filesystem::path path = std::filesystem::path(folder) / "settings.toml";
  SDL_free(folder);
  return path;
}

Settings read_settings(const std::filesystem::path& file) {
  Settings settings;
  if (file.empty()) return settings;
  // Missing or damaged: the defaults.
  std::vector<scenes::Fault> unread;
  const auto content = scenes::read_whole_file(file, "settings", unread);
  scenes::Faults faults(file.string());
  const auto parsed = content ? scenes::parse_toml(*content, faults) : std::nullopt;
  if (!parsed) return settings;
  const toml::table& table = *parsed;
  settings.caution_acknowledged = table["caution_acknowledged"].value_or(false);
  settings.units.temperature = named(table, "temperature", temperature_names, settings.units.temperature);
  settings.units.length = named(table, "length", length_names, settings.units.length);
  settings.units.conductor = named(table, "conductor", conductor_names, settings.units.conductor);
  settings.theme = named(table, "theme", theme_names, settings.theme);
  settings.palette = table["palette"].value_or(settings.palette);
  const double scale = table["scale"].value_or(0.0);
  settings.scale = scale >= 0.75 && scale <= 3.0 ? scale : 0.0;
  return settings;
}

std::string write_settings(const std::filesystem::path& file, const Settings& settings) {
  if (file.empty()) return "no folder for settings on this platform";
  const toml::table table{{"caution_acknowledged", settings.caution_acknowledged},
                          {"temperature", name_of(temperature_names, settings.units.temperature)},
                          {"length", name_of(length_names, settings.units.length)},
                          {"conductor", name_of(conductor_names, settings.units.conductor)},
                          {"theme", name_of(theme_names, settings.theme)},
                          {"palette", settings.palette},
                          {"scale", settings.scale}};
  std::ostringstream text;
  text << table << '\n';
  const auto fault = scenes::write_file(file, text.str());
#ifdef __EMSCRIPTEN__
  if (!fault && !page::keep(file))
    return "settings are kept for this visit only: the browser keeps nothing for this page";
#endif
  return fault ? scenes::to_line(*fault) : std::string{};
}

}  // namespace warmbay::render
