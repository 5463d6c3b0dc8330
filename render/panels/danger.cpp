// The model has ended: a surface is as hot as its material's piloted ignition. Signal word and colours of ANSI Z535.4.

#include <algorithm>
#include <cmath>

#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

const scenes::Event* risk_of(const HeatNow& now) {
  if (!now.events) return nullptr;
  for (auto event = now.events->rbegin(); event != now.events->rend(); ++event)
    if (event->event == "ignition-risk") return &*event;
  return nullptr;
}

std::string sentence_of(const Ui& ui, const HeatNow& now) {
  const scenes::Event* risk = risk_of(now);
  if (risk == nullptr) return ui.say("danger.somewhere");
  return ui.say("danger.risk", fmt::arg("where", risk->where),
                fmt::arg("temperature", temperature_text(ui.units, sim::kelvin_from_celsius(risk->value), 0)));
}

}  // namespace

Wishes draw_danger(const HeatNow& now, ScreenState& state, Ui& ui) {
  Wishes wishes;
  if (!now.ended) return wishes;
  const ImVec2 view{state.view_to.x - state.view_from.x, state.view_to.y - state.view_from.y};
  const float pad = ui.px(16);
  const float width = std::min(view.x - ui.px(20), ui.px(460));
  const float inner = width - 2 * pad;
  const std::string sentence = sentence_of(ui, now);
  const std::string& ends = ui.say("danger.ends");
  const float gap = ui.px(8);
  const float buttons =
      std::max(button_size(ui, ui.say("danger.back"), inner).y, button_size(ui, ui.say("danger.reset"), inner).y);
  const bool beside = text_size(ui.fonts.base, ui.say("danger.back")).x +
                          text_size(ui.fonts.base, ui.say("danger.reset")).x + ui.px(60) <=
                      inner;
  const float needed = 2 * pad + ui.fonts.small->FontSize + ui.px(6) + gap +
                       text_size(ui.fonts.large, sentence, inner).y + gap + text_size(ui.fonts.base, ends, inner).y +
                       gap + buttons * (beside ? 1.0F : 2.0F) + (beside ? 0.0F : gap);
  const ImVec2 size{width, std::min(needed + gap, view.y - ui.px(12))};
  const ImVec2 at{std::floor(state.view_from.x + (view.x - size.x) / 2),
                  std::floor(state.view_from.y + (view.y - size.y) / 2)};
  const SignalColours colours = signal_colours(scenes::Signal::danger);
  ImGui::SetCursorScreenPos(at);
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ui.theme.panel);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {pad, pad});
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {gap, gap});
  if (ImGui::BeginChild("danger", size, false,
                        ImGuiWindowFlags_AlwaysUseWindowPadding | ImGuiWindowFlags_NavFlattened)) {
    const float edge = std::max(3.0F, ui.px(4));
    ImDrawList* list = ImGui::GetWindowDrawList();
    list->PushClipRect(at, {at.x + size.x, at.y + size.y});
    list->AddRect({at.x + edge / 2, at.y + edge / 2}, {at.x + size.x - edge / 2, at.y + size.y - edge / 2},
                  colours.ground, ui.px(4), 0, edge);
    list->PopClipRect();
    signal_label(ui, scenes::Signal::danger, ui.say("signal.danger"));
    text_line(ui, ui.fonts.large, ui.theme.text, sentence);
    text_line(ui, ui.fonts.base, ui.theme.text, ends);
    if (button(ui, "step back", ui.say("danger.back"), ButtonLook::primary)) wishes.emplace_back(PreviousStep{});
    flow(ui, button_size(ui, ui.say("danger.reset")).x, gap);
    if (button(ui, "to the start", ui.say("danger.reset"))) wishes.emplace_back(ResetExperiment{});
  }
  ImGui::EndChild();
  ImGui::PopStyleVar(2);
  ImGui::PopStyleColor();
  return wishes;
}

}  // namespace warmbay::render
