// The rules of the events; their numbers are in player_limits.hpp, their sentences in the text catalogue.

#include "scenes/watch.hpp"

#include "scenes/player_limits.hpp"
#include "scenes/text_fill.hpp"

namespace warmbay::scenes {

Watch::Watch(std::shared_ptr<const sim::Wall> wall, std::shared_ptr<const Text> text)
    : wall_(std::move(wall)), text_(std::move(text)), over_told_(wall_->cables.size(), false) {}

void Watch::conditions_changed(double time_s) {
  changed_s_ = time_s;
  settled_told_ = false;
}

std::vector<Event> Watch::look(const sim::Reading& reading, double fastest_k_s) {
  using namespace player_limits;
  std::vector<Event> seen;
  for (std::size_t i = 0; i < reading.cables.size(); ++i) {
    const sim::Cable& cable = wall_->cables[i];
    const sim::CableReading& now = reading.cables[i];
    if (now.hottest_k < cable.type.rated_k - over_rating_rearm_k) over_told_[i] = false;
    if (over_told_[i] || now.hottest_k <= cable.type.rated_k) continue;
    over_told_[i] = true;
    const double celsius = sim::celsius_from_kelvin(now.hottest_k);
    const std::string text = !text_ ? ""
                                    : fill((*text_)("event.over-rating"), fmt::arg("celsius", celsius),
                                           fmt::arg("rated", sim::celsius_from_kelvin(cable.type.rated_k)),
                                           fmt::arg("at_mm", now.hottest_at_m * 1000.0));
    seen.push_back({reading.time_s, "over-rating", cable.name, celsius, text});
  }
  const bool long_enough = reading.time_s - changed_s_ >= settled_earliest_s - same_moment_s;
  if (!settled_told_ && long_enough && fastest_k_s <= settled_k_s) {
    settled_told_ = true;
    const double fastest_k_h = fastest_k_s * 3600.0;
    const std::string text = !text_ ? "" : fill((*text_)("event.settled"), fmt::arg("fastest_k_h", fastest_k_h));
    seen.push_back({reading.time_s, "settled", "", fastest_k_h, text});
  }
  return seen;
}

}  // namespace warmbay::scenes
