// The controls.

#include "render/panels/widgets.hpp"

#include <imgui_internal.h>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <limits>

#include "scenes/read/plain_number.hpp"

namespace warmbay::render {

namespace {

constexpr float least_height = 28.0F;  // logical; 24 is what WCAG 2.5.8 asks for

/// A ring around the control that has the keyboard.
void focus_ring(Ui& ui, ImVec2 from, ImVec2 to) {
  if (!ImGui::IsItemFocused() || !ImGui::GetIO().NavVisible) return;
  const float gap = ui.px(2);
  ImGui::GetWindowDrawList()->AddRect({from.x - gap, from.y - gap}, {to.x + gap, to.y + gap}, ui.theme.accent, ui.px(5),
                                      0, std::max(2.0F, ui.px(2)));
}

struct ButtonColours {
  ImU32 ground;
  ImU32 text;
  ImU32 edge;
};

ButtonColours button_colours(const Ui& ui, ButtonLook look, bool hovered, bool enabled) {
  const Theme& t = ui.theme;
  if (!enabled) return {t.panel, t.muted, t.faint};
  switch (look) {
    case ButtonLook::primary:
      return {t.accent, t.accent_text, hovered ? t.text : t.accent};
    case ButtonLook::chosen:
      return {t.pressed, t.text, t.accent};
    case ButtonLook::quiet:
      return {hovered ? t.pressed : IM_COL32_BLACK_TRANS, t.text, IM_COL32_BLACK_TRANS};
    case ButtonLook::plain:
      break;
  }
  return {hovered ? t.pressed : t.raised, t.text, t.line};
}

float room() {
  return std::max(40.0F, ImGui::GetContentRegionAvail().x);
}

}  // namespace

ImVec2 button_size(Ui& ui, std::string_view text, float width_px) {
  const float pad = ui.px(12);
  const float free = width_px > 0.0F ? width_px : room();
  const float wrap = std::max(ui.px(24), free - 2 * pad);
  ImVec2 size = text_size(ui.fonts.base, text);
  if (size.x > wrap) size = text_size(ui.fonts.base, text, wrap);
  return {width_px > 0.0F ? width_px : std::min(free, size.x + 2 * pad),
          std::max(ui.px(least_height), size.y + ui.px(9))};
}

bool button(Ui& ui, const char* id, std::string_view text, ButtonLook look, float width_px, bool enabled) {
  const ImVec2 size = button_size(ui, text, width_px);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImGui::BeginDisabled(!enabled);
  const bool pressed = ImGui::InvisibleButton(id, size);
  ImGui::EndDisabled();
  const ImVec2 to{at.x + size.x, at.y + size.y};
  const ButtonColours colours = button_colours(ui, look, ImGui::IsItemHovered(), enabled);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, to, colours.ground, ui.px(4));
  if ((colours.edge & IM_COL32_A_MASK) != 0) list->AddRect(at, to, colours.edge, ui.px(4), 0, 1.0F);
  const float wrap = size.x - ui.px(8);
  const ImVec2 ink = text_size(ui.fonts.base, text, wrap);
  text_at(ui, {at.x + std::max(ui.px(4), (size.x - ink.x) / 2), at.y + (size.y - ink.y) / 2}, ui.fonts.base,
          colours.text, text, wrap);
  focus_ring(ui, at, to);
  return pressed && enabled;
}

bool picture_button(Ui& ui, const char* id, std::string_view name,
                    const std::function<void(ImDrawList&, ImVec2, float, ImU32)>& draw, bool primary) {
  const float side = ui.px(32);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const bool pressed = ImGui::InvisibleButton(id, {side, side});
  const ImVec2 to{at.x + side, at.y + side};
  const ButtonColours colours =
      button_colours(ui, primary ? ButtonLook::primary : ButtonLook::plain, ImGui::IsItemHovered(), true);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, to, colours.ground, ui.px(4));
  list->AddRect(at, to, colours.edge, ui.px(4), 0, 1.0F);
  draw(*list, {at.x + side / 2, at.y + side / 2}, side * 0.25F, colours.text);
  focus_ring(ui, at, to);
  if (ImGui::IsItemHovered()) ImGui::SetTooltip("%.*s", static_cast<int>(name.size()), name.data());
  return pressed;
}

