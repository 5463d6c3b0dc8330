// Insulation is taken to be halfway between conductor and sheath for what it gives off, and as hot as the conductor
// where it is squeezed between two of them. Limits: the plastics stay where they are (their loss changes capacities,
// not the cross-section's conductance); a short has no arc; wear adds up over temperatures (Palmgren-Miner).

#include "sim/damage/cable_damage.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/damage/creep.hpp"
#include "sim/instrument.hpp"
#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

/// The sum, whatever the order that the values come in.
double sum_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  double sum = 0.0;
  for (const double value : values) sum += value;
  return sum;
}

}  // namespace

CablesDamage::CablesDamage(Conduction& wall) : wall_(wall) {
  auto plastic = [&](const Material& material, double kg_m) {
    Plastic of{std::nullopt, kg_m, material.heat_capacity_j_kgk};
    if (material.damage) of.kinetics.emplace(*material.damage);
    possible_ = possible_ || material.damage;
    return of;
  };
  for (const CopperLine& line : wall.copper().lines) {
    const Cable& cable = wall.wall().cables[static_cast<std::size_t>(line.cable)];
    OfLine of;
    of.insulation = plastic(cable.type.insulation, line.section.insulation_kg_m);
    of.sheath = plastic(cable.type.sheath, line.section.sheath_kg_m);
    const double half_m = 0.5 * wall.wall().damage.staple_m;
    const Damage* damage = cable.type.insulation.damage.get();
    for (std::size_t n = 0; n < line.length_m.size(); ++n) {
      const bool pressed = std::abs(line.along_m[n] - cable.squeeze_at_m) <= half_m + 0.5 * line.length_m[n];
      of.pressure.push_back(pressed && damage && damage->creep ? pressure_of(*damage->creep, cable.squeeze) : 1.0);
    }
    for (const SheathLink& link : line.links) of.sound_j_k.push_back(wall.sound_capacity_j_k(link.voxel));
    lines_.push_back(std::move(of));
  }
  find_shared();
}

std::vector<CableDamage> CablesDamage::sound() const {
  std::vector<CableDamage> cables;
  for (const CopperLine& line : wall_.copper().lines) {
    CableDamage cable;
    const auto nodes = static_cast<std::size_t>(line.nodes());
    cable.insulation.resize(nodes);
    cable.sheath.resize(nodes);
    cable.worn.assign(nodes, 0.0);
    cables.push_back(std::move(cable));
  }
  return cables;
}

/// Voxels that more than one line is coupled to: cables that cross, or several thin ones in one coarse voxel.
void CablesDamage::find_shared() {
  std::map<std::size_t, std::vector<Sharer>> by;
  for (std::size_t l = 0; l < lines_.size(); ++l)
    for (const SheathLink& link : wall_.copper().lines[l].links)
      by[link.voxel].push_back({l, static_cast<std::size_t>(link.node), link.share});
  for (auto& [voxel, sharers] : by)
    if (sharers.size() > 1) shared_.push_back({voxel, std::move(sharers), {}});
}

CablesDamage::Shared* CablesDamage::shared_at(std::size_t voxel) {
  const auto found = std::lower_bound(shared_.begin(), shared_.end(), voxel,
                                      [](const Shared& one, std::size_t wanted) { return one.voxel < wanted; });
  return found != shared_.end() && found->voxel == voxel ? &*found : nullptr;
}

/// Heat capacity of the plastics that have left a stretch, J/K.
double CablesDamage::gone_j_k(std::size_t l, std::size_t n, const DamageState& state) const {
  auto gone_j_mk = [](const Plastic& plastic, const PlasticDamage& damage) {
    return plastic.kinetics ? plastic.kg_m * plastic.specific_j_kgk * plastic.kinetics->lost(damage.extent) : 0.0;
  };
  const CableDamage& cable = state.cables[l];
  return wall_.copper().lines[l].length_m[n] *
         (gone_j_mk(lines_[l].insulation, cable.insulation[n]) + gone_j_mk(lines_[l].sheath, cable.sheath[n]));
}

/// A voxel is painted with the capacity of one cable even where it belongs to several. So it loses the share of that
/// which all its cables together have lost of theirs: with their sum in J/K it could end below nothing.
double CablesDamage::shared_capacity_j_k(const Shared& shared, const DamageState& state) const {
  std::vector<double> gone, sound;
  for (const Sharer& one : shared.by) {
    const CopperLine& line = wall_.copper().lines[one.line];
    gone.push_back(one.share * gone_j_k(one.line, one.node, state));
    sound.push_back(one.share * line.length_m[one.node] * line.section.sheath_capacity_j_mk);
  }
  return wall_.sound_capacity_j_k(shared.voxel) * (1.0 - sum_of(std::move(gone)) / sum_of(std::move(sound)));
}

