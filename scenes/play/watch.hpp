#pragma once
// Looks at each reading as it comes and says what happened: the wall settled, a conductor passed its rating, something
// gave way.

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/play/event.hpp"
#include "scenes/text/text.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::scenes {

/// The contract's name of a happening: "melt-back", "ignition-risk", ...
[[nodiscard]] std::string_view event_name(sim::Happening what);

/// A small value: copied into checkpoints and back.
class Watch {
 public:
  Watch() = default;
  Watch(std::shared_ptr<const sim::Wall> wall, std::shared_ptr<const Text> text);

  /// The conditions changed at time_s (or the device was closed again): settling is awaited afresh.
  void conditions_changed(double time_s, const sim::Conditions& conditions);
  /// What happened up to this reading, in the order of its times. fastest_k_s: the fastest change anywhere in the wall
  /// and its copper, K/s. occurrences: all that the bench has told so far; those not yet seen become events.
  [[nodiscard]] std::vector<Event> look(const sim::Reading& reading, double fastest_k_s,
                                        const std::vector<sim::Occurrence>& occurrences);

 private:
  [[nodiscard]] Event event_of(const sim::Occurrence& one) const;
  /// With its sentence, if there is a catalogue.
  [[nodiscard]] Event said(Event event) const;
  void look_at_ratings(const sim::Reading& reading, std::vector<Event>& seen);
  void look_for_rest(const sim::Reading& reading, double fastest_k_s, std::vector<Event>& seen);

  std::shared_ptr<const sim::Wall> wall_;
  std::shared_ptr<const Text> text_;
  double changed_s_ = 0.0;
  int device_ = -1;
  bool settled_told_ = false;
  std::vector<bool> over_told_;  // per cable
  std::size_t told_ = 0;         // of the bench's occurrences
};

}  // namespace warmbay::scenes
