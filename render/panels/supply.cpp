// The supply: a bench that holds its current, or mains and a load behind a protective device; what flows, and how far
// the device is on its way to opening.

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"
#include "sim/supply/device.hpp"

namespace warmbay::render {

namespace {

Wishes draw_kind(const sim::Snapshot& snapshot, Ui& ui) {
  Wishes wishes;
  const std::array<std::string, 2> kinds{ui.say("supply.bench"), ui.say("supply.branch")};
  int kind = static_cast<int>(snapshot.conditions.supply);
  if (choose(ui, "kind", kinds, kind))
    wishes.emplace_back(scenes::Change{scenes::SetSupply{static_cast<sim::SupplyKind>(kind)}});
  return wishes;
}

Wishes draw_current(const sim::Snapshot& snapshot, Ui& ui) {
  Wishes wishes;
  const bool branch = snapshot.conditions.supply == sim::SupplyKind::branch;
  double current_a = snapshot.conditions.current_a;
  const SliderLook look{0.0, 100.0, 0.5, 1, "A"};
  if (slider(ui, "current", ui.say(branch ? "supply.load" : "panel.current"), current_a, look).changed)
    wishes.emplace_back(scenes::Change{scenes::SetCurrent{current_a}});
  if (!branch) text_line(ui, ui.fonts.small, ui.theme.muted, ui.say("supply.bench_is"));
  if (branch) {
    text_line(ui, ui.fonts.small, ui.theme.muted,
              ui.say("supply.flows", fmt::arg("amperes", number_text(snapshot.reading.current_a)),
                     fmt::arg("volts", number_text(snapshot.wall->mains.voltage_v))));
  }
  return wishes;
}

/// Which device, and where in its band it lies.
Wishes draw_device_choice(const sim::Snapshot& snapshot, Ui& ui) {
  Wishes wishes;
  std::vector<std::string> names{ui.say("supply.no_device")};
  for (const sim::Device& device : snapshot.wall->devices) names.push_back(device.name);
  int index = snapshot.conditions.device + 1;
  if (pick_from(ui, "device", ui.say("supply.device"), names, index))
    wishes.emplace_back(
        scenes::Change{scenes::SetDevice{index == 0 ? std::string() : names[static_cast<std::size_t>(index)]}});
  if (snapshot.conditions.device < 0) return wishes;
  text_line(ui, ui.fonts.base, ui.theme.text, ui.say("supply.opens_at"));
  const std::array<std::string, 3> places{ui.say("supply.earliest"), ui.say("supply.typical"), ui.say("supply.latest")};
  int place = static_cast<int>(snapshot.conditions.trip_time);
  if (choose(ui, "trip time", places, place))
    wishes.emplace_back(scenes::Change{scenes::SetTripTime{static_cast<sim::TripTime>(place)}});
  return wishes;
}

/// How far it is on its way, and when it gets there if nothing changes.
Wishes draw_device_state(const sim::Snapshot& snapshot, Ui& ui) {
  Wishes wishes;
  const sim::Device& device = snapshot.wall->devices[static_cast<std::size_t>(snapshot.conditions.device)];
  const sim::Reading& reading = snapshot.reading;
  const std::string& word = ui.say(device_word(device, reading.device_open));
  if (reading.device_open) {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float size = ui.fonts.strong->FontSize;
    draw_mark(*ImGui::GetWindowDrawList(), Mark::triangle, {at.x + size / 2, at.y + size / 2}, size / 2, ui.theme.over);
    ImGui::SetCursorScreenPos({at.x + size + ui.px(6), at.y});
    text_line(ui, ui.fonts.strong, ui.theme.over, word);
    if (button(ui, "reset device", ui.say("supply.reset"), ButtonLook::primary))
      wishes.emplace_back(scenes::Change{scenes::ResetDevice{}});
    return wishes;
  }
  const sim::DeviceState state{reading.device_progress, false};
  const double left_s = sim::time_left_s(device, snapshot.conditions.trip_time, reading.current_a, state);
  text_line(ui, ui.fonts.small, ui.theme.muted,
            std::isfinite(left_s)
                ? ui.say("supply.on_its_way", fmt::arg("percent", fmt::format("{:.0f}", 100.0 * state.progress)),
                         fmt::arg("left", clock_text(left_s)))
                : ui.say("supply.holds", fmt::arg("percent", fmt::format("{:.0f}", 100.0 * state.progress))));
  meter(ui, state.progress, state.progress > 0.7 ? ui.theme.over : ui.theme.near);
  return wishes;
}

void draw_cable_lines(const sim::Snapshot& snapshot, Ui& ui) {
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
}

}  // namespace

const char* device_word(const sim::Device& device, bool open) {
  const bool fuse = device.kind == "fuse";
  return open ? (fuse ? "supply.fuse_open" : "supply.breaker_open") : (fuse ? "supply.fuse" : "supply.breaker");
}

Wishes draw_supply(const HeatNow& now, ScreenState& state, Ui& ui) {
  (void)state;
  if (!now.snapshot || !section(ui, "supply", ui.say("panel.supply"))) return {};
  const sim::Snapshot& snapshot = *now.snapshot;
  Wishes wishes = draw_kind(snapshot, ui);
  add(wishes, draw_current(snapshot, ui));
  if (snapshot.conditions.supply == sim::SupplyKind::branch) {
    add(wishes, draw_device_choice(snapshot, ui));
    if (snapshot.conditions.device >= 0) add(wishes, draw_device_state(snapshot, ui));
  }
  draw_cable_lines(snapshot, ui);
  return wishes;
}

}  // namespace warmbay::render
