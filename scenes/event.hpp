#pragma once
// One thing that happened while a scene was played: one line of events.csv.

#include <string>

namespace warmbay::scenes {

/// event: exactly a name of the contract ("step", "settled", "over-rating", ...).
struct Event {
  double time_s = 0.0;  // the end of the internal step in which it was first seen
  std::string event;
  std::string where;   // a cable's, thermocouple's or step's name; empty: the whole wall
  double value = 0.0;  // step: its number from 1; settled: the fastest change, K/h; over-rating: the conductor, °C
  std::string text;
};

}  // namespace warmbay::scenes
