#pragma once
// Hatching: how a material is told from its neighbours without colour, after the habits of building drawings.

#include <cstdint>

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

/// By words in the material's name; when there are none that are known, by its density. (Names are data; a wrong guess
/// costs nothing but a less familiar pattern.)
[[nodiscard]] Hatch hatch_of(const sim::Material& material);

/// A pattern of lines on a face, u and v being metres across it: lines where u * per_m.u + v * per_m.v is a whole
/// number, swaying by `sway` of their distance, and the same mirrored in u.
struct HatchPattern {
  float per_m_u = 0.0F;
  float per_m_v = 0.0F;
  float sway = 0.0F;
  float sway_per_m = 0.0F;
  float crossing = 0.0F;  // 0: one set of lines; 1: both (a mesh); -1: dots where they cross
  float strength = 0.0F;  // 0: none
};
[[nodiscard]] HatchPattern pattern_of(Hatch hatch);

}  // namespace warmbay::render
