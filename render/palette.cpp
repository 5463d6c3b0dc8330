// Colour maps: reading and looking up. The files hold the published numbers; nothing is changed on the way.

#include "render/palette.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenes/toml_reader.hpp"
#include "scenes/whole_file.hpp"

namespace warmbay::render {

namespace {

std::string fault(const std::filesystem::path& file, const toml::node* node, const std::string& text) {
  if (node == nullptr) return fmt::format("{}: {}", file.string(), text);
  return fmt::format("{}:{}:{}: {}", file.string(), node->source().begin.line, node->source().begin.column, text);
}

std::optional<glm::vec3> read_rgb(const toml::node& node) {
  const auto* parts = node.as_array();
  if (parts == nullptr || parts->size() != 3) return std::nullopt;
  glm::vec3 rgb{};
  for (int i = 0; i < 3; ++i) {
    const auto value = (*parts)[static_cast<std::size_t>(i)].value<double>();
    if (!value || *value < 0.0 || *value > 1.0) return std::nullopt;
    rgb[i] = static_cast<float>(*value);
  }
  return rgb;
}

}  // namespace

std::optional<Palette> Palette::read(const std::filesystem::path& file, std::string& error) {
  std::vector<scenes::Fault> unread;
  const auto content = scenes::read_whole_file(file, scenes::shipped_data_file, unread);
  scenes::Faults faults(file.string());
  const auto parsed = content ? scenes::parse_toml(*content, faults) : std::nullopt;
  if (!parsed) {
    error = scenes::to_line(content ? faults.sorted().front() : unread.front());
    return std::nullopt;
  }
  const toml::table& table = *parsed;
  Palette palette;
  palette.name_ = table["name"].value_or(file.stem().string());
  const auto* rows = table["rgb"].as_array();
  if (rows == nullptr || rows->size() < 2) {
    error = fault(file, rows, "a colour map needs rgb = [[r, g, b], ...] with two rows or more");
    return std::nullopt;
  }
  for (const auto& row : *rows) {
    const auto rgb = read_rgb(row);
    if (!rgb) {
      error = fault(file, &row, "expected [r, g, b], three numbers from 0 to 1");
      return std::nullopt;
    }
    palette.rgb_.push_back(*rgb);
  }
  return palette;
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
