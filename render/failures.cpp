// Shorts and open conductors of a snapshot.

#include "render/failures.hpp"

#include "sim/damage/state.hpp"

namespace warmbay::render {

namespace {

/// The damage of a cable, or nullptr.
const sim::CableDamage* damage_of(const sim::Snapshot& snapshot, std::size_t cable) {
  if (!snapshot.damage || cable >= snapshot.damage->cables.size() || cable >= snapshot.lines.size()) return nullptr;
  return &snapshot.damage->cables[cable];
}

double along_m(const sim::Snapshot& snapshot, std::size_t cable, int node) {
  return static_cast<double>(snapshot.lines[cable].along_m[static_cast<std::size_t>(node)]);
}

}  // namespace

std::vector<Failure> failures_of(const sim::Snapshot& snapshot) {
  std::vector<Failure> failures;
  for (std::size_t c = 0; c < snapshot.wall->cables.size(); ++c) {
    const sim::CableDamage* damage = damage_of(snapshot, c);
    if (damage == nullptr) continue;
    const auto add = [&](bool open, int node) {
      if (node < 0) return;
      const double at_m = along_m(snapshot, c, node);
      failures.push_back({open, static_cast<int>(c), at_m, sim::route_point(snapshot.wall->cables[c], at_m)});
    };
    add(false, damage->short_node);
    add(true, damage->open_node);
  }
  return failures;
}

std::vector<double> live_lengths_m(const sim::Snapshot& snapshot) {
  std::vector<double> live_m;
  bool shorted = false;
  bool none = snapshot.conditions.supply == sim::SupplyKind::branch && snapshot.reading.device_open;
  for (std::size_t c = 0; c < snapshot.wall->cables.size(); ++c) {
    const sim::CableDamage* damage = damage_of(snapshot, c);
    const bool short_here = !shorted && damage != nullptr && damage->short_node >= 0;
    // An open conductor beyond the first short is not in the circuit.
    if (!shorted && damage != nullptr && damage->open_node >= 0 &&
        (!short_here || damage->open_node <= damage->short_node))
      none = true;
    live_m.push_back(shorted      ? 0.0
                     : short_here ? along_m(snapshot, c, damage->short_node)
                                  : sim::route_length_m(snapshot.wall->cables[c]));
    shorted = shorted || short_here;
  }
  if (none) live_m.assign(live_m.size(), 0.0);
  return live_m;
}

}  // namespace warmbay::render
