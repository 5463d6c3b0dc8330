// The demonstration: which step it is, what it says, what was predicted and what came; and the controls of time.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"
#include "scenes/read/by_name.hpp"

namespace warmbay::render {

namespace {

/// A caption is a key of the catalogue, or the caption itself.
const std::string& caption_of(const Ui& ui, const std::string& say) {
  return ui.text.has(say) ? ui.say(say) : say;
}

/// What the instrument called `name` reads: a thermocouple, or the hottest conductor of a cable.
std::optional<double> reading_called(const sim::Wall& wall, const sim::Reading& reading, const std::string& name) {
  if (const int i = scenes::index_by_name(wall.thermocouples, name); i >= 0)
    return reading.thermocouple_k[static_cast<std::size_t>(i)];
  if (const int i = scenes::index_by_name(wall.cables, name); i >= 0)
    return reading.cables[static_cast<std::size_t>(i)].hottest_k;
  return std::nullopt;
}

void draw_play(ImDrawList& list, ImVec2 c, float r, ImU32 colour) {
  list.AddTriangleFilled({c.x - r * 0.7F, c.y - r}, {c.x + r, c.y}, {c.x - r * 0.7F, c.y + r}, colour);
}
void draw_pause(ImDrawList& list, ImVec2 c, float r, ImU32 colour) {
  list.AddRectFilled({c.x - r * 0.8F, c.y - r}, {c.x - r * 0.2F, c.y + r}, colour);
  list.AddRectFilled({c.x + r * 0.2F, c.y - r}, {c.x + r * 0.8F, c.y + r}, colour);
}
void draw_single(ImDrawList& list, ImVec2 c, float r, ImU32 colour) {
  list.AddRectFilled({c.x - r, c.y - r}, {c.x - r * 0.55F, c.y + r}, colour);
  draw_play(list, {c.x + r * 0.35F, c.y}, r * 0.85F, colour);
}
void draw_reset(ImDrawList& list, ImVec2 c, float r, ImU32 colour) {
  list.PathArcTo(c, r, -1.0F, 3.9F, 20);
  list.PathStroke(colour, 0, 2.0F);
  const ImVec2 tip{c.x + r * std::cos(-1.0F), c.y + r * std::sin(-1.0F)};
  const float s = r * 0.6F;
  list.AddTriangleFilled({tip.x - s, tip.y - s * 0.8F}, {tip.x + s * 0.6F, tip.y - s},
                         {tip.x + s * 0.2F, tip.y + s * 0.7F}, colour);
}
void draw_minus(ImDrawList& list, ImVec2 c, float r, ImU32 colour) {
  list.AddRectFilled({c.x - r, c.y - 1}, {c.x + r, c.y + 1}, colour);
}
void draw_plus(ImDrawList& list, ImVec2 c, float r, ImU32 colour) {
  draw_minus(list, c, r, colour);
  list.AddRectFilled({c.x - 1, c.y - r}, {c.x + 1, c.y + r}, colour);
}

std::string factor_text(const Ui& ui, double factor) {
  return factor == 0.0 ? ui.say("time.most") : fmt::format("×{:g}", factor);
}

Wishes draw_time_controls(const HeatNow& now, Ui& ui) {
  Wishes wishes;
  const float gap = ui.px(6);
  const bool runs = now.playing && !now.waiting;
  if (picture_button(ui, "play", ui.say(runs ? "time.pause" : "time.play"), runs ? draw_pause : draw_play)) {
    wishes.emplace_back(Play{!runs});
  }
  ImGui::SameLine(0, gap);
  if (picture_button(ui, "single", ui.say("time.single"), draw_single)) wishes.emplace_back(SingleStep{});
  ImGui::SameLine(0, gap);
  if (picture_button(ui, "reset", ui.say("time.reset"), draw_reset)) wishes.emplace_back(ResetExperiment{});
  flow(ui, ui.px(32 * 2 + 12) + ui.px(56), ui.px(14));
  if (picture_button(ui, "slower", ui.say("time.slower"), draw_minus)) {
    wishes.emplace_back(SetFactor{neighbour_factor(now.factor, -1)});
  }
  ImGui::SameLine(0, gap);
  const std::string factor = factor_text(ui, now.factor);
  const float width = std::max(text_size(ui.fonts.strong, "×300").x, text_size(ui.fonts.strong, factor).x);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 ink = text_size(ui.fonts.strong, factor);
  text_at(ui, {at.x + (width - ink.x) / 2, at.y + (ui.px(32) - ink.y) / 2}, ui.fonts.strong, ui.theme.text, factor);
  ImGui::Dummy({width, ui.px(32)});
  ImGui::SameLine(0, gap);
  if (picture_button(ui, "faster", ui.say("time.faster"), draw_plus)) {
    wishes.emplace_back(SetFactor{neighbour_factor(now.factor, +1)});
  }
  return wishes;
}

/// The heat has been given up: only the start, or another scene, leads on.
bool stopped(const HeatNow& now) {
  return now.trouble.what == Trouble::What::stopped;
}

/// The word of the button that leads back.
const std::string& back_word(const Ui& ui, const HeatNow& now) {
  return ui.say(stopped(now) ? "danger.reset" : "step.back");
}

/// What went wrong with the computation: before the step's own words, so that it is seen without scrolling.
void draw_wrong(Ui& ui, const HeatNow& now, float wrap) {
  const std::string said = now.broken ? ui.say("step.broken") : trouble_sentence(ui, now.trouble);
  if (said.empty()) return;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float size = ui.fonts.strong->FontSize;
  draw_mark(*ImGui::GetWindowDrawList(), Mark::triangle, {at.x + size / 2, at.y + size / 2}, size / 2, ui.theme.over);
  const float indent = size + ui.px(8);
  ImGui::SetCursorScreenPos({at.x + indent, at.y});
  text_block(ui, ui.fonts.strong, ui.theme.over, said, std::max(ui.px(40), wrap - indent));
}

/// What stopped a step, in words: an event, or a reading that has come above what the step waits for.
std::string stopped_word(const Ui& ui, const HeatNow& now, const scenes::Step& step) {
  const auto& above = step.until_reading;
  if (above && now.stopped_by.starts_with(above->reading + " > "))
    return ui.say("step.above", fmt::arg("reading", above->reading),
                  fmt::arg("temperature", temperature_text(ui.units, above->above_k, 0)));
  return event_word(ui, now.stopped_by);
}

std::string step_state(const Ui& ui, const HeatNow& now, const scenes::Step& step, bool last) {
  if (now.broken || stopped(now)) return ui.say("status.paused");  // why is said elsewhere, and louder
  if (now.ended) return ui.say("step.model_ended");
  if (now.waiting && last && now.step_over) return ui.say("step.end");
  if (now.waiting && !now.stopped_by.empty()) {
    return ui.say("step.stopped", fmt::arg("event", stopped_word(ui, now, step)));
  }
  if (now.waiting) return ui.say("step.waiting");
  if (now.step_hold_s <= 0.0 || now.step_elapsed_s > now.step_hold_s) return ui.say("step.free");
  return ui.say("step.left", fmt::arg("left", clock_text(now.step_hold_s - now.step_elapsed_s)));
}

/// What was predicted beside what came, once the step has ended.
void draw_outcome(Ui& ui, const HeatNow& now, const ScreenState& state, const scenes::Step& step, float wrap) {
  const Prediction* prediction = prediction_of(state, now.step);
  if (!now.waiting || !step.ask || prediction == nullptr || !prediction->given) return;
  const auto reading_k = reading_called(*now.snapshot->wall, now.snapshot->reading, step.ask->reading);
  if (!reading_k) return;
  const double off_k = std::abs(*reading_k - prediction->temperature_k);
  const bool close = off_k <= step.ask->tolerance_k;
  const std::string symbol = temperature_symbol(ui.units);
  const std::string text =
      ui.say(close ? "step.prediction_close" : "step.prediction_off", fmt::arg("reading", step.ask->reading),
             fmt::arg("predicted", temperature_text(ui.units, prediction->temperature_k)),
             fmt::arg("result", temperature_text(ui.units, *reading_k)),
             fmt::arg("difference", fmt::format("{:.1f} {}", shown_difference(ui.units, off_k), symbol)));
  text_block(ui, ui.fonts.strong, ui.theme.accent, text, wrap);
}

Wishes draw_question(const HeatNow& now, ScreenState& state, Ui& ui, float wrap) {
  const scenes::Step& step = now.scene->steps[static_cast<std::size_t>(state.asked_step)];
  text_block(ui, ui.fonts.strong, ui.theme.accent,
             ui.say("step.predict_first", fmt::arg("number", state.asked_step + 1), fmt::arg("title", step.title)),
             wrap);
  text_block(ui, ui.fonts.base, ui.theme.text, caption_of(ui, step.ask->question), wrap);
  Wishes wishes;
  number(ui, "prediction", state.draft_shown, -100.0, 2000.0, 0, temperature_symbol(ui.units), ui.px(84));
  flow(ui, button_size(ui, ui.say("step.write_down")).x, ui.px(12));
  if (button(ui, "write", ui.say("step.write_down"), ButtonLook::primary)) {
    wishes.emplace_back(Predict{state.asked_step, true, kelvin_of_shown(ui.units, state.draft_shown)});
  }
  flow(ui, button_size(ui, ui.say("step.skip")).x, ui.px(8));
  if (button(ui, "skip", ui.say("step.skip"))) wishes.emplace_back(Predict{state.asked_step, false, 0.0});
  return wishes;
}

Wishes draw_caption(const HeatNow& now, ScreenState& state, Ui& ui, float wrap) {
  const bool steps = now.scene && now.step >= 0 && now.step < static_cast<int>(now.scene->steps.size());
  if (!now.scene) return {};
  if (now.snapshot) draw_wrong(ui, now, wrap);
  if (!now.snapshot || !steps) {
    text_block(ui, ui.fonts.strong, ui.theme.text, now.scene->title, wrap);
    text_block(ui, ui.fonts.base, ui.theme.muted, now.scene->summary, wrap);
    return {};
  }
  if (state.asked_step >= 0) return draw_question(now, state, ui, wrap);
  const scenes::Step& step = now.scene->steps[static_cast<std::size_t>(now.step)];
  const int count = static_cast<int>(now.scene->steps.size());
  const std::string which = ui.say("step.which", fmt::arg("number", now.step + 1), fmt::arg("count", count));
  std::string at = which + "  ·  " + step_state(ui, now, step, now.step + 1 == count);
  if (const long long mended = now.snapshot->reading.mended_steps; mended > 0)
    at += "  ·  " + ui.say("step.mended", fmt::arg("count", mended));
  const bool ready = now.waiting && now.step + 1 < count && !now.broken && !stopped(now);
  const float title_width = text_size(ui.fonts.large, step.title).x;
  text_block(ui, ui.fonts.large, ui.theme.text, step.title, wrap);
  if (title_width + ui.px(16) + text_size(ui.fonts.base, at).x <= wrap) {
    ImGui::SameLine(0, ui.px(16));
    const ImVec2 cursor = ImGui::GetCursorScreenPos();
    ImGui::SetCursorScreenPos({cursor.x, cursor.y + ui.fonts.large->FontSize - ui.fonts.base->FontSize - ui.px(2)});
  }
  text_block(ui, ui.fonts.base, ready ? ui.theme.accent : ui.theme.muted, at, wrap);
  draw_outcome(ui, now, state, step, wrap);
  text_block(ui, ui.fonts.base, ui.theme.text, caption_of(ui, step.say), wrap);
  return {};
}

Wishes draw_step_buttons(const HeatNow& now, const ScreenState& state, Ui& ui) {
  Wishes wishes;
  const int count = now.scene ? static_cast<int>(now.scene->steps.size()) : 0;
  if (count == 0 || !now.snapshot) return wishes;
  const bool asking = state.asked_step >= 0;
  const bool stuck = now.ended || now.broken || stopped(now);  // only going back leads on
  const bool can_next = now.step + 1 < count && !asking && !stuck;
  if (button(ui, "back", back_word(ui, now), stuck ? ButtonLook::primary : ButtonLook::plain))
    wishes.emplace_back(stopped(now) ? Wish{ResetExperiment{}} : Wish{PreviousStep{}});
  flow(ui, button_size(ui, ui.say("step.next")).x, ui.px(8));
  const ButtonLook look = now.waiting && can_next ? ButtonLook::primary : ButtonLook::plain;
  if (button(ui, "next", ui.say("step.next"), look, 0.0F, can_next)) wishes.emplace_back(NextStep{});
  return wishes;
}

/// A thin line along the top edge of the bar: how much of the step's hold is over.
void draw_progress(Ui& ui, const HeatNow& now, ImVec2 at, float width) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + width, at.y + ui.px(3)}, ui.theme.faint);
  if (now.step < 0 || now.step_hold_s <= 0.0) return;
  const float part = static_cast<float>(now.waiting ? 1.0 : std::clamp(now.step_elapsed_s / now.step_hold_s, 0.0, 1.0));
  list->AddRectFilled(at, {at.x + width * part, at.y + ui.px(3)}, ui.theme.accent);
}

}  // namespace