void CablesDamage::set_capacities(std::size_t l, std::size_t n, const DamageState& state) {
  const CopperLine& line = wall_.copper().lines[l];
  const double gone = gone_j_k(l, n, state);
  for (int k = line.first_link[n]; k < line.first_link[n + 1]; ++k) {
    const SheathLink& link = line.links[static_cast<std::size_t>(k)];
    const Shared* shared = shared_at(link.voxel);
    wall_.set_capacity_j_k(link.voxel, shared ? shared_capacity_j_k(*shared, state)
                                              : lines_[l].sound_j_k[static_cast<std::size_t>(k)] - link.share * gone);
  }
}

void CablesDamage::step_plastic(std::size_t l, std::size_t n, const Plastic& plastic, PlasticDamage& damage,
                                double at_k, HeatState& heat, double dt_s, DamageState& state) {
  if (!plastic.kinetics || at_k < plastic.kinetics->quiet_below_k()) return;
  const CopperLine& line = wall_.copper().lines[l];
  const int first = line.first_link[n], last = line.first_link[n + 1];
  double own_j_k = 0.0, temperature_k = at_k;
  for (int k = first; k < last; ++k) own_j_k += wall_.capacity()[line.links[static_cast<std::size_t>(k)].voxel];
  const double capacity_j_k = first < last ? own_j_k : line.capacity_j_k[n];
  const Kinetics::Change change =
      plastic.kinetics->advance(damage.extent, plastic.kg_m * line.length_m[n], capacity_j_k, temperature_k, dt_s);
  state.book(change, dt_s);
  const double colder_k = change.heat_j / capacity_j_k;
  if (first == last) heat.copper_rise_k[l][n] -= colder_k;
  for (int k = first; k < last; ++k) {
    const std::size_t voxel = line.links[static_cast<std::size_t>(k)].voxel;
    if (Shared* shared = shared_at(voxel))
      shared->colder_k.push_back(colder_k);
    else
      heat.rise_k[voxel] -= static_cast<float>(colder_k);
  }
}

/// Fumes and heat taken up, of all cables from the temperatures and capacities before any of them.
void CablesDamage::step_plastics(HeatState& heat, const std::vector<std::vector<double>>& sheath_k, double dt_s,
                                 DamageState& state) {
  struct Stretch {
    std::size_t line, node;
  };
  std::vector<Stretch> lighter;
  for (std::size_t l = 0; l < lines_.size(); ++l) {
    CableDamage& cable = state.cables[l];
    for (std::size_t n = 0; n < cable.worn.size(); ++n) {
      const double conductor_k = datum_k + heat.copper_rise_k[l][n], outer_k = datum_k + sheath_k[l][n];
      const double gas_before_kg = state.gas_kg;
      step_plastic(l, n, lines_[l].insulation, cable.insulation[n], 0.5 * (conductor_k + outer_k), heat, dt_s, state);
      step_plastic(l, n, lines_[l].sheath, cable.sheath[n], outer_k, heat, dt_s, state);
      if (state.gas_kg != gas_before_kg) lighter.push_back({l, n});
    }
  }
  for (Shared& shared : shared_) {
    heat.rise_k[shared.voxel] -= static_cast<float>(sum_of(shared.colder_k));
    shared.colder_k.clear();
  }
  for (const Stretch& one : lighter) {
    const CopperLine& line = wall_.copper().lines[one.line];
    auto stored_j = [&] {
      double sum_j = 0.0;
      for (int k = line.first_link[one.node]; k < line.first_link[one.node + 1]; ++k) {
        const std::size_t v = line.links[static_cast<std::size_t>(k)].voxel;
        sum_j += static_cast<double>(wall_.capacity()[v]) * heat.rise_k[v];
      }
      return sum_j;
    };
    const double before_j = stored_j();
    set_capacities(one.line, one.node, state);
    state.with_gas_j += before_j - stored_j();
  }
}

void CablesDamage::step(HeatState& heat, double dt_s, double time_s, DamageState& state,
                        std::vector<Occurrence>& seen) {
  std::vector<std::vector<double>> sheath_k;
  for (const CopperLine& line : wall_.copper().lines) sheath_k.push_back(sheath_rise_k(line, heat.rise_k));
  step_plastics(heat, sheath_k, dt_s, state);
  for (std::size_t l = 0; l < lines_.size(); ++l) {
    wear(l, heat.copper_rise_k[l], dt_s, time_s, state, seen);
    tell(l, heat, sheath_k[l], time_s, state, seen);
  }
}

