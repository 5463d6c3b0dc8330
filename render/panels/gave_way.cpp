// What has given way, in numbers and words: smoke and how far one sees in it, the void, how much of the insulation's
// life is used up, where a cable has failed.

#include <fmt/format.h>

#include <cmath>

#include "render/failures.hpp"
#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"
#include "scenes/play/smoke.hpp"

namespace warmbay::render {

namespace {

constexpr double told_from_kg = 1e-9;  // a thousandth of a milligram: less smoke is not worth a line

/// A label at the left, its value at the right or, where both do not fit, below.
void row(Ui& ui, std::string_view label, std::string_view value, ImU32 colour) {
  const float free = ImGui::GetContentRegionAvail().x;
  const ImVec2 ink = text_size(ui.fonts.strong, value);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  if (text_size(ui.fonts.base, label).x + ui.px(10) + ink.x <= free) {
    text_at(ui, at, ui.fonts.base, ui.theme.text, label);
    text_at(ui, {at.x + free - ink.x, at.y}, ui.fonts.strong, colour, value);
    ImGui::Dummy({free, ink.y});
    return;
  }
  text_line(ui, ui.fonts.base, ui.theme.text, label);
  text_line(ui, ui.fonts.strong, colour, value);
}

void draw_smoke(Ui& ui, const HeatNow& now) {
  const sim::Snapshot& snapshot = *now.snapshot;
  const sim::SmokeRules& rules = snapshot.wall->damage.smoke;
  const sim::Reading& reading = snapshot.reading;
  const bool visible = smoke_visible(snapshot);
  row(ui, ui.say("gave_way.smoke"),
      number_text(reading.smoke_kg_s * 1e6) + " mg/s, " + ui.say(visible ? "gave_way.visible" : "gave_way.not_visible"),
      visible ? ui.theme.over : ui.theme.text);
  if (rules.room_m3 <= 0.0) return;
  const scenes::Visibility sight = scenes::visibility(rules, reading.smoke_kg);
  constexpr double farthest_m = 100.0;  // beyond it nobody notices
  text_line(ui, ui.fonts.small, ui.theme.muted,
            sight.reflecting_m > farthest_m
                ? ui.say("gave_way.clear", fmt::arg("room", fmt::format("{:.0f}", rules.room_m3)))
                : ui.say("gave_way.sight", fmt::arg("room", fmt::format("{:.0f}", rules.room_m3)),
                         fmt::arg("far", number_text(sight.reflecting_m)), fmt::arg("lit", number_text(sight.lit_m))));
  text_line(
      ui, ui.fonts.small, now.alarm_s ? ui.theme.over : ui.theme.muted,
      now.alarm_s ? ui.say("gave_way.alarm", fmt::arg("time", clock_text(*now.alarm_s))) : ui.say("gave_way.no_alarm"));
}

/// The share of its life that is used up, as word.
const char* life_word(double worn) {
  return worn >= 1.0 ? "gave_way.life_over" : worn >= 0.5 ? "gave_way.life_late" : "gave_way.life_early";
}

void draw_insulation_life(Ui& ui, const sim::Snapshot& snapshot) {
  constexpr double told_from = 0.005;
  for (std::size_t c = 0; c < snapshot.reading.cables.size(); ++c) {
    const double worn = snapshot.reading.cables[c].worn;
    if (worn < told_from) continue;
    const std::string percent = worn >= 1.0 ? "100" : fmt::format("{:.0f}", std::floor(100.0 * worn));
    text_line(ui, ui.fonts.base, ui.theme.text,
              ui.say("gave_way.life", fmt::arg("cable", snapshot.wall->cables[c].name), fmt::arg("percent", percent),
                     fmt::arg("word", ui.say(life_word(worn)))));
    meter(ui, worn, worn >= 0.5 ? ui.theme.over : ui.theme.near);
  }
}

}  // namespace

bool smoke_visible(const sim::Snapshot& snapshot) {
  const double visible_kg_s = snapshot.wall->damage.smoke.visible_kg_s;
  return visible_kg_s > 0.0 && snapshot.reading.smoke_kg_s >= visible_kg_s;
}

Wishes draw_gave_way(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (!now.snapshot || !section(ui, "gave way", ui.say("panel.gave_way"))) return {};
  const sim::Snapshot& snapshot = *now.snapshot;
  const std::vector<Failure> failures = failures_of(snapshot);
  const bool smoked = snapshot.reading.smoke_kg >= told_from_kg;
  bool any = !failures.empty() || state.damage.present() > 1 || smoked;
  for (const sim::CableReading& cable : snapshot.reading.cables) any = any || cable.worn >= 0.005;
  if (!any) {
    text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("gave_way.nothing"));
    return {};
  }
  for (const Failure& failure : failures) {
    const std::string& cable = snapshot.wall->cables[static_cast<std::size_t>(failure.cable)].name;
    row(ui, cable + ": " + ui.say(failure.open ? "failure.open" : "failure.short"),
        ui.say("failure.at", fmt::arg("at", length_text(ui.units, failure.along_m))), ui.theme.over);
  }
  if (smoked) draw_smoke(ui, now);
  if (snapshot.reading.void_m3 > 0.0)
    row(ui, ui.say("gave_way.void"), number_text(snapshot.reading.void_m3 * 1e6) + " cm³", ui.theme.text);
  draw_insulation_life(ui, snapshot);
  if (state.damage.place()) toggle(ui, "close-up", ui.say("gave_way.close_up"), state.close_up);
  return {};
}

}  // namespace warmbay::render
