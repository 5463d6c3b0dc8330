// Where the panels lie. Heights follow what the panels needed in the last frame; where the window is too small for the
// side column it becomes a drawer over the picture.

#include "render/screen.hpp"

#include <imgui_internal.h>

#include <algorithm>
#include <utility>

#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

constexpr ImGuiWindowFlags still = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove |
                                   ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoBringToFrontOnFocus |
                                   ImGuiWindowFlags_NoCollapse;

/// A part of the host window with its own ground; scrolls when its content is taller.
template <typename Draw>
float region(Ui& ui, const char* id, ImVec2 from, ImVec2 to, ImU32 ground, ImVec2 padding, bool scrolls,
             const Draw& draw) {
  ImGui::SetCursorScreenPos(from);
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ground);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, padding);
  const ImGuiWindowFlags flags = ImGuiWindowFlags_AlwaysUseWindowPadding | ImGuiWindowFlags_NavFlattened |
                                 (scrolls ? 0 : ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
  float needed = 0.0F;
  if (ImGui::BeginChild(id, {std::max(1.0F, to.x - from.x), std::max(1.0F, to.y - from.y)}, false, flags)) {
    draw();
    const ImGuiWindow* window = ImGui::GetCurrentWindow();
    needed = window->DC.CursorMaxPos.y - window->DC.CursorStartPos.y + 2 * padding.y;
  }
  ImGui::EndChild();
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
  (void)ui;
  return needed;
}

Wishes draw_controls(const HeatNow& now, ScreenState& state, Ui& ui) {
  Wishes wishes;
  add(wishes, draw_infrared(now, state, ui));
  add(wishes, draw_supply(now, state, ui));
  add(wishes, draw_gave_way(now, state, ui));
  add(wishes, draw_events(now, state, ui));
  add(wishes, draw_hand(now, state, ui));
  add(wishes, draw_surroundings(now, state, ui));
  add(wishes, draw_insulation(now, state, ui));
  add(wishes, draw_view_controls(now, state, ui));
  add(wishes, draw_display_controls(now, state, ui));
  return wishes;
}

struct Places {
  float width = 0.0F;
  float height = 0.0F;
  float side = 0.0F;  // width of the side column; 0: it is a drawer
  float top = 0.0F;
  float bottom = 0.0F;  // the demonstration and the footer
  float footer = 0.0F;
  float chart = 0.0F;  // height; 0: no room for it
};

Places places_of(const ScreenState& state, const Ui& ui) {
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  Places places;
  places.width = screen.x;
  places.height = screen.y;
  const float column = ui.px(312);
  if (!ui.presenting && screen.x - column >= ui.px(720)) places.side = column;
  // In a low window (or at a large scale) the wall keeps half of it; what does not fit above and below scrolls.
  const bool low = screen.y < ui.px(560) && !ui.presenting;
  places.top = std::min(std::max(state.top_px, ui.px(64)), low ? ui.px(78) : screen.y * 0.34F);
  places.footer = std::max(state.footer_px, ui.px(28));
  places.bottom = std::min(std::max(state.bottom_px, ui.px(48)) + places.footer, screen.y * (low ? 0.36F : 0.44F));
  const float rest = screen.y - places.top - places.bottom;
  if (rest >= ui.px(300)) places.chart = std::clamp(rest * 0.31F, ui.px(130), ui.px(320));
  return places;
}

void draw_blank() {
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  ImGui::GetForegroundDrawList()->AddRectFilled({0, 0}, screen, IM_COL32_BLACK);
}

/// The picture of the wall and what lies over it.
Wishes draw_picture(const HeatNow& now, ScreenState& state, Ui& ui, ImVec2 from, ImVec2 to) {
  Wishes wishes;
  state.view_from = from;
  state.view_to = to;
  region(ui, "picture", from, to, IM_COL32_BLACK_TRANS, {0, 0}, false, [&] {
    add(wishes, draw_wall_view(now, state, ui));
    const float width = ui.px(104);
    const ImVec2 legend_from{to.x - width - ui.px(10), from.y + ui.px(10)};
    if (to.y - from.y > ui.px(150) && to.x - from.x > ui.px(320)) {
      region(ui, "legend", legend_from, {to.x - ui.px(10), to.y - ui.px(10)}, IM_COL32_BLACK_TRANS, {0, 0}, false,
             [&] { add(wishes, draw_legend(now, state, ui)); });
    }
    add(wishes, draw_danger(now, state, ui));
  });
  return wishes;
}

