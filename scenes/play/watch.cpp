// The rules of the events; their numbers are in player_limits.hpp, their sentences in the text catalogue.

#include "scenes/play/watch.hpp"

#include "scenes/play/event_sentence.hpp"
#include "scenes/play/player_limits.hpp"

namespace warmbay::scenes {

namespace {

/// The value of an event in the contract's unit.
double value_of(const sim::Occurrence& one) {
  switch (one.what) {
    case sim::Happening::softening:
    case sim::Happening::charring:
    case sim::Happening::ignition_risk:
      return sim::celsius_from_kelvin(one.value);
    case sim::Happening::melt_back:
      return one.value * 1e6;  // cm3
    case sim::Happening::smoke:
      return one.value * 1e6;  // mg/s
    case sim::Happening::short_circuit:
    case sim::Happening::open_circuit:
      return one.value * 1e3;  // mm
    case sim::Happening::trip:
      break;
  }
  return one.value;  // A
}

}  // namespace

std::string_view event_name(sim::Happening what) {
  switch (what) {
    case sim::Happening::softening:
      return "softening";
    case sim::Happening::melt_back:
      return "melt-back";
    case sim::Happening::smoke:
      return "smoke";
    case sim::Happening::charring:
      return "char";
    case sim::Happening::short_circuit:
      return "short";
    case sim::Happening::open_circuit:
      return "open";
    case sim::Happening::trip:
      return "trip";
    case sim::Happening::ignition_risk:
      break;
  }
  return "ignition-risk";
}

Watch::Watch(std::shared_ptr<const sim::Wall> wall, std::shared_ptr<const Text> text)
    : wall_(std::move(wall)), text_(std::move(text)), over_told_(wall_->cables.size(), false) {}

void Watch::conditions_changed(double time_s, const sim::Conditions& conditions) {
  changed_s_ = time_s;
  device_ = conditions.device;
  settled_told_ = false;
}

std::vector<Event> Watch::look(const sim::Reading& reading, double fastest_k_s,
                               const std::vector<sim::Occurrence>& occurrences) {
  std::vector<Event> seen;
  for (; told_ < occurrences.size(); ++told_) seen.push_back(event_of(occurrences[told_]));
  look_at_ratings(reading, seen);
  look_for_rest(reading, fastest_k_s, seen);
  return seen;
}

Event Watch::event_of(const sim::Occurrence& one) const {
  Event event{one.time_s, std::string(event_name(one.what)), one.material, value_of(one), ""};
  if (one.cable >= 0) event.where = wall_->cables[static_cast<std::size_t>(one.cable)].name;
  if (one.what == sim::Happening::trip && device_ >= 0)
    event.where = wall_->devices[static_cast<std::size_t>(device_)].name;
  return said(std::move(event));
}

Event Watch::said(Event event) const {
  if (text_) event.text = event_sentence(*text_, event, file_units());
  return event;
}

void Watch::look_at_ratings(const sim::Reading& reading, std::vector<Event>& seen) {
  using namespace player_limits;
  for (std::size_t i = 0; i < reading.cables.size(); ++i) {
    const sim::Cable& cable = wall_->cables[i];
    const sim::CableReading& now = reading.cables[i];
    if (now.hottest_k < cable.type.rated_k - over_rating_rearm_k) over_told_[i] = false;
    if (over_told_[i] || now.hottest_k <= cable.type.rated_k) continue;
    over_told_[i] = true;
    seen.push_back(said({reading.time_s, "over-rating", cable.name, sim::celsius_from_kelvin(now.hottest_k), "",
                         now.hottest_at_m, cable.type.rated_k}));
  }
}

void Watch::look_for_rest(const sim::Reading& reading, double fastest_k_s, std::vector<Event>& seen) {
  using namespace player_limits;
  const bool long_enough = reading.time_s - changed_s_ >= settled_earliest_s - same_moment_s;
  if (settled_told_ || !long_enough || fastest_k_s > settled_k_s) return;
  settled_told_ = true;
  seen.push_back(said({reading.time_s, "settled", "", fastest_k_s * 3600.0, ""}));
}

}  // namespace warmbay::scenes
