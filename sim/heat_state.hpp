#pragma once
// Everything that moves, as plain data.

#include <algorithm>
#include <cstddef>
#include <limits>
#include <vector>

#include "sim/field.hpp"
#include "sim/layout.hpp"

namespace warmbay::sim {

/// copper_rise_k: per cable, per node, K above the datum. change_k: by how much the last step of change_s changed every
/// voxel, for the split step's ballast and its check (sim/stepper.hpp); empty: no step yet.
struct HeatState {
  Field rise_k;
  std::vector<std::vector<double>> copper_rise_k;
  Field change_k = {};
  double change_s = 0.0;
  std::vector<char> stirred;  // per row (Layout::row_index): damage has moved temperatures there since; empty: nowhere
  double sub_step_s = 0.0;    // how long the last sub-step of a whole step could be (sim/whole_step.hpp); 0: none yet
};

/// Notes that something other than conduction has moved a voxel's temperature: what flows into its neighbours then goes
/// with no step of theirs.
inline void stir(HeatState& state, const Layout& layout, std::size_t voxel) {
  if (state.stirred.empty()) state.stirred.assign(layout.rows(), 0);
  const auto row = static_cast<std::ptrdiff_t>(voxel / static_cast<std::size_t>(layout.row));
  for (const std::ptrdiff_t by : {std::ptrdiff_t{0}, std::ptrdiff_t{-1}, std::ptrdiff_t{1},
                                  -std::ptrdiff_t{layout.ny + 2}, std::ptrdiff_t{layout.ny + 2}})
    state.stirred[static_cast<std::size_t>(row + by)] = 1;
}

/// Lowest and highest temperature of something, K above the datum.
struct RiseRange {
  double lowest_k = std::numeric_limits<double>::infinity();
  double highest_k = -std::numeric_limits<double>::infinity();
  void include(double rise_k) {
    if (rise_k < lowest_k) lowest_k = rise_k;
    if (rise_k > highest_k) highest_k = rise_k;
  }
  void include(const RiseRange& other) {
    if (other.lowest_k < lowest_k) lowest_k = other.lowest_k;
    if (other.highest_k > highest_k) highest_k = other.highest_k;
  }
  [[nodiscard]] static RiseRange anything() {
    return {-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  }
  /// False for what is not a number, too.
  [[nodiscard]] bool holds(double low_k, double high_k) const { return low_k >= lowest_k && high_k <= highest_k; }
};

/// Of the copper, per cable and node.
[[nodiscard]] inline RiseRange range_of(const std::vector<std::vector<double>>& copper_rise_k) {
  RiseRange range;
  for (const std::vector<double>& nodes : copper_rise_k)
    for (const double rise_k : nodes) range.include(rise_k);
  return range;
}

/// What physics allows after a step, K above the datum: heat flows from warm to cold, so that voxels stay in the range
/// of everything before it, or are no warmer than the copper has become; copper may warm itself up to copper_highest_k.
struct RiseBound {
  RiseRange before = RiseRange::anything();
  double copper_highest_k = std::numeric_limits<double>::infinity();

  /// voxels, copper: what they have come to, K above the datum. False for voxels that are not a number, too.
  [[nodiscard]] bool holds(const RiseRange& voxels, const RiseRange& copper) const {
    const RiseRange warmed{before.lowest_k, std::max(before.highest_k, copper.highest_k)};
    const bool copper_fits =
        copper.lowest_k >= before.lowest_k && copper.highest_k <= std::max(before.highest_k, copper_highest_k);
    return copper_fits && warmed.holds(voxels.lowest_k, voxels.highest_k);
  }
  /// What is left of a range once it has passed with some slack: none of the slack stays.
  [[nodiscard]] RiseRange clipped(const RiseRange& all, const RiseRange& copper) const {
    return {std::max(all.lowest_k, before.lowest_k),
            std::min(all.highest_k, std::max(before.highest_k, std::min(copper.highest_k, copper_highest_k)))};
  }
  /// The same with some slack on both sides, for the split step.
  [[nodiscard]] RiseBound widened(double slack_k) const {
    return {{before.lowest_k - slack_k, before.highest_k + slack_k}, copper_highest_k + slack_k};
  }
};

}  // namespace warmbay::sim