/// Buttons over the picture that open the drawers of a small window.
void draw_drawer_button(ScreenState& state, Ui& ui, ImVec2 from, float width) {
  const std::string& name = ui.say(state.controls_open ? "panel.close_controls" : "panel.open_controls");
  const ImVec2 size = button_size(ui, name, 0.0F);
  ImGui::SetCursorScreenPos({from.x, from.y});
  region(ui, "drawer button", from, {from.x + std::min(width, size.x), from.y + size.y}, IM_COL32_BLACK_TRANS, {0, 0},
         false, [&] {
           if (button(ui, "drawer", name)) state.controls_open = !state.controls_open;
         });
}

Wishes draw_regions(const HeatNow& now, ScreenState& state, Ui& ui) {
  Wishes wishes;
  const Places p = places_of(state, ui);
  const float line = 1.0F;
  const ImVec2 pad{ui.px(16), ui.px(8)};
  float top = 0.0F;
  float bottom = 0.0F;
  const auto top_bar = [&] {
    top = region(ui, "top", {0, 0}, {p.width, p.top}, ui.theme.panel, pad, true,
                 [&] { add(wishes, draw_top_bar(now, state, ui)); });
  };
  const float left = p.width - p.side;
  const float picture_bottom = p.height - p.bottom - p.chart;
  top_bar();
  add(wishes, draw_picture(now, state, ui, {0, p.top + line}, {left, picture_bottom}));
  if (p.chart > 0.0F) {
    region(ui, "chart", {0, picture_bottom}, {left, p.height - p.bottom - line}, ui.theme.panel, {ui.px(14), ui.px(8)},
           false, [&] { add(wishes, draw_chart(now, state, ui)); });
  }
  if (p.side > 0.0F) {
    region(ui, "side", {left + line, p.top + line}, {p.width, p.height - p.bottom - line}, ui.theme.panel,
           {ui.px(14), ui.px(6)}, true, [&] { add(wishes, draw_controls(now, state, ui)); });
  } else if (!ui.presenting) {
    const float drawer = std::min(left - ui.px(60), ui.px(340));
    if (state.controls_open) {
      region(ui, "side", {left - drawer, p.top + line}, {left, p.height - p.bottom - line}, ui.theme.panel,
             {ui.px(14), ui.px(46)}, true, [&] {
               add(wishes, draw_controls(now, state, ui));
               if (p.chart == 0.0F && section(ui, "chart", ui.say("panel.chart"))) {
                 region(ui, "chart", ImGui::GetCursorScreenPos(),
                        {ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x,
                         ImGui::GetCursorScreenPos().y + ui.px(170)},
                        ui.theme.panel, {0, 0}, false, [&] { add(wishes, draw_chart(now, state, ui)); });
               }
             });
    }
    const ImVec2 in_drawer{left - drawer + ui.px(14), p.top + ui.px(8)};
    const ImVec2 below{ui.px(10), picture_bottom - ui.px(38)};
    draw_drawer_button(state, ui, state.controls_open ? in_drawer : below, drawer - ui.px(28));
  }
  const float footer_top = p.height - p.footer;
  bottom = region(ui, "bottom", {0, p.height - p.bottom}, {p.width, footer_top}, ui.theme.panel, {ui.px(16), ui.px(10)},
                  true, [&] {
                    add(wishes, draw_demonstration(now, state, ui));
                    add(wishes, draw_cautions(now, state, ui));
                  });
  state.footer_px = region(ui, "footer", {0, footer_top}, {p.width, p.height}, ui.theme.panel, {ui.px(16), ui.px(4)},
                           false, [&] { draw_notice(ui); });
  state.top_px = top;
  state.bottom_px = bottom;
  return wishes;
}

}  // namespace

Wishes draw_screen(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (std::exchange(state.leave_field, false)) ImGui::ClearActiveID();
  ImGui::SetNextWindowPos({0, 0});
  ImGui::SetNextWindowSize(ImGui::GetIO().DisplaySize);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 0.0F);
  ImGui::PushFont(ui.fonts.base);
  ImGui::Begin(
      "screen", nullptr,
      still | ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoBackground);
  ImGui::PopStyleVar(2);
  Wishes wishes = draw_regions(now, state, ui);
  add(wishes, draw_first_caution(state, ui));
  add(wishes, draw_key_list(state, ui));
  ImGui::End();
  ImGui::PopFont();
  if (state.blank) draw_blank();
  return wishes;
}

}  // namespace warmbay::render
