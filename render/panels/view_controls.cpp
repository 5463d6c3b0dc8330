// How the wall is looked at: where it is cut, isotherms, colours.

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

/// How far the wall is cut away from one of its ends, as a slider in the screen's length unit.
void cut(Ui& ui, const char* id, std::string_view label, double& at_m, double least_m, double most_m) {
  double shown = shown_length(ui.units, at_m);
  const bool inches = ui.units.length == LengthUnit::inch;
  const SliderLook look{shown_length(ui.units, least_m), shown_length(ui.units, most_m), inches ? 0.125 : 1.0,
                        inches ? 2 : 0, length_symbol(ui.units)};
  if (slider(ui, id, label, shown, look).changed) at_m = std::clamp(metres_of_shown(ui.units, shown), least_m, most_m);
}

void draw_cuts(Ui& ui, ViewState& view, const sim::Wall& wall) {
  const double width = wall.grid.x_m.back();
  const double height = wall.grid.y_m.back();
  const double depth = wall.grid.z_m.back();
  constexpr double least = 0.01;  // m of the wall that always stay
  bool opened = view.opened.has_value();
  if (toggle(ui, "opened", ui.say("view.opened"), opened)) {
    view.opened = opened ? first_view(wall).opened : std::nullopt;
  }
  if (view.opened) {
    cut(ui, "opened depth", ui.say("view.opened_depth"), view.opened->to_m[2], 0.0, depth);
    cut(ui, "opened from", ui.say("view.opened_from"), view.opened->from_m[1], 0.0, height);
  }
  cut(ui, "left", ui.say("view.cut_left"), view.kept.from_m[0], 0.0, view.kept.to_m[0] - least);
  cut(ui, "right", ui.say("view.cut_right"), view.kept.to_m[0], view.kept.from_m[0] + least, width);
  cut(ui, "bottom", ui.say("view.cut_bottom"), view.kept.from_m[1], 0.0, view.kept.to_m[1] - least);
  cut(ui, "top", ui.say("view.cut_top"), view.kept.to_m[1], view.kept.from_m[1] + least, height);
  cut(ui, "front", ui.say("view.cut_front"), view.kept.from_m[2], 0.0,
      view.kept.to_m[2] - std::min(least, depth * 0.1));
}

}  // namespace

Wishes draw_view_controls(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (!now.snapshot || !section(ui, "view", ui.say("panel.view"))) return {};
  if (button(ui, "reset view", ui.say("view.reset"))) {
    ViewState fresh = first_view(*now.snapshot->wall);
    state.view.camera = fresh.camera;
    state.view.kept = fresh.kept;
    state.view.opened = fresh.opened;
  }
  toggle(ui, "isotherms", ui.say("view.isotherms"), state.view.isotherms);
  if (state.view.isotherms) {
    double every = shown_difference(ui.units, state.view.isotherm_every_k);
    const ImVec2 at = ImGui::GetCursorScreenPos();
    text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("view.isotherm_every"));
    (void)at;
    if (number(ui, "every", every, shown_difference(ui.units, 1.0), shown_difference(ui.units, 100.0), 0,
               temperature_symbol(ui.units), ui.px(64))) {
      state.view.isotherm_every_k = every / shown_difference(ui.units, 1.0);
    }
  }
  toggle(ui, "materials", ui.say("view.materials"), state.view.materials);
  toggle(ui, "through", ui.say("view.cable_through"), state.view.cable_through_wall);
  std::vector<std::string> names;
  for (const Palette& palette : state.palettes) {
    const std::string key = "palette." + palette.name();
    names.push_back(ui.text.has(key) ? ui.say(key) : palette.name());
  }
  if (pick_from(ui, "palette", ui.say("view.palette"), names, state.palette)) {
    state.settings.palette = state.palettes[static_cast<std::size_t>(state.palette)].name();
  }
  if (section(ui, "cuts", ui.say("view.cuts"), false)) draw_cuts(ui, state.view, *now.snapshot->wall);
  return {};
}

Wishes draw_display_controls(const HeatNow& now, ScreenState& state, Ui& ui) {
  (void)now;
  if (!section(ui, "display", ui.say("panel.display"), false)) return {};
  const auto choice = [&](const char* id, auto& value, std::span<const std::string> options) {
    int index = static_cast<int>(value);
    if (choose(ui, id, options, index)) value = static_cast<std::remove_reference_t<decltype(value)>>(index);
  };
  text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("display.units"));
  choice("temperature", state.settings.units.temperature, std::array<std::string, 2>{"°C", "°F"});
  choice("length", state.settings.units.length, std::array<std::string, 2>{"mm", "in"});
  choice("conductor", state.settings.units.conductor, std::array<std::string, 2>{"mm²", "AWG"});
  text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("display.theme"));
  choice("theme", state.settings.theme,
         std::array<std::string, 3>{ui.say("display.graphite"), ui.say("display.paper"), ui.say("display.contrast")});
  text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("display.scale"));
  static constexpr std::array<double, 8> scales{0.0, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0};
  std::vector<std::string> names;
  int index = 0;
  for (std::size_t i = 0; i < scales.size(); ++i) {
    names.push_back(scales[i] == 0.0 ? ui.say("display.scale_auto") : fmt::format("{:.0f} %", 100.0 * scales[i]));
    if (scales[i] == state.settings.scale) index = static_cast<int>(i);
  }
  if (choose(ui, "scale", names, index)) state.settings.scale = scales[static_cast<std::size_t>(index)];
  Wishes wishes;
  if (button(ui, "full screen", ui.say("display.full_screen"))) wishes.emplace_back(FullScreen{});
  if (button(ui, "keys", ui.say("display.keys"))) wishes.emplace_back(ShowKeys{true});
  return wishes;
}

}  // namespace warmbay::render
