// First-order kinetics, dm/dt = -A m exp(-E / RT), and water that leaves over a band of temperatures. Limits: processes
// of one material do not wait for each other; what air does to hot material (burning) is not computed.

#include "sim/damage/kinetics.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/units.hpp"

namespace warmbay::sim {

Kinetics::Kinetics(const Damage& damage) : damage_(&damage), quiet_below_k_(std::numeric_limits<double>::infinity()) {
  for (const Process& process : damage.processes) {
    const bool arrhenius = process.kind == Process::Kind::arrhenius;
    rates_.push_back(arrhenius ? ReactionRates(process.rate_1_s, process.energy_j_mol, process.from_k)
                               : ReactionRates());
    quiet_below_k_ = std::min(quiet_below_k_, process.from_k);
  }
  if (damage.collapse) {
    const Collapse& of = *damage.collapse;
    const double rate_1_s = std::exp(of.energy_j_mol / (gas_constant_j_molk * of.at_k)) / of.time_s;
    collapse_ = ReactionRates(rate_1_s, of.energy_j_mol, of.from_k);
    quiet_below_k_ = std::min(quiet_below_k_, damage.collapse->from_k);
  }
  if (damage.softens_k) quiet_below_k_ = std::min(quiet_below_k_, *damage.softens_k);
  if (damage.ignites_k) quiet_below_k_ = std::min(quiet_below_k_, *damage.ignites_k);
}

Kinetics::Change Kinetics::advance(std::array<float, damage_processes>& extent, double mass_kg, double capacity_j_k,
                                   double& temperature_k, double dt_s) const {
  Change change;
  for (std::size_t p = 0; p < rates_.size(); ++p) {
    const Process& process = damage_->processes[p];
    const double full_j = mass_kg * process.heat_j_kg, before = extent[p];
    if (before >= 1.0 || temperature_k < process.from_k) continue;
    double after = before;
    if (process.kind == Process::Kind::arrhenius) {
      const float rate_1_s = rates_[p].at(static_cast<float>(temperature_k));
      after += (1.0 - before) * reacted(rate_1_s, static_cast<float>(dt_s));
    } else {
      // capacity (T - T') = full (e' - e) with e' = (T' - from) / (to - from)
      const double width_k = process.to_k - process.from_k, slope_j_k = full_j / width_k;
      const double reached_k = std::isinf(capacity_j_k)
                                   ? temperature_k
                                   : (capacity_j_k * temperature_k + full_j * before + slope_j_k * process.from_k) /
                                         (capacity_j_k + slope_j_k);
      after = std::clamp((reached_k - process.from_k) / width_k, before, 1.0);
    }
    extent[p] = static_cast<float>(after);
    const double done = extent[p] - before;  // as it was rounded, so that the books balance
    const double lost_kg = mass_kg * process.lost * done;
    change.heat_j += full_j * done;
    change.lost_kg += lost_kg;
    change.smoke_kg += lost_kg * process.smoke_kg_kg;
    temperature_k -= full_j * done / capacity_j_k;
  }
  return change;
}

double Kinetics::lost(const std::array<float, damage_processes>& extent) const {
  double lost = 0.0;
  for (std::size_t p = 0; p < rates_.size(); ++p) lost += damage_->processes[p].lost * static_cast<double>(extent[p]);
  return lost;
}

bool Kinetics::charred(const std::array<float, damage_processes>& extent) const {
  for (std::size_t p = 0; p < rates_.size(); ++p)
    if (damage_->processes[p].chars && extent[p] >= state_changes_at) return true;
  return false;
}

}  // namespace warmbay::sim