void CablesDamage::wear(std::size_t l, const std::vector<double>& rise_k, double dt_s, double time_s,
                        DamageState& state, std::vector<Occurrence>& seen) {
  const CopperLine& line = wall_.copper().lines[l];
  const Cable& described = wall_.wall().cables[static_cast<std::size_t>(line.cable)];
  const Damage* damage = described.type.insulation.damage.get();
  CableDamage& cable = state.cables[l];
  if (damage && damage->creep && described.type.loaded > 1) {
    const double yields_at_k = damage->creep->yields_k.at(described.type.rated_k);
    int weakest = -1;
    for (std::size_t n = 0; n < cable.worn.size(); ++n) {
      cable.worn[n] += dt_s * wear_1_s(*damage->creep, lines_[l].pressure[n], yields_at_k, datum_k + rise_k[n]);
      if (cable.worn[n] >= 1.0 && (weakest < 0 || cable.worn[n] > cable.worn[static_cast<std::size_t>(weakest)]) &&
          (cable.short_node < 0 || static_cast<int>(n) < cable.short_node))
        weakest = static_cast<int>(n);
    }
    if (weakest >= 0) {
      const double at_m = line.along_m[static_cast<std::size_t>(weakest)];
      const bool first = cable.short_node < 0;
      cable.short_node = weakest;
      if (first || at_m <= limits::short_told_again * cable.told_short_m) {
        seen.push_back({Happening::short_circuit, time_s, line.cable, {}, at_m, route_point(described, at_m), at_m});
        cable.told_short_m = at_m;
      }
    }
  }
  for (std::size_t n = 0; n < rise_k.size(); ++n) {
    if (cable.open_node >= 0 || wall_.wall().damage.melting_copper_k <= 0.0) break;
    if (datum_k + rise_k[n] < wall_.wall().damage.melting_copper_k) continue;
    cable.open_node = static_cast<int>(n);
    const double at_m = line.along_m[n];
    seen.push_back({Happening::open_circuit, time_s, line.cable, {}, at_m, route_point(described, at_m), at_m});
  }
}

void CablesDamage::tell(std::size_t l, const HeatState& heat, const std::vector<double>& sheath_k, double time_s,
                        DamageState& state, std::vector<Occurrence>& seen) const {
  const CopperLine& line = wall_.copper().lines[l];
  const CableDamage& cable = state.cables[l];
  const Cable& described = wall_.wall().cables[static_cast<std::size_t>(line.cable)];
  std::uint8_t& told = state.told_cable[l];
  auto look = [&](const Plastic& plastic, const std::vector<PlasticDamage>& damage, std::size_t n, double at_k) {
    if (!plastic.kinetics) return;
    auto say = [&](Happening what) {
      if (tell_once(told, what))
        seen.push_back({what, time_s, line.cable, {}, line.along_m[n], route_point(described, line.along_m[n]), at_k});
    };
    const Damage& rules = plastic.kinetics->rules();
    if (rules.softens_k && at_k >= *rules.softens_k) say(Happening::softening);
    if (plastic.kinetics->charred(damage[n].extent)) say(Happening::charring);
    if (rules.ignites_k && &plastic == &lines_[l].sheath && at_k >= *rules.ignites_k) say(Happening::ignition_risk);
  };
  // Only the hottest node is asked, of the conductor for the insulation and of the sheath for the sheath: what has not
  // happened there has happened nowhere, but for a node that was hotter before. Char there is told once it is the
  // hottest again.
  const auto hottest = static_cast<std::size_t>(
      std::max_element(heat.copper_rise_k[l].begin(), heat.copper_rise_k[l].end()) - heat.copper_rise_k[l].begin());
  look(lines_[l].insulation, cable.insulation, hottest, datum_k + heat.copper_rise_k[l][hottest]);
  const auto outer = static_cast<std::size_t>(std::max_element(sheath_k.begin(), sheath_k.end()) - sheath_k.begin());
  look(lines_[l].sheath, cable.sheath, outer, datum_k + sheath_k[outer]);
}

void CablesDamage::adopt(const DamageState& state) {
  for (std::size_t l = 0; l < lines_.size(); ++l)
    for (std::size_t n = 0; n < state.cables[l].worn.size(); ++n) set_capacities(l, n, state);
}

double CablesDamage::plastics_kg(const DamageState& state) const {
  double sum_kg = 0.0;
  for (std::size_t l = 0; l < lines_.size(); ++l)
    for (std::size_t n = 0; n < state.cables[l].worn.size(); ++n) {
      auto left = [&](const Plastic& plastic, const PlasticDamage& damage) {
        return plastic.kg_m * (plastic.kinetics ? 1.0 - plastic.kinetics->lost(damage.extent) : 1.0);
      };
      sum_kg += wall_.copper().lines[l].length_m[n] * (left(lines_[l].insulation, state.cables[l].insulation[n]) +
                                                       left(lines_[l].sheath, state.cables[l].sheath[n]));
    }
  return sum_kg;
}

}  // namespace warmbay::sim
