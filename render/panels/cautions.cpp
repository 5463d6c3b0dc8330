// Cautions: signal words by their meaning, with the alert sign and the safety colours; and the notice that never goes.

#include "scenes/text/cautions.hpp"

#include <algorithm>
#include <utility>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

ImVec2 label_size(const Ui& ui, scenes::Signal signal, const std::string& word) {
  const ImVec2 ink = text_size(ui.fonts.small, word);
  const float sign = signal == scenes::Signal::notice ? 0.0F : ink.y * 1.1F + ui.px(6);
  return {ink.x + sign + ui.px(16), ink.y + ui.px(6)};
}

void draw_caution(Ui& ui, const scenes::Caution& caution, bool first) {
  const ImVec2 label = label_size(ui, caution.signal, caution.signal_word);
  const float most = ImGui::GetContentRegionAvail().x;
  const float gap = ui.px(10);
  const float whole = label.x + gap + text_size(ui.fonts.small, caution.sentence).x;
  if (!first) flow(ui, std::min(whole, most), ui.px(24));
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float wrap = whole > most ? std::max(ui.px(60), most - label.x - gap) : 0.0F;
  ImGui::BeginGroup();
  signal_label(ui, caution.signal, caution.signal_word);
  ImGui::SetCursorScreenPos({at.x + label.x + gap, at.y + ui.px(3)});
  text_block(ui, ui.fonts.small, ui.theme.text, caution.sentence, wrap);
  ImGui::EndGroup();
}

}  // namespace

void signal_label(Ui& ui, scenes::Signal signal, const std::string& word) {
  const SignalColours colours = signal_colours(signal);
  const ImVec2 size = label_size(ui, signal, word);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float ink = text_size(ui.fonts.small, word).y;
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + size.x, at.y + size.y}, colours.ground, ui.px(3));
  list->AddRect(at, {at.x + size.x, at.y + size.y}, signal_edge(ui.theme), ui.px(3), 0, std::max(1.0F, ui.px(1.5F)));
  float x = at.x + ui.px(8);
  if (signal != scenes::Signal::notice) {
    draw_alert(*list, {x, at.y + ui.px(4)}, ink * 0.85F, colours.text, colours.ground);
    x += ink * 1.1F + ui.px(6);
  }
  text_at(ui, {x, at.y + ui.px(3)}, ui.fonts.small, colours.text, word);
  ImGui::Dummy(size);
}

Wishes draw_cautions(const HeatNow& now, ScreenState& state, Ui& ui) {
  (void)state;
  if (!now.scene) return {};
  bool first = true;
  for (const std::string& key : now.scene->cautions) {
    draw_caution(ui, scenes::caution_of(key, ui.text), std::exchange(first, false));
  }
  return {};
}

void draw_notice(Ui& ui) {
  draw_caution(ui, {scenes::Signal::notice, ui.say("signal.notice"), ui.say("notice.sizing")}, true);
}

}  // namespace warmbay::render