namespace {

/// A number in a field: digits, signs and a point. A comma is the point of many keyboards. The rest are shortcuts.
int only_numbers(ImGuiInputTextCallbackData* data) {
  if (data->EventChar == ',') data->EventChar = '.';
  const ImWchar c = data->EventChar;
  return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '+' ? 0 : 1;
}

/// NaN: it is no number (yet).
double number_of(const char* typed) {
  if (*typed == '+') ++typed;
  return scenes::plain_number(typed).value_or(std::numeric_limits<double>::quiet_NaN());
}

void draw_unit(Ui& ui, const char* unit, ImVec2 from, ImVec2 to) {
  if (*unit == '\0') return;
  const ImVec2 size = text_size(ui.fonts.base, unit);
  ImGui::SameLine(0, ui.px(6));
  const ImVec2 at = ImGui::GetCursorScreenPos();
  text_at(ui, {at.x, from.y + (to.y - from.y - size.y) / 2}, ui.fonts.base, ui.theme.muted, unit);
  ImGui::Dummy({size.x, to.y - from.y});
}

}  // namespace

bool number(Ui& ui, const char* id, double& value, double least, double most, int decimals, const char* unit,
            float width_px) {
  ImGui::PushFont(ui.fonts.base);
  ImGui::SetNextItemWidth(width_px);
  const std::string shown = fmt::format("{:.{}f}", value, decimals);
  std::array<char, 32> typed{};
  shown.copy(typed.data(), typed.size() - 1);
  ImGui::PushID(id);
  // While it is typed the draft is kept aside; only a finished one counts. Nothing else may be left in it: neither
  // what was typed before the last key, nor what Escape has given up.
  float* draft = ImGui::GetStateStorage()->GetFloatRef(ImGui::GetID("draft"));
  const bool edited =
      ImGui::InputText("##number", typed.data(), typed.size(),
                       ImGuiInputTextFlags_AutoSelectAll | ImGuiInputTextFlags_CallbackCharFilter, only_numbers);
  if (edited || ImGui::IsItemActive()) *draft = static_cast<float>(number_of(typed.data()));
  const bool given_up = ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape));
  const bool done = ImGui::IsItemDeactivatedAfterEdit() && !given_up;
  const ImVec2 from = ImGui::GetItemRectMin();
  const ImVec2 to = ImGui::GetItemRectMax();
  ImGui::PopID();
  ImGui::PopFont();
  ImGui::GetWindowDrawList()->AddRect(from, to, ImGui::IsItemActive() ? ui.theme.accent : ui.theme.line, ui.px(4));
  draw_unit(ui, unit, from, to);
  if (!done || !std::isfinite(*draft)) return false;
  const double places = std::pow(10.0, decimals);
  const double wanted = std::round(static_cast<double>(*draft) * places) / places;
  const double held = std::max(least, std::min(wanted, most));  // limits may have crossed in a tiny span
  // What reads the same is the same: the value may have more decimals than the field.
  if (held == value || fmt::format("{:.{}f}", held, decimals) == shown) return false;
  value = held;
  return true;
}

