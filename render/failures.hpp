#pragma once
// Where cables have failed, and how far they still carry current: read off a snapshot, for the picture and the panels.

#include <vector>

#include "sim/snapshot.hpp"

namespace warmbay::render {

struct Failure {
  bool open = false;  // a conductor has melted through; else two conductors touch
  int cable = 0;
  double along_m = 0.0;  // from the start of its route
  sim::Vec3 at_m{};
};
/// In the order of the cables; of one cable the short first.
[[nodiscard]] std::vector<Failure> failures_of(const sim::Snapshot& snapshot);

/// How far from its start each cable carries what the supply gives, m: its whole length where nothing has failed, 0
/// where none flows at all. One per Wall::cables. (A supply set to 0 A is no failure.)
[[nodiscard]] std::vector<double> live_lengths_m(const sim::Snapshot& snapshot);

}  // namespace warmbay::render