Wishes draw_demonstration(const HeatNow& now, ScreenState& state, Ui& ui) {
  const ImVec2 corner = ImGui::GetWindowPos();
  draw_progress(ui, now, corner, ImGui::GetWindowWidth());
  const float free = ImGui::GetContentRegionAvail().x;
  // Presenting, time is steered by keys, and its factor is on the top line: the wall gets the room.
  const float time_width = ui.presenting
                               ? -ui.px(24)
                               : ui.px(32 * 5 + 4 * 6 + 14 + 6) + text_size(ui.fonts.strong, factor_text(ui, 300.0)).x;
  const float steps_width = now.scene && !now.scene->steps.empty() ? button_size(ui, back_word(ui, now)).x + ui.px(8) +
                                                                         button_size(ui, ui.say("step.next")).x
                                                                   : 0.0F;
  const float middle = free - time_width - steps_width - ui.px(48);
  Wishes wishes;
  if (middle >= ui.px(360)) {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    if (!ui.presenting) {
      ImGui::BeginGroup();
      add(wishes, draw_time_controls(now, ui));
      ImGui::EndGroup();
    }
    ImGui::SetCursorScreenPos({at.x + time_width + ui.px(24), at.y});
    ImGui::BeginGroup();
    ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ui.px(8), ui.px(3)});
    add(wishes, draw_caption(now, state, ui, middle));
    ImGui::PopStyleVar();
    ImGui::EndGroup();
    const float bottom = ImGui::GetItemRectMax().y;
    ImGui::SetCursorScreenPos({at.x + free - steps_width, at.y});
    ImGui::BeginGroup();
    add(wishes, draw_step_buttons(now, state, ui));
    ImGui::EndGroup();
    const float end = std::max({bottom, ImGui::GetItemRectMax().y, at.y + ui.px(32)});
    ImGui::SetCursorScreenPos({at.x, end});
    ImGui::Dummy({1, 1});
    return wishes;
  }
  add(wishes, draw_step_buttons(now, state, ui));
  if (steps_width > 0.0F) flow(ui, time_width, ui.px(20));
  ImGui::BeginGroup();
  add(wishes, draw_time_controls(now, ui));
  ImGui::EndGroup();
  add(wishes, draw_caption(now, state, ui, free));
  return wishes;
}

}  // namespace warmbay::render
