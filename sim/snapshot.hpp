#pragma once
// What the instruments say at one moment, and the whole wall at one moment. Made by the bench (or the settled solver),
// handed over by shared_ptr, never changed afterwards.

#include <memory>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::sim {

struct CableReading {
  double hottest_k = 0.0;     // hottest conductor point
  double hottest_at_m = 0.0;  // where along the route
  double drop_v = 0.0;        // along the loaded conductors, out and back
  double power_w = 0.0;
};

struct SurroundingsReading {
  double heat_w = 0.0;  // out of the wall into these surroundings
  double hottest_surface_k = 0.0;
  double coldest_surface_k = 0.0;
  double area_m2 = 0.0;  // 0 if no surface touches them
};

struct Reading {
  double time_s = 0.0;
  double current_a = 0.0;
  double voltage_v = 0.0;  // over all cables in series
  double power_w = 0.0;
  std::vector<double> thermocouple_k;             // one per Wall::thermocouples
  std::vector<CableReading> cables;               // one per Wall::cables
  std::vector<SurroundingsReading> surroundings;  // one per Wall::surroundings
};

/// One cable as a line: node i sits at along_m[i] from the start of its route.
struct CableLine {
  std::vector<float> along_m;
  std::vector<float> conductor_k;
  std::vector<float> sheath_k;  // mean over the sheath's voxels beside the node
};

struct Snapshot {
  std::shared_ptr<const Wall> wall;
  Conditions conditions;
  Reading reading;
  std::vector<float> temperature_k;  // wall->grid.count() of them, x fastest; surroundings voxels hold their air's
  std::vector<CableLine> lines;      // one per Wall::cables
};

}  // namespace warmbay::sim