Edit slider(Ui& ui, const char* id, std::string_view label, double& value, const SliderLook& look) {
  ImGui::PushID(id);
  Edit edit;
  // The label on the left, the number on the right of the same line if both fit, else below each other.
  const float field =
      text_size(ui.fonts.base, fmt::format("{:.{}f}", std::max(-look.least, look.most) * 10, look.decimals)).x +
      ui.px(18);
  const float right = field + ui.px(6) + text_size(ui.fonts.base, look.unit).x;
  const float free = room();
  const float label_room = free - right - ui.px(8);
  const bool beside = text_size(ui.fonts.base, label).x <= label_room || label_room >= free * 0.5F;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  text_at(ui, {at.x, at.y + (beside ? ui.px(5) : 0.0F)}, ui.fonts.base, ui.theme.text, label,
          beside ? label_room : free);
  const ImVec2 label_size = text_size(ui.fonts.base, label, beside ? label_room : free);
  if (!beside) ImGui::Dummy({free, label_size.y});
  ImGui::SetCursorScreenPos({at.x + free - right, beside ? at.y : ImGui::GetCursorScreenPos().y});
  if (number(ui, "value", value, look.least, look.most, look.decimals, look.unit, field)) {
    edit = {true, 0};
  }
  if (beside && label_size.y > ImGui::GetItemRectSize().y) {
    ImGui::SetCursorScreenPos({at.x, at.y + label_size.y + ui.px(6)});
  }

  const float height = ui.px(24);
  const ImVec2 track = ImGui::GetCursorScreenPos();
  const float inset = ui.px(9);
  ImGui::InvisibleButton("track", {free, height});
  const float span = free - 2 * inset;
  if (ImGui::IsItemActive()) {
    const double fraction = std::clamp((ImGui::GetIO().MousePos.x - track.x - inset) / span, 0.0F, 1.0F);
    const double wanted = std::clamp(
        std::round((look.least + fraction * (look.most - look.least)) / look.snap) * look.snap, look.least, look.most);
    if (ImGui::IsMouseDown(ImGuiMouseButton_Left) && wanted != value) {
      value = wanted;
      edit = {true, ImGui::GetItemID()};
    }
  }
  const auto x_of = [&](double v) {
    return track.x + inset +
           span * static_cast<float>(std::clamp((v - look.least) / (look.most - look.least), 0.0, 1.0));
  };
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float y = track.y + height / 2;
  const float thick = ui.px(4);
  list->AddRectFilled({track.x + inset, y - thick / 2}, {track.x + inset + span, y + thick / 2}, ui.theme.line,
                      thick / 2);
  list->AddRectFilled({track.x + inset, y - thick / 2}, {x_of(value), y + thick / 2}, ui.theme.accent, thick / 2);
  if (look.mark > look.least && look.mark < look.most) {
    list->AddRectFilled({x_of(look.mark) - 1, y - ui.px(9)}, {x_of(look.mark) + 1, y + ui.px(9)}, ui.theme.text);
  }
  const bool held = ImGui::IsItemActive() || ImGui::IsItemHovered();
  list->AddCircleFilled({x_of(value), y}, ui.px(held ? 9.0F : 8.0F), ui.theme.accent, 24);
  list->AddCircleFilled({x_of(value), y}, ui.px(held ? 4.0F : 3.0F), ui.theme.panel, 16);
  focus_ring(ui, track, {track.x + free, track.y + height});
  ImGui::PopID();
  return edit;
}

bool choose(Ui& ui, const char* id, std::span<const std::string> options, int& index) {
  ImGui::PushID(id);
  bool changed = false;
  for (int i = 0; i < static_cast<int>(options.size()); ++i) {
    const std::string& option = options[static_cast<std::size_t>(i)];
    ImGui::PushID(i);
    if (i > 0) flow(ui, button_size(ui, option).x, ui.px(6));
    if (button(ui, "option", option, i == index ? ButtonLook::chosen : ButtonLook::plain) && i != index) {
      index = i;
      changed = true;
    }
    ImGui::PopID();
  }
  ImGui::PopID();
  return changed;
}

bool pick_from(Ui& ui, const char* id, std::string_view label, std::span<const std::string> options, int& index) {
  ImGui::PushID(id);
  if (!label.empty()) text_line(ui, ui.fonts.base, ui.theme.text, label);
  const float width = room();
  const std::string shown =
      index >= 0 && index < static_cast<int>(options.size()) ? options[static_cast<std::size_t>(index)] : "–";
  const std::string face = shown + "  ▾";
  if (button(ui, "open", face, ButtonLook::plain, width)) ImGui::OpenPopup("list");
  bool changed = false;
  ImGui::SetNextWindowPos({ImGui::GetItemRectMin().x, ImGui::GetItemRectMax().y + ui.px(2)});
  const float screen = ImGui::GetIO().DisplaySize.y;
  ImGui::SetNextWindowSizeConstraints({width, 0}, {width, std::max(ui.px(120), screen * 0.6F)});
  if (ImGui::BeginPopup("list")) {
    for (int i = 0; i < static_cast<int>(options.size()); ++i) {
      ImGui::PushID(i);
      if (button(ui, "option", options[static_cast<std::size_t>(i)],
                 i == index ? ButtonLook::chosen : ButtonLook::quiet, room())) {
        changed = i != index;
        index = i;
        ImGui::CloseCurrentPopup();
      }
      ImGui::PopID();
    }
    ImGui::EndPopup();
  }
  ImGui::PopID();
  return changed;
}

