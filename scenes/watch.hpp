#pragma once
// Looks at each reading as it comes and says what happened: the wall settled, a conductor passed its rating.

#include <memory>
#include <string>
#include <vector>

#include "scenes/event.hpp"
#include "scenes/text.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// A small value: copied into checkpoints and back.
class Watch {
 public:
  Watch() = default;
  Watch(std::shared_ptr<const sim::Wall> wall, std::shared_ptr<const Text> text);

  /// The conditions changed at time_s: settling is awaited afresh.
  void conditions_changed(double time_s);
  /// What happened up to this reading. fastest_k_s: the fastest change anywhere in the wall and its copper, K/s.
  [[nodiscard]] std::vector<Event> look(const sim::Reading& reading, double fastest_k_s);

 private:
  std::shared_ptr<const sim::Wall> wall_;
  std::shared_ptr<const Text> text_;
  double changed_s_ = 0.0;
  bool settled_told_ = false;
  std::vector<bool> over_told_;  // per cable
};

}  // namespace warmbay::scenes
