#pragma once
// A random wall under a random series of changes, held to what must be true of every one of them.

#include <cstdint>
#include <string>

#include "scenes/data/data_files.hpp"
#include "tests/random/random_scene.hpp"

namespace warmbay::tests {

struct RandomRun {
  int changes = 200;
  double shortest_s = 5.0, longest_s = 3600.0;  // between changes; now and then a single internal step
  bool compares = true;                         // with the same run in steps a tenth as long
  bool mends = true;                            // as everybody's benches do; the finer one always does
};

/// What came of it. `fault` is empty where everything held, else one line.
struct RandomOutcome {
  std::string fault;
  std::size_t voxels = 0;
  double simulated_s = 0.0;
  long long steps = 0, mended = 0;
  bool damaged = false;
  double overshoot_k = 0.0;  // furthest outside the envelope of start, surroundings and copper
  double unaccounted = 0.0;  // heat, share of all that moved
  double apart_k = 0.0;      // from the finer run, while nothing is damaged: furthest voxel or node
};

/// Temperatures inside the envelope (0.6 K), heat balance within 0.1 %, and where nothing is damaged within 0.5 K of
/// the finer run whenever something changes. Throws nothing but what the wall's making throws.
[[nodiscard]] RandomOutcome run_random_wall(std::uint64_t seed, const scenes::DataFiles& data, const RandomRun& run,
                                            const RandomWalls& walls = {});

}  // namespace warmbay::tests
