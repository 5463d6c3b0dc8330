#pragma once
// Colour maps of assets/palettes/NAME.toml as the window draws with them: in single precision, as cards do.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <glm/glm.hpp>

#include "scenes/data/palette.hpp"

namespace warmbay::render {

class Palette {
 public:
  explicit Palette(const scenes::Palette& read);
  /// A colour map that scenes::read_palette reads. Nothing on failure, with one line in `error`: "FILE:LINE:COLUMN:
  /// text".
  [[nodiscard]] static std::optional<Palette> read(const std::filesystem::path& file, std::string& error);
  /// The names of the colour maps in a folder (assets/palettes), the default one first, the others by name.
  [[nodiscard]] static std::vector<std::string> names_in(const std::filesystem::path& folder);
  static constexpr const char* default_name = "inferno";

  [[nodiscard]] const std::string& name() const { return name_; }
  /// The colour at 0 (coldest) to 1 (hottest), sRGB 0..1; linear between entries, clamped at the ends.
  [[nodiscard]] glm::vec3 at(double fraction) const;
  [[nodiscard]] const std::vector<glm::vec3>& entries() const { return rgb_; }

 private:
  std::string name_;
  std::vector<glm::vec3> rgb_;
};

/// CIE 1976 lightness L* (0..100) of an sRGB colour. Source: IEC 61966-2-1 transfer function, CIE 15:2004.
[[nodiscard]] double lightness_of(const glm::vec3& srgb);

}  // namespace warmbay::render
