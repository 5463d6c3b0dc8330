// Instruments at the wall's surface: what an infrared camera shows and what is true, and what a hand laid flat on it
// feels and risks.

#include <fmt/format.h>

#include <cmath>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"
#include "render/passes/infrared_face.hpp"
#include "scenes/read/by_name.hpp"

namespace warmbay::render {

namespace {

constexpr double coldest_c = -30.0;
constexpr double hottest_c = 200.0;
constexpr double told_apart_k = 0.1;  // what the screen's numbers can tell apart

void draw_settings(const sim::Snapshot& snapshot, ScreenState& state, Ui& ui) {
  CameraSettings& camera = state.view.infrared;
  slider(ui, "emissivity", ui.say("infrared.emissivity"), camera.emissivity, {0.05, 1.0, 0.01, 2, ""});
  double shown = shown_temperature(ui.units, reflected_k(snapshot, state.view));
  const SliderLook look{shown_temperature(ui.units, sim::kelvin_from_celsius(coldest_c)),
                        shown_temperature(ui.units, sim::kelvin_from_celsius(hottest_c)), 1.0, 1,
                        temperature_symbol(ui.units)};
  if (slider(ui, "reflected", ui.say("infrared.reflected"), shown, look).changed)
    camera.reflected_k = kelvin_of_shown(ui.units, shown);
}

/// Both temperatures, and the word for how they compare.
void draw_shown_and_true(const Picked& place, const sim::Material& material, Ui& ui) {
  text_line(ui, ui.fonts.strong, ui.theme.text,
            ui.say("infrared.reading", fmt::arg("temperature", temperature_text(ui.units, place.temperature_k))));
  text_line(ui, ui.fonts.base, ui.theme.text,
            ui.say("infrared.true_surface", fmt::arg("temperature", temperature_text(ui.units, *place.true_k)),
                   fmt::arg("emissivity", material.emissivity)));
  const double off_k = std::abs(place.temperature_k - *place.true_k);
  const bool wrong = off_k >= told_apart_k;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float r = ui.px(5);
  const ImU32 colour = wrong ? ui.theme.over : ui.theme.good;
  draw_mark(*ImGui::GetWindowDrawList(), wrong ? Mark::triangle : Mark::disc,
            {at.x + r, at.y + ui.fonts.base->FontSize / 2}, r, colour);
  ImGui::SetCursorScreenPos({at.x + 2 * r + ui.px(8), at.y});
  const std::string difference =
      fmt::format("{:.1f} {}", shown_difference(ui.units, off_k), temperature_symbol(ui.units));
  text_line(ui, ui.fonts.base, colour,
            wrong ? ui.say("infrared.wrong", fmt::arg("difference", difference)) : ui.say("infrared.right"));
}

}  // namespace

Wishes draw_infrared(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (!now.snapshot || state.view.mode == ViewMode::cut_away) return {};
  if (!section(ui, "infrared", ui.say("infrared.title"))) return {};
  draw_settings(*now.snapshot, state, ui);
  const auto place = SceneView::hottest_of_face(*now.snapshot, state.view);
  const sim::Material* material =
      place ? scenes::find_by_name(now.snapshot->wall->materials, place->material) : nullptr;
  if (material == nullptr) return {};
  text_line(ui, ui.fonts.small, ui.theme.muted, ui.say("infrared.at_hottest", fmt::arg("material", material->name)));
  draw_shown_and_true(*place, *material, ui);
  return {};
}

std::string hand_sentence(const Ui& ui, const HandReading& hand, double surface_k) {
  const auto surface = fmt::arg("surface", ui.say(hand.surface));
  const std::string at = temperature_text(ui.units, surface_k);
  if (std::isinf(hand.longest_contact_s)) return ui.say("touch.no_burn", surface, fmt::arg("temperature", at));
  if (hand.longest_contact_s <= 0.0) return ui.say("touch.burns_at_once", surface, fmt::arg("temperature", at));
  return ui.say("touch.burns_after", surface, fmt::arg("temperature", at),
                fmt::arg("time", clock_text(hand.longest_contact_s)));
}

Wishes draw_hand(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (!now.snapshot || state.touch.classes.empty() || !section(ui, "hand", ui.say("touch.title"))) return {};
  const auto place = SceneView::hottest_of_face(*now.snapshot, state.view);
  const sim::Material* material =
      place ? scenes::find_by_name(now.snapshot->wall->materials, place->material) : nullptr;
  if (material == nullptr) return {};
  const HandReading hand = hand_on(state.touch, *material, *place->true_k);
  text_line(ui, ui.fonts.small, ui.theme.muted,
            ui.say(state.view.mode == ViewMode::far_face ? "touch.far_side" : "touch.room_side",
                   fmt::arg("material", material->name)));
  text_line(ui, ui.fonts.base, ui.theme.text,
            ui.say("touch.contact", fmt::arg("temperature", temperature_text(ui.units, hand.contact_k))));
  const bool burns = std::isfinite(hand.longest_contact_s);
  text_line(ui, ui.fonts.base, burns ? ui.theme.over : ui.theme.text, hand_sentence(ui, hand, *place->true_k));
  return {};
}

}  // namespace warmbay::render
