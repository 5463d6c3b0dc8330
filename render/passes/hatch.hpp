#pragma once
// Hatching: how a material is told from its neighbours without colour, after the habits of building drawings.

#include <cstdint>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::render {

enum class Hatch : std::uint8_t {
  plain,    // air, and whatever is not known
  board,    // stippled: gypsum and plaster
  wood,     // grain
  fibre,    // waves: batts, wool, loose fill
  foam,     // a mesh of cells
  masonry,  // diagonals
  metal,    // close diagonals
};
inline constexpr int hatch_count = 7;

/// By words in the material's name; when there are none that are known, by its density. (Names are data; a wrong guess
/// costs nothing but a less familiar pattern.)
[[nodiscard]] Hatch hatch_of(const sim::Material& material);

inline constexpr int hatch_tile = 128;         // texels
inline constexpr double hatch_tile_m = 0.048;  // what a tile covers

/// The tiles one after the other, hatch_tile * hatch_tile bytes each: 0 blank to 255 full line; they repeat seamlessly.
[[nodiscard]] std::vector<std::uint8_t> hatch_tiles();

}  // namespace warmbay::render
