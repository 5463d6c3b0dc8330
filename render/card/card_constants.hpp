#pragma once
// The numbers that the heat's kernels share with sim, and with the host's side of the card.

#include <cstdint>
#include <string>

namespace warmbay::render::card {

/// Stands for infinity, which is not every card's: an infinite film (the surface is held) and the half-resistivity of
/// what does not conduct.
inline constexpr float endless = 1e30F;
/// In what the host puts into a voxel: its temperature stays.
inline constexpr float as_warm_as_it_is = -endless;

/// What the card makes of a step, among the readings.
enum Verdict : std::uint32_t { step_taken = 0, step_refused = 1, step_too_long = 2 };

/// Those numbers as GLSL, a `const` declaration a line, for the front of every kernel (shaders/heat holds no copy of
/// them). A name is the one in sim, with its namespace or class before it where it has one there. A float has nine
/// digits, which no other float is nearer to.
[[nodiscard]] std::string card_constants();

}  // namespace warmbay::render::card
