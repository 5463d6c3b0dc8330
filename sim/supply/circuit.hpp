#pragma once
// The current that flows now, and how far: from the supply through the cables in their order, up to the first short.

#include <vector>

#include "sim/copper.hpp"
#include "sim/damage/state.hpp"
#include "sim/field.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

struct Feed {
  double supply_a = 0.0;
  std::vector<int> live_nodes;  // per copper line: so many of its nodes, from its start, carry the current

  /// Current in each loaded conductor at a node, A.
  [[nodiscard]] double at(std::size_t line, std::size_t node) const {
    return static_cast<int>(node) < live_nodes[line] ? supply_a : 0.0;
  }
};

/// A bench holds conditions.current_a unless a conductor has opened. A branch gives what its load draws; a short before
/// the load draws what the mains' own resistance and the copper as far as the short let through (Ohm's law).
/// copper_rise_k: per line, per node, K above the datum. cables: what has become of them, one per line.
[[nodiscard]] Feed feed_of(const Wall& wall, const CopperLayout& copper, const Conditions& conditions,
                           const std::vector<CableDamage>& cables,
                           const std::vector<std::vector<double>>& copper_rise_k, bool device_open);

/// A current through every cable from end to end, A: where nothing has failed.
[[nodiscard]] Feed steady_feed(const CopperLayout& copper, double current_a);

/// The fastest that any node would warm or cool now, K/s. rise_k: the padded field.
[[nodiscard]] double fastest_copper_k_s(const Wall& wall, const CopperLayout& copper, const Feed& feed,
                                        const std::vector<std::vector<double>>& copper_rise_k, const Field& rise_k);

}  // namespace warmbay::sim
