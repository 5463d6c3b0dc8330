#pragma once
// What heat does to materials, as data: which processes, how fast, how much heat they take, how much smoke they give.
// Plain descriptions, read from assets/damage.toml; none of their numbers stands in code.

#include <optional>
#include <string>
#include <vector>

#include "sim/curve.hpp"

namespace warmbay::sim {

/// One irreversible change of a material. Its extent runs from 0 to 1 and never back.
struct Process {
  enum class Kind {
    arrhenius,  // d extent / dt = rate_1_s exp(-energy / R T) (1 - extent), above from_k
    band,       // extent = how far the highest temperature so far lies between from_k and to_k: water leaving, melting
  };
  std::string name;
  Kind kind = Kind::arrhenius;
  double rate_1_s = 0.0;
  double energy_j_mol = 0.0;
  double from_k = 0.0;
  double to_k = 0.0;         // of a band
  double lost = 0.0;         // share of the material's first mass that leaves as gas when complete, 1
  double heat_j_kg = 0.0;    // taken up per kg of the material's first mass when complete
  double smoke_kg_kg = 0.0;  // smoke per kg that leaves
  bool chars = false;        // half of it done is 'char'
  friend bool operator==(const Process&, const Process&) = default;
};

/// A thermoplastic foam gives way: its cells collapse at the Arrhenius rate
/// exp(-energy / R (1 / T - 1 / at_k)) / time_s, and its plastic draws back.
struct Collapse {
  double time_s = 0.0;  // at at_k 63 % of the cells have collapsed after it
  double at_k = 0.0;
  double energy_j_mol = 0.0;
  double from_k = 0.0;     // nothing happens below
  double heat_j_kg = 0.0;  // taken up per kg of foam
  double solid_density_kg_m3 = 0.0;
  double solid_conductivity_w_mk = 0.0;
  friend bool operator==(const Collapse&, const Collapse&) = default;
};

/// Insulation between two conductors creeps under pressure. Of its life it uses up, per second, pressure / life_s
/// [2^((T - at_k) / halves_every_k) - 2^((yields_k - at_k) / halves_every_k)], and nothing below yields_k; the pressure
/// is 1, staple or pinched. yields_k: where the compound of a cable of that rating begins to give way.
struct Creep {
  double life_s = 0.0;
  double at_k = 0.0;
  double halves_every_k = 0.0;
  double staple = 1.0;
  double pinched = 1.0;
  Curve yields_k = 0.0;  // over the cable's rated temperature
  friend bool operator==(const Creep&, const Creep&) = default;
};

/// Everything that heat does to one material.
struct Damage {
  std::optional<double> softens_k;
  std::optional<double> ignites_k;  // piloted ignition of its surface
  std::vector<Process> processes;   // at most damage_processes of them
  std::optional<Collapse> collapse;
  std::optional<Creep> creep;
  std::optional<Curve> changed_conductivity_w_mk;  // once the process changed_by is complete (dried, charred)
  int changed_by = -1;                             // index into processes
  friend bool operator==(const Damage&, const Damage&) = default;
};
inline constexpr int damage_processes = 3;
/// The extent from which on what a process makes of a voxel is its state: dried, charred, 1. Half of it is done.
inline constexpr float state_changes_at = 0.5F;

/// How smoke is seen, and when a smoke alarm in the room would have sounded.
struct SmokeRules {
  double visible_kg_s = 0.0;
  double extinction_m2_kg = 0.0;  // K = extinction * mass / room
  double room_m3 = 0.0;
  double reflecting_sign = 3.0;  // S = 3 / K
  double lit_sign = 8.0;         // S = 8 / K
  double alarm_db_m = 0.0;       // obscuration at which the alarm sounds
  friend bool operator==(const SmokeRules&, const SmokeRules&) = default;
};

/// How the thermocouples behave that sit on a cable.
struct InstrumentRules {
  double lag_s = 0.0;              // time constant of the reading
  double slips_at_void_m2 = 0.0;   // it slips once so much foam has drawn back beside it, in the cable's cross-section
  double slipped_air_share = 0.0;  // and then reads that share of the void's far side, the rest of the sheath
  friend bool operator==(const InstrumentRules&, const InstrumentRules&) = default;
};

struct DamageRules {
  SmokeRules smoke;
  InstrumentRules instruments;
  double staple_m = 0.0;        // length of cable that a staple or a pinch presses on
  double melting_copper_k = 0;  // a conductor that hot opens
  friend bool operator==(const DamageRules&, const DamageRules&) = default;
};

}  // namespace warmbay::sim
