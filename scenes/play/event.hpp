#pragma once
// One thing that happened while a scene was played: one line of events.csv.

#include <string>

namespace warmbay::scenes {

/// event: exactly a name of the contract ("step", "settled", "over-rating", "melt-back", ...).
struct Event {
  double time_s = 0.0;  // the end of the internal step in which it was first seen
  std::string event;
  std::string where;  // a step's, cable's, material's or device's name; empty: the whole wall
  /// step: its number from 1; settled: the fastest change, K/h; over-rating, softening, char, ignition-risk: °C;
  /// melt-back: the void so far, cm³; smoke: mg/s; short, open: mm along the route; trip: A.
  double value = 0.0;
  std::string text;      // in degrees C and mm, as everything in files
  double along_m = 0.0;  // over-rating: where on the route, m
  double rated_k = 0.0;  // over-rating: what the cable is rated for, K
};

}  // namespace warmbay::scenes
