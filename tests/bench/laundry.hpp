#pragma once
// The wall that the benchmarks run, and how they run it.

#include <memory>
#include <vector>

#include "scenes/scene.hpp"
#include "sim/bench.hpp"

namespace warmbay::bench {

struct Loaded {
  scenes::Scene scene;
  std::shared_ptr<const sim::Wall> wall;
};

/// The laundry wall, every voxel edge scaled.
[[nodiscard]] Loaded load_laundry(double scale);

/// The same wall without air gaps and damage; conductivities and films still vary.
[[nodiscard]] std::shared_ptr<const sim::Wall> without_damage(const sim::Wall& wall);

/// The same wall of properties that never change: conductivities as they are at 20 C, air that neither moves nor
/// radiates, films of 8 W/(m2 K), nothing that gives way.
[[nodiscard]] std::shared_ptr<const sim::Wall> with_constant_properties(const sim::Wall& wall);

/// 25 min at 15 A and 25 min at 30 A.
inline constexpr int minutes = 50;
inline constexpr double minutes_s = 60.0 * minutes;

/// Plays them; the hottest conductor point at the end of every minute, K.
[[nodiscard]] std::vector<double> play_minutes(sim::Bench& bench);

/// Largest difference of two such lists, K.
[[nodiscard]] double furthest_k(const std::vector<double>& a, const std::vector<double>& b);

}  // namespace warmbay::bench
