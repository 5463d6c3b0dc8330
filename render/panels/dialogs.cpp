// The two dialogs: the caution of the first start, which must be acknowledged, and the list of keys.

#include <algorithm>

#include "render/keys.hpp"
#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

/// Opens a centred dialog over everything; true while its content is to be drawn. Call ImGui::EndPopup then.
bool begin_dialog(Ui& ui, const char* id, bool shown, float width) {
  if (shown && !ImGui::IsPopupOpen(id)) ImGui::OpenPopup(id);
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  const float most = screen.x - ui.px(24);
  ImGui::SetNextWindowSizeConstraints({std::min(ui.px(width), most), 0},
                                      {std::min(ui.px(width), most), screen.y - ui.px(24)});
  ImGui::SetNextWindowPos({screen.x / 2, screen.y / 2}, ImGuiCond_Always, {0.5F, 0.5F});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {ui.px(24), ui.px(20)});
  const bool open =
      ImGui::BeginPopupModal(id, nullptr,
                             ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoResize |
                                 ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoSavedSettings);
  ImGui::PopStyleVar();
  if (!open || shown) return open;
  ImGui::CloseCurrentPopup();  // a key closed it
  ImGui::EndPopup();
  return false;
}

}  // namespace

Wishes draw_first_caution(ScreenState& state, Ui& ui) {
  Wishes wishes;
  if (!begin_dialog(ui, "first caution", state.caution_open, 620.0F)) return wishes;
  const scenes::Caution caution = scenes::caution_of("first-start", ui.text);
  signal_label(ui, caution.signal, caution.signal_word);
  text_line(ui, ui.fonts.large, ui.theme.text, ui.say("first.title"));
  text_line(ui, ui.fonts.base, ui.theme.text, caution.sentence);
  text_line(ui, ui.fonts.base, ui.theme.text, ui.say("notice.simulation"));
  text_line(ui, ui.fonts.base, ui.theme.text, ui.say("notice.sizing"));
  ImGui::Dummy({1, ui.px(4)});
  if (ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
  if (button(ui, "acknowledge", ui.say("first.acknowledge"), ButtonLook::primary)) {
    wishes.emplace_back(AcknowledgeCaution{});
    ImGui::CloseCurrentPopup();
  }
  ImGui::SetItemDefaultFocus();
  ImGui::EndPopup();
  return wishes;
}

Wishes draw_key_list(ScreenState& state, Ui& ui) {
  Wishes wishes;
  if (!begin_dialog(ui, "keys", state.keys_shown && !state.caution_open, 520.0F)) return wishes;
  text_line(ui, ui.fonts.large, ui.theme.text, ui.say("key.title"));
  float left = 0.0F;
  for (const KeyLine& line : key_lines()) left = std::max(left, text_size(ui.fonts.strong, line.keys).x);
  for (const KeyLine& line : key_lines()) {
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float wrap = std::max(ui.px(60), ImGui::GetContentRegionAvail().x - left - ui.px(16));
    text_at(ui, at, ui.fonts.strong, ui.theme.accent, line.keys);
    ImGui::SetCursorScreenPos({at.x + left + ui.px(16), at.y});
    text_block(ui, ui.fonts.base, ui.theme.text, ui.say(line.text_key), wrap);
  }
  ImGui::Dummy({1, ui.px(4)});
  if (button(ui, "close", ui.say("key.close"), ButtonLook::primary)) {
    wishes.emplace_back(ShowKeys{false});
    ImGui::CloseCurrentPopup();
  }
  ImGui::SetItemDefaultFocus();
  ImGui::EndPopup();
  return wishes;
}

}  // namespace warmbay::render
