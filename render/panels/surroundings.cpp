// The surroundings: how warm it is on either side of the wall, and how much heat goes there.

#include <fmt/format.h>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {
constexpr double coldest_c = -30.0;
constexpr double hottest_c = 70.0;  // an attic under a dark roof in summer is near this (common practice)
}  // namespace

Wishes draw_surroundings(const HeatNow& now, ScreenState& state, Ui& ui) {
  (void)state;
  if (!now.snapshot || !section(ui, "surroundings", ui.say("panel.surroundings"))) return {};
  const sim::Snapshot& snapshot = *now.snapshot;
  Wishes wishes;
  for (std::size_t i = 0; i < snapshot.wall->surroundings.size(); ++i) {
    const std::string& name = snapshot.wall->surroundings[i].name;
    double shown = shown_temperature(ui.units, snapshot.conditions.surroundings_k[i]);
    SliderLook look{shown_temperature(ui.units, sim::kelvin_from_celsius(coldest_c)),
                    shown_temperature(ui.units, sim::kelvin_from_celsius(hottest_c)), 1.0, 1,
                    temperature_symbol(ui.units)};
    if (slider(ui, name.c_str(), name, shown, look).changed) {
      wishes.emplace_back(scenes::Change{scenes::SetSurroundings{name, kelvin_of_shown(ui.units, shown)}});
    }
    const sim::SurroundingsReading& reading = snapshot.reading.surroundings[i];
    text_line(ui, ui.fonts.small, ui.theme.muted,
              ui.say("panel.heat_out", fmt::arg("watts", number_text(reading.heat_w))));
  }
  return wishes;
}

}  // namespace warmbay::render
