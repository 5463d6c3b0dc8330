#pragma once
// What a person may change while an experiment runs: one small type per control. Panels and steps emit them, only the
// player applies them, so undo, saving and lessons all work on the same list.

#include <string>
#include <variant>

#include "sim/wall.hpp"

namespace warmbay::scenes {

struct SetCurrent {
  double current_a = 0.0;
};
struct SetSurroundings {
  std::string name;
  double temperature_k = 0.0;
};

struct SetSupply {
  sim::SupplyKind kind = sim::SupplyKind::bench;
};
struct SetDevice {
  std::string name;  // empty: none
};
struct SetTripTime {
  sim::TripTime where = sim::TripTime::typical;
};
/// Closes the protective device again after it has opened.
struct ResetDevice {};

using Change = std::variant<SetCurrent, SetSurroundings, SetSupply, SetDevice, SetTripTime, ResetDevice>;

struct TimedChange {
  double time_s = 0.0;
  Change change;
};

}  // namespace warmbay::scenes
