#pragma once
// What is not known exactly about a wall, as factors on what it is computed with.

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "scenes/fault.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

/// What an unknown scales.
enum class Scaled : std::uint8_t {
  conductivity,  // of the materials named
  film,          // heat transfer at surfaces towards surroundings
  emissivity,    // of every surface in the wall
  resistance,    // of the loaded conductors
  plastics,      // conductivity of the cables' insulation and sheath
  capacity,      // heat capacity of the same
  collapse,      // rate at which foam collapses
};

struct Unknown {
  std::string name;  // its words are unknown.NAME of the text catalogue
  Scaled what{};
  std::vector<std::string> materials;     // for Scaled::conductivity
  std::array<double, 2> times{1.0, 1.0};  // the range of the factor, least and most; 1 lies in it
  std::string source;
};

/// assets/unknowns.toml. materials: the names there may be.
[[nodiscard]] std::vector<Unknown> read_unknowns(const std::filesystem::path& file,
                                                 const std::vector<std::string>& materials, std::vector<Fault>& faults);

/// Scales a wall by one unknown. Returns false when the wall has nothing of the kind.
bool scale(sim::Wall& wall, const Unknown& unknown, double times);

}  // namespace warmbay::scenes
