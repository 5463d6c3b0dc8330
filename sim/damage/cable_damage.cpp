// Insulation is taken to be halfway between conductor and sheath for what it gives off, and as hot as the conductor
// where it is squeezed between two of them. Limits: the plastics stay where they are (their loss changes capacities,
// not the cross-section's conductance); a short has no arc; wear adds up over temperatures (Palmgren-Miner).

#include "sim/damage/cable_damage.hpp"

#include <algorithm>
#include <cmath>

#include "sim/instrument.hpp"
#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

double pressure_of(const Creep& creep, Squeeze squeeze) {
  return squeeze == Squeeze::none ? 1.0 : squeeze == Squeeze::staple ? creep.staple : creep.pinched;
}

/// Life used up per second.
double wear_1_s(const Creep& creep, double pressure, double temperature_k) {
  return pressure / creep.life_s * std::exp2((temperature_k - creep.at_k) / creep.halves_every_k);
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
    lines_.push_back(std::move(of));
  }
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

void CablesDamage::set_capacities(std::size_t l, std::size_t n, const CableDamage& cable) {
  const CopperLine& line = wall_.copper().lines[l];
  const OfLine& of = lines_[l];
  auto gone_j_mk = [](const Plastic& plastic, const PlasticDamage& damage) {
    return plastic.kinetics ? plastic.kg_m * plastic.specific_j_kgk * plastic.kinetics->lost(damage.extent) : 0.0;
  };
  const double gone_j_k =
      line.length_m[n] * (gone_j_mk(of.insulation, cable.insulation[n]) + gone_j_mk(of.sheath, cable.sheath[n]));
  for (int k = line.first_link[n]; k < line.first_link[n + 1]; ++k) {
    const SheathLink& link = line.links[static_cast<std::size_t>(k)];
    wall_.set_capacity_j_k(link.voxel, wall_.sound_capacity_j_k(link.voxel) - link.share * gone_j_k);
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
  for (int k = first; k < last; ++k)
    heat.rise_k[line.links[static_cast<std::size_t>(k)].voxel] -= static_cast<float>(colder_k);
}

void CablesDamage::step(HeatState& heat, double dt_s, double time_s, DamageState& state,
                        std::vector<Occurrence>& seen) {
  for (std::size_t l = 0; l < lines_.size(); ++l) {
    const CopperLine& line = wall_.copper().lines[l];
    CableDamage& cable = state.cables[l];
    const std::vector<double> sheath_k = sheath_rise_k(line, heat.rise_k);
    for (std::size_t n = 0; n < cable.worn.size(); ++n) {
      const double conductor_k = datum_k + heat.copper_rise_k[l][n], outer_k = datum_k + sheath_k[n];
      const double gas_before_kg = state.gas_kg;
      step_plastic(l, n, lines_[l].insulation, cable.insulation[n], 0.5 * (conductor_k + outer_k), heat, dt_s, state);
      step_plastic(l, n, lines_[l].sheath, cable.sheath[n], outer_k, heat, dt_s, state);
      if (state.gas_kg == gas_before_kg) continue;
      auto stored_j = [&] {
        double sum_j = 0.0;
        for (int k = line.first_link[n]; k < line.first_link[n + 1]; ++k) {
          const std::size_t v = line.links[static_cast<std::size_t>(k)].voxel;
          sum_j += static_cast<double>(wall_.capacity()[v]) * heat.rise_k[v];
        }
        return sum_j;
      };
      const double before_j = stored_j();
      set_capacities(l, n, cable);
      state.with_gas_j += before_j - stored_j();
    }
    wear(l, heat.copper_rise_k[l], dt_s, time_s, state, seen);
    tell(l, heat, sheath_k, time_s, state, seen);
  }
}

void CablesDamage::wear(std::size_t l, const std::vector<double>& rise_k, double dt_s, double time_s,
                        DamageState& state, std::vector<Occurrence>& seen) {
  const CopperLine& line = wall_.copper().lines[l];
  const Cable& described = wall_.wall().cables[static_cast<std::size_t>(line.cable)];
  const Damage* damage = described.type.insulation.damage.get();
  CableDamage& cable = state.cables[l];
  if (damage && damage->creep && described.type.loaded > 1) {
    int weakest = -1;
    for (std::size_t n = 0; n < cable.worn.size(); ++n) {
      cable.worn[n] += dt_s * wear_1_s(*damage->creep, lines_[l].pressure[n], datum_k + rise_k[n]);
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
  // From the hottest node on: the first to be told is the one where it is worst.
  const auto hottest = static_cast<std::size_t>(
      std::max_element(heat.copper_rise_k[l].begin(), heat.copper_rise_k[l].end()) - heat.copper_rise_k[l].begin());
  look(lines_[l].insulation, cable.insulation, hottest, datum_k + heat.copper_rise_k[l][hottest]);
  const auto outer = static_cast<std::size_t>(std::max_element(sheath_k.begin(), sheath_k.end()) - sheath_k.begin());
  look(lines_[l].sheath, cable.sheath, outer, datum_k + sheath_k[outer]);
}

void CablesDamage::adopt(const DamageState& state) {
  for (std::size_t l = 0; l < lines_.size(); ++l)
    for (std::size_t n = 0; n < state.cables[l].worn.size(); ++n) set_capacities(l, n, state.cables[l]);
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
