// What happened when: the latest first, each with its time, its word and the sentence that says where and how much.

#include <fmt/format.h>

#include <algorithm>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"
#include "scenes/play/event_sentence.hpp"

namespace warmbay::render {

namespace {

constexpr std::size_t most_shown = 40;

/// The mark that goes with the word: a triangle for what is a fault, a diamond for what gives way, a disc otherwise.
struct Look {
  Mark mark;
  ImU32 colour;
};
Look look_of_event(const Theme& theme, const std::string& name) {
  if (name == "settled") return {Mark::disc, theme.good};
  if (name == "softening" || name == "melt-back" || name == "smoke" || name == "char")
    return {Mark::diamond, theme.near};
  return {Mark::triangle, theme.over};
}

scenes::EventUnits event_units(const Units& units) {
  const std::string symbol = units.temperature == TemperatureUnit::celsius ? "K" : temperature_symbol(units);
  return {[units](double k, int decimals) { return temperature_text(units, k, decimals); },
          [units, symbol](double k, int decimals) {
            return fmt::format("{:.{}f} {}", shown_difference(units, k), decimals, symbol);
          },
          [units](double m) { return length_text(units, m); }};
}

}  // namespace

const std::string& event_word(const Ui& ui, const std::string& name) {
  const std::string key = "event.name." + name;
  return ui.text.has(key) ? ui.say(key) : name;
}

Wishes draw_events(const HeatNow& now, ScreenState& state, Ui& ui) {
  (void)state;
  if (!now.snapshot || !now.events) return {};
  std::vector<const scenes::Event*> told;
  for (auto event = now.events->rbegin(); event != now.events->rend() && told.size() < most_shown; ++event)
    if (event->event != "step") told.push_back(&*event);
  if (!section(ui, "events", ui.say("panel.events"))) return {};
  if (told.empty()) text_line(ui, ui.fonts.base, ui.theme.muted, ui.say("events.none"));
  const scenes::EventUnits units = event_units(ui.units);
  for (const scenes::Event* event : told) {
    const Look look = look_of_event(ui.theme, event->event);
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float r = ui.px(5);
    draw_mark(*ImGui::GetWindowDrawList(), look.mark, {at.x + r, at.y + ui.fonts.strong->FontSize / 2}, r, look.colour);
    ImGui::SetCursorScreenPos({at.x + 2 * r + ui.px(8), at.y});
    text_line(ui, ui.fonts.strong, ui.theme.text, clock_text(event->time_s) + "  " + event_word(ui, event->event));
    const std::string said = scenes::event_sentence(ui.text, *event, units);
    const std::string& what = said.empty() ? event->where : said;
    if (!what.empty()) text_line(ui, ui.fonts.small, ui.theme.muted, what);
  }
  return {};
}

}  // namespace warmbay::render
