#pragma once
// Random valid walls: materials that ship and made-up extreme ones, cables, air, boxes, films, on grids of a few
// thousand voxels at most. Numbers are invented demo data; they are meant to be unlike any real wall.

#include <cstdint>
#include <random>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"

namespace warmbay::tests {

/// The same numbers for the same seed with every standard library: its own distributions on std::mt19937_64.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  /// Even over [low, high).
  double even(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine_() >> 11U) * 0x1p-53);
  }
  /// Even over the logarithm of [low, high).
  double log_even(double low, double high);
  int whole(int low, int high) { return static_cast<int>(even(low, high + 1)); }
  bool chance(double share) { return even(0.0, 1.0) < share; }
  template <class List>
  const auto& one_of(const List& list) {
    return list[static_cast<std::size_t>(whole(0, static_cast<int>(list.size()) - 1))];
  }

 private:
  std::mt19937_64 engine_;
};

/// What a random wall may be like.
struct RandomWalls {
  int most_voxels = 1500;
  double extreme_share = 0.5;  // of materials: made up, 1 to 8000 kg/m3 and 0.005 to 400 W/(m K)
};

/// A valid scene without steps: its file reads without faults. data: the files that ship.
[[nodiscard]] scenes::Scene random_scene(Dice& dice, const scenes::DataFiles& data, const RandomWalls& rules = {});

}  // namespace warmbay::tests