bool toggle(Ui& ui, const char* id, std::string_view text, bool& on) {
  const float box = ui.px(20);
  const float wrap = room() - box - ui.px(10);
  const ImVec2 ink = text_size(ui.fonts.base, text, wrap);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float height = std::max(ui.px(least_height), ink.y + ui.px(4));
  const bool pressed = ImGui::InvisibleButton(id, {box + ui.px(10) + ink.x, height});
  if (pressed) on = !on;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImVec2 from{at.x, at.y + (height - box) / 2};
  const ImVec2 to{from.x + box, from.y + box};
  list->AddRectFilled(from, to,
                      on                       ? ui.theme.accent
                      : ImGui::IsItemHovered() ? ui.theme.pressed
                                               : ui.theme.raised,
                      ui.px(3));
  if (!on) list->AddRect(from, to, ui.theme.line, ui.px(3));
  if (on) {
    const ImVec2 tick[3] = {{from.x + box * 0.24F, from.y + box * 0.52F},
                            {from.x + box * 0.43F, from.y + box * 0.72F},
                            {from.x + box * 0.78F, from.y + box * 0.30F}};
    list->AddPolyline(tick, 3, ui.theme.accent_text, 0, std::max(2.0F, ui.px(2)));
  }
  text_at(ui, {to.x + ui.px(10), at.y + (height - ink.y) / 2}, ui.fonts.base, ui.theme.text, text, wrap);
  focus_ring(ui, at, {at.x + box + ui.px(10) + ink.x, at.y + height});
  return pressed;
}

void meter(Ui& ui, double share, ImU32 colour) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = room();
  const float thick = ui.px(8);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + width, at.y + thick}, ui.theme.raised, thick / 2);
  list->AddRect(at, {at.x + width, at.y + thick}, ui.theme.line, thick / 2);
  const float part = width * static_cast<float>(std::clamp(share, 0.0, 1.0));
  if (part > 0.0F) list->AddRectFilled(at, {at.x + std::max(part, thick), at.y + thick}, colour, thick / 2);
  ImGui::Dummy({width, thick});
}

bool section(Ui& ui, const char* id, std::string_view title, bool open_at_first) {
  ImGui::PushID(id);
  int* open = ImGui::GetStateStorage()->GetIntRef(ImGui::GetID("open"), open_at_first ? 1 : 0);
  const float width = room();
  const float wrap = width - ui.px(24);
  const ImVec2 ink = text_size(ui.fonts.strong, title, wrap);
  const float height = std::max(ui.px(least_height), ink.y + ui.px(6));
  const ImVec2 at = ImGui::GetCursorScreenPos();
  if (ImGui::InvisibleButton("heading", {width, height})) *open = 1 - *open;
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled({at.x, at.y}, {at.x + width, at.y + 1}, ui.theme.faint);
  const float r = ui.px(4);
  const ImVec2 c{at.x + width - ui.px(10), at.y + height / 2};
  if (*open != 0) {
    list->AddTriangleFilled({c.x - r, c.y - r / 2}, {c.x + r, c.y - r / 2}, {c.x, c.y + r / 2}, ui.theme.muted);
  } else {
    list->AddTriangleFilled({c.x + r / 2, c.y - r}, {c.x + r / 2, c.y + r}, {c.x - r / 2, c.y}, ui.theme.muted);
  }
  text_at(ui, {at.x, at.y + (height - ink.y) / 2}, ui.fonts.strong,
          ImGui::IsItemHovered() ? ui.theme.accent : ui.theme.text, title, wrap);
  focus_ring(ui, at, {at.x + width, at.y + height});
  const bool is_open = *open != 0;
  ImGui::PopID();
  return is_open;
}

}  // namespace warmbay::render
