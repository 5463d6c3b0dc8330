// The supply: how many amperes flow, and what that makes.

#include <fmt/format.h>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

Wishes draw_supply(const HeatNow& now, ScreenState& state, Ui& ui) {
  (void)state;
  if (!now.snapshot || !section(ui, "supply", ui.say("panel.supply"))) return {};
  const sim::Snapshot& snapshot = *now.snapshot;
  double current_a = snapshot.conditions.current_a;
  SliderLook look{0.0, 100.0, 0.5, 1, "A"};
  Wishes wishes;
  if (slider(ui, "current", ui.say("panel.current"), current_a, look).changed) {
    wishes.emplace_back(scenes::Change{scenes::SetCurrent{current_a}});
  }
  for (std::size_t i = 0; i < snapshot.wall->cables.size(); ++i) {
    const sim::Cable& cable = snapshot.wall->cables[i];
    const sim::CableReading& reading = snapshot.reading.cables[i];
    const double length_m = sim::route_length_m(cable);
    text_line(ui, ui.fonts.small, ui.theme.muted,
              ui.say("panel.cable", fmt::arg("cable", cable.name),
                     fmt::arg("size", conductor_text(ui.units, cable.type.conductor_m2)),
                     fmt::arg("volts", number_text(reading.drop_v)), fmt::arg("watts", number_text(reading.power_w)),
                     fmt::arg("per_metre", number_text(length_m > 0.0 ? reading.power_w / length_m : 0.0))));
  }
  return wishes;
}

}  // namespace warmbay::render
