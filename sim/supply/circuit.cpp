// Ohm's law along one loop. Limits: a short has no resistance of its own and no arc; a load draws the same current
// whatever the voltage drop.

#include "sim/supply/circuit.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::sim {
namespace {
constexpr double least_loop_ohm = 1e-6;  // mains said to have no resistance of their own still divide by something
}

Feed feed_of(const Wall& wall, const CopperLayout& copper, const Conditions& conditions,
             const std::vector<CableDamage>& cables, const std::vector<std::vector<double>>& copper_rise_k,
             bool device_open) {
  Feed feed;
  bool shorted = false, open = device_open && conditions.supply == SupplyKind::branch;
  double loop_ohm = wall.mains.source_ohm;
  for (std::size_t l = 0; l < copper.lines.size(); ++l) {
    const CopperLine& line = copper.lines[l];
    const CableDamage& cable = cables[l];
    int live = shorted ? 0 : line.nodes();
    if (!shorted && cable.short_node >= 0) {
      live = cable.short_node + 1;
      shorted = true;
    }
    open = open || (cable.open_node >= 0 && cable.open_node < live);
    feed.live_nodes.push_back(live);
    const CableType& type = wall.cables[static_cast<std::size_t>(line.cable)].type;
    for (std::size_t n = 0; n < static_cast<std::size_t>(live); ++n)
      loop_ohm += type.loaded * resistance_ohm_m(type, datum_k + copper_rise_k[l][n]) * line.length_m[n];
  }
  feed.supply_a = conditions.current_a;
  if (conditions.supply == SupplyKind::branch && shorted)
    feed.supply_a = wall.mains.voltage_v / std::max(loop_ohm, least_loop_ohm);
  if (open) feed.supply_a = 0.0;
  return feed;
}

Feed steady_feed(const CopperLayout& copper, double current_a) {
  Feed feed{current_a, {}};
  for (const CopperLine& line : copper.lines) feed.live_nodes.push_back(line.nodes());
  return feed;
}

double fastest_copper_k_s(const Wall& wall, const CopperLayout& copper, const Feed& feed,
                          const std::vector<std::vector<double>>& copper_rise_k, const Field& rise_k) {
  double fastest_k_s = 0.0;
  for (std::size_t l = 0; l < copper.lines.size(); ++l) {
    const CopperLine& line = copper.lines[l];
    const CableType& type = wall.cables[static_cast<std::size_t>(line.cable)].type;
    for (std::size_t n = 0; n < copper_rise_k[l].size(); ++n) {
      const double t = copper_rise_k[l][n];
      double heat_w = ohmic_heat(type, line.length_m[n], feed.at(l, n)).at_w(t);
      if (n > 0) heat_w += line.axial_w_k[n - 1] * (copper_rise_k[l][n - 1] - t);
      if (n + 1 < copper_rise_k[l].size()) heat_w += line.axial_w_k[n] * (copper_rise_k[l][n + 1] - t);
      for (int k = line.first_link[n]; k < line.first_link[n + 1]; ++k) {
        const SheathLink& link = line.links[static_cast<std::size_t>(k)];
        heat_w += link.coupling_w_k * (rise_k[link.voxel] - t);
      }
      fastest_k_s = std::max(fastest_k_s, std::abs(heat_w) / line.capacity_j_k[n]);
    }
  }
  return fastest_k_s;
}

}  // namespace warmbay::sim
