#pragma once
// What a person may change while an experiment runs: one small type per control. Panels and steps emit them, only the
// player applies them, so undo, saving and lessons all work on the same list.

#include <string>
#include <variant>

namespace warmbay::scenes {

struct SetCurrent {
  double current_a = 0.0;
};
struct SetSurroundings {
  std::string name;
  double temperature_k = 0.0;
};

using Change = std::variant<SetCurrent, SetSurroundings>;

struct TimedChange {
  double time_s = 0.0;
  Change change;
};

}  // namespace warmbay::scenes
