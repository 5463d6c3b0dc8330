#pragma once
// What is not known exactly about a wall, as factors on what it is computed with, or as a shift of a temperature.

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "scenes/read/fault.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

/// What an unknown scales or shifts.
enum class Scaled : std::uint8_t {
  conductivity,  // of the materials named
  film,          // heat transfer at surfaces towards surroundings
  emissivity,    // of every surface in the wall
  resistance,    // of the loaded conductors
  plastics,      // conductivity of the cables' insulation and sheath
  capacity,      // heat capacity of the same
  collapse,      // shifted, K: the temperature at which the foams named collapse
};

struct Unknown {
  std::string name;  // its words are unknown.NAME of the text catalogue
  Scaled what{};
  std::vector<std::string> materials;     // for Scaled::conductivity and Scaled::collapse
  std::array<double, 2> range{1.0, 1.0};  // least and most: of a factor, 1 lies in it; of a shift, 0 does
  std::string source;

  [[nodiscard]] bool shifts() const { return what == Scaled::collapse; }
  /// What leaves a wall as it is.
  [[nodiscard]] double neutral() const { return shifts() ? 0.0 : 1.0; }
  /// How far from that a value lies, with its sign: K of a shift, the logarithm of a factor.
  [[nodiscard]] double away(double value) const;
};

/// assets/unknowns.toml. materials: the names there may be.
[[nodiscard]] std::vector<Unknown> read_unknowns(const std::filesystem::path& file,
                                                 const std::vector<std::string>& materials, std::vector<Fault>& faults);

/// Scales or shifts a wall by one unknown. value: the factor, or the shift in K. Returns false when the wall has
/// nothing of the kind.
bool scale(sim::Wall& wall, const Unknown& unknown, double value);

}  // namespace warmbay::scenes
