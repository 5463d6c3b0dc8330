#pragma once
// What the instruments say at one moment, and the whole wall at one moment. Made by the bench (or the settled solver),
// handed over by shared_ptr, never changed afterwards.

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::sim {

struct CableReading {
  double hottest_k = 0.0;     // hottest conductor point
  double hottest_at_m = 0.0;  // where along the route
  double drop_v = 0.0;        // along the loaded conductors, out and back, as far as current flows
  double power_w = 0.0;
  double current_a = 0.0;  // in it, up to a short if there is one
  double worn = 0.0;  // share of the insulation's life between its conductors that is used up, where most: 1 is a short
};

struct SurroundingsReading {
  double heat_w = 0.0;  // out of the wall into these surroundings
  double hottest_surface_k = 0.0;
  double coldest_surface_k = 0.0;
  double area_m2 = 0.0;  // 0 if no surface touches them
};

/// What has happened to the wall, once each: to every cable, to every material.
enum class Happening : std::uint8_t {
  softening,      // value: the temperature, K
  melt_back,      // value: the void so far, m3
  smoke,          // becomes visible; value: kg/s
  charring,       // value: the temperature, K
  short_circuit,  // conductors touch; value: where along the route, m
  open_circuit,   // a conductor has melted through; value: where along the route, m
  trip,           // the protective device opened; value: the current, A
  ignition_risk,  // a surface is as hot as its material's piloted ignition; value: the temperature, K
};
struct Occurrence {
  Happening what{};
  double time_s = 0.0;
  int cable = -1;        // index into Wall::cables, or -1
  std::string material;  // of the wall, or empty
  double along_m = 0.0;  // of the cable
  Vec3 at_m{};
  double value = 0.0;
};

struct Reading {
  double time_s = 0.0;
  double current_a = 0.0;  // that the supply gives now
  double voltage_v = 0.0;  // over all cables in series
  double power_w = 0.0;
  double smoke_kg_s = 0.0;                        // given off now, and
  double smoke_kg = 0.0;                          // so far
  double void_m3 = 0.0;                           // that foam has left behind
  bool device_open = false;                       // a branch: its protective device has opened
  double device_progress = 0.0;                   // and how far it is on its way there, 0 to 1
  long long mended_steps = 0;                     // steps that had to be done again by the step that cannot fail
  std::vector<double> thermocouple_k;             // one per Wall::thermocouples, as the instrument reads
  std::vector<std::uint8_t> slipped;              // one per Wall::thermocouples: it has slipped from its cable
  std::vector<CableReading> cables;               // one per Wall::cables
  std::vector<SurroundingsReading> surroundings;  // one per Wall::surroundings
};

/// One cable as a line: node i sits at along_m[i] from the start of its route.
struct CableLine {
  std::vector<float> along_m;
  std::vector<float> conductor_k;
  std::vector<float> sheath_k;  // mean over the sheath's voxels beside the node
};

/// What has become of a voxel. Only the last that applies.
enum class VoxelState : std::uint8_t { sound, dried, softened, melt, gone, charred };  // gone: a void now

struct DamageState;  // sim/damage/wall_damage.hpp

struct Snapshot {
  std::shared_ptr<const Wall> wall;
  Conditions conditions;
  Reading reading;
  std::vector<float> temperature_k;  // wall->grid.count() of them, x fastest; surroundings voxels hold their air's
  std::vector<CableLine> lines;      // one per Wall::cables
  std::vector<VoxelState> states;    // as temperature_k; empty: nothing is damaged
  std::shared_ptr<const DamageState> damage;  // for a settled field of the wall as it is now; nullptr: sound
};

}  // namespace warmbay::sim
