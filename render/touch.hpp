#pragma once
// What a surface feels like and does to a hand, read from assets/touch.toml: words for ranges of surface temperature,
// the hand itself, and burn thresholds by class of surface.

#include <filesystem>
#include <string>
#include <vector>

#include "scenes/read/fault.hpp"
#include "sim/touch.hpp"

namespace warmbay::render {

struct Feel {
  double from_k = 0.0;  // from this surface temperature on
  std::string text;     // key of its word in the catalogue
};

struct Touch {
  std::vector<Feel> feels;  // rising by from_k
  sim::Skin hand;
  std::vector<sim::BurnClass> classes;  // BurnClass::name: key of its word in the catalogue
};

/// Everything in the file; nothing of it when something is wrong, which is then added to faults with its place.
[[nodiscard]] Touch read_touch(const std::filesystem::path& file, std::vector<scenes::Fault>& faults);

/// The words alone. On failure empty, with one line in `error`.
[[nodiscard]] std::vector<Feel> read_feels(const std::filesystem::path& file, std::string& error);
/// The word's key for a surface; empty when there are no words.
[[nodiscard]] std::string feel_of(const std::vector<Feel>& feels, double surface_k);

/// A hand laid on a surface.
struct HandReading {
  std::string surface;             // key of the word for the class of its material
  double contact_k = 0.0;          // of the skin, the moment it touches
  double longest_contact_s = 0.0;  // without a burn; 0: shorter than the shortest that is known; infinity: none
};
/// material: what the surface is made of. touch: with at least one class.
[[nodiscard]] HandReading hand_on(const Touch& touch, const sim::Material& material, double surface_k);

}  // namespace warmbay::render
