// Colour maps: looking up. The files hold the published numbers; nothing is changed on the way.

#include "render/palette.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::render {

Palette::Palette(const scenes::Palette& read) : name_(read.name) {
  for (const scenes::Rgb& colour : read.colours)
    rgb_.emplace_back(static_cast<float>(colour.r), static_cast<float>(colour.g), static_cast<float>(colour.b));
}

std::optional<Palette> Palette::read(const std::filesystem::path& file, std::string& error) {
  std::vector<scenes::Fault> faults;
  const scenes::Palette read = scenes::read_palette(file, faults);
  if (faults.empty()) return Palette(read);
  error = scenes::to_line(faults.front());
  return std::nullopt;
}

std::vector<std::string> Palette::names_in(const std::filesystem::path& folder) {
  std::vector<std::string> names;
  std::error_code none;
  for (const auto& entry : std::filesystem::directory_iterator(folder, none)) {
    if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
  }
  std::sort(names.begin(), names.end(), [](const std::string& a, const std::string& b) {
    return std::pair(a != default_name, a) < std::pair(b != default_name, b);
  });
  return names;
}

glm::vec3 Palette::at(double fraction) const {
  const double last = static_cast<double>(rgb_.size() - 1);
  const double place = std::clamp(std::isfinite(fraction) ? fraction : 0.0, 0.0, 1.0) * last;
  const auto below = static_cast<std::size_t>(std::min(std::floor(place), last - 1.0));
  return glm::mix(rgb_[below], rgb_[below + 1], static_cast<float>(place - static_cast<double>(below)));
}

double lightness_of(const glm::vec3& srgb) {
  const auto linear = [](double v) { return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4); };
  const double y = 0.2126 * linear(srgb.r) + 0.7152 * linear(srgb.g) + 0.0722 * linear(srgb.b);
  return y > 216.0 / 24389.0 ? 116.0 * std::cbrt(y) - 16.0 : y * 24389.0 / 27.0;
}

}  // namespace warmbay::render
