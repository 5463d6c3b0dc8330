// The colour scale. Its range stays where it is unless someone moves it: infrared practice, span and level.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "render/panels/line_drawing.hpp"
#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

constexpr double least_span_k = 2.0;
constexpr double coldest_k = 223.15;
constexpr double hottest_k = 1473.15;

ImU32 colour_at(const Palette& palette, double fraction) {
  const glm::vec3 c = palette.at(fraction);
  return ImGui::ColorConvertFloat4ToU32({c.r, c.g, c.b, 1.0F});
}

void draw_bar(const ScreenState& state, ImVec2 from, ImVec2 to) {
  const Palette& palette = state.palettes[static_cast<std::size_t>(state.palette)];
  ImDrawList* list = ImGui::GetWindowDrawList();
  constexpr int bands = 32;
  for (int i = 0; i < bands; ++i) {
    const float top = to.y - (to.y - from.y) * static_cast<float>(i + 1) / bands;
    const float bottom = to.y - (to.y - from.y) * static_cast<float>(i) / bands;
    const ImU32 upper = colour_at(palette, static_cast<double>(i + 1) / bands);
    const ImU32 lower = colour_at(palette, static_cast<double>(i) / bands);
    list->AddRectFilledMultiColor({from.x, std::floor(top)}, {to.x, std::floor(bottom)}, upper, upper, lower, lower);
  }
}

/// Drag: level. Wheel: span about its middle.
void move_range(TemperatureRange& range, float height) {
  const double span = range.to_k - range.from_k;
  if (ImGui::IsItemActive() && ImGui::GetIO().MouseDelta.y != 0.0F) {
    const double by = std::clamp(static_cast<double>(ImGui::GetIO().MouseDelta.y / height) * span,
                                 coldest_k - range.from_k, hottest_k - range.to_k);
    range.from_k += by;
    range.to_k += by;
  }
  if (ImGui::IsItemHovered() && ImGui::GetIO().MouseWheel != 0.0F) {
    const double middle = 0.5 * (range.to_k + range.from_k);
    const double next =
        std::clamp(span * std::pow(1.1, -static_cast<double>(ImGui::GetIO().MouseWheel)), least_span_k, 1000.0);
    range = {std::max(coldest_k, middle - next / 2), std::min(hottest_k, middle + next / 2)};
  }
}

/// From the coldest to the hottest of the wall, on round numbers.
TemperatureRange fitted(const sim::Snapshot& snapshot, const Units& units) {
  const auto [low, high] = std::minmax_element(snapshot.temperature_k.begin(), snapshot.temperature_k.end());
  double low_k = static_cast<double>(*low);
  double high_k = static_cast<double>(*high);
  for (const sim::CableReading& cable : snapshot.reading.cables) high_k = std::max(high_k, cable.hottest_k);
  const Axis axis =
      round_axis(shown_temperature(units, low_k), shown_temperature(units, std::max(high_k, low_k + 5.0)), 8);
  return {kelvin_of_shown(units, axis.low), kelvin_of_shown(units, axis.high)};
}

/// Numbers beside the bar, and how hot the hottest point is on it.
void draw_scale(Ui& ui, const TemperatureRange& range, const HeatNow& now, ImVec2 from, ImVec2 to) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  const double low = shown_temperature(ui.units, range.from_k);
  const double high = shown_temperature(ui.units, range.to_k);
  const auto y_of = [&](double shown) {
    return to.y - (to.y - from.y) * static_cast<float>((shown - low) / (high - low));
  };
  const float small = ui.fonts.small->FontSize;
  const Axis axis = round_axis(low, high, std::max(1, static_cast<int>((to.y - from.y) / (small * 2.2F))));
  for (double v = std::ceil(low / axis.step) * axis.step; v <= high; v += axis.step) {
    const float y = std::floor(y_of(v));
    list->AddRectFilled({from.x - ui.px(5), y}, {from.x, y + 1}, ui.theme.text);
    const std::string label = fmt::format("{:g}", std::abs(v) < 1e-9 ? 0.0 : v);
    if (y - from.y < small * 0.4F || to.y - y < small * 0.4F) continue;
    text_over_picture(ui, {from.x - ui.px(10) - text_size(ui.fonts.small, label).x, y - small / 2}, ui.fonts.small,
                      label);
  }
  if (!now.snapshot || now.snapshot->reading.cables.empty()) return;
  double hottest = 0.0;
  for (const sim::CableReading& cable : now.snapshot->reading.cables) hottest = std::max(hottest, cable.hottest_k);
  const float y = std::clamp(y_of(shown_temperature(ui.units, hottest)), from.y, to.y);
  const float r = ui.px(6);
  list->AddTriangleFilled({to.x + ui.px(2), y}, {to.x + ui.px(2) + r, y - r}, {to.x + ui.px(2) + r, y + r},
                          ui.theme.text);
}

}  // namespace

namespace {

/// Presenting there is nothing to set: the bar takes the whole height, its ends written above and below.
void draw_plain(const HeatNow& now, const ScreenState& state, Ui& ui, const TemperatureRange& range) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 free = ImGui::GetContentRegionAvail();
  const float row = ui.fonts.base->FontSize + ui.px(6);
  const float right = at.x + free.x - ui.px(12);
  const auto end = [&](double temperature_k, float y) {
    const std::string text = temperature_text(ui.units, temperature_k, 0);
    text_at(ui, {right - text_size(ui.fonts.base, text).x, y}, ui.fonts.base, ui.theme.text, text);
  };
  end(range.to_k, at.y);
  end(range.from_k, at.y + free.y - row + ui.px(4));
  const ImVec2 from{right - ui.px(18), at.y + row};
  const ImVec2 to{right, at.y + free.y - row};
  if (to.y - from.y < ui.px(30)) return;
  draw_bar(state, from, to);
  ImGui::GetWindowDrawList()->AddRect({from.x - 1, from.y - 1}, {to.x + 1, to.y + 1}, ui.theme.line);
  draw_scale(ui, range, now, from, to);
}

}  // namespace

Wishes draw_legend(const HeatNow& now, ScreenState& state, Ui& ui) {
  if (state.palettes.empty() || !now.snapshot) return {};
  const bool face = state.view.mode != ViewMode::cut_away && state.view.face_range.has_value();
  TemperatureRange& range = face ? *state.view.face_range : state.view.range;
  if (ui.presenting) {
    draw_plain(now, state, ui, range);
    return {};
  }
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 free = ImGui::GetContentRegionAvail();
  const float field = std::min(free.x - text_size(ui.fonts.base, temperature_symbol(ui.units)).x - ui.px(8), ui.px(64));

  double high = shown_temperature(ui.units, range.to_k);
  double low = shown_temperature(ui.units, range.from_k);
  const double least_span = shown_difference(ui.units, least_span_k);
  if (number(ui, "high", high, low + least_span, shown_temperature(ui.units, hottest_k), 0,
             temperature_symbol(ui.units), field)) {
    range.to_k = kelvin_of_shown(ui.units, high);
  }
  const float row = ImGui::GetItemRectSize().y;
  const float fit = button_size(ui, ui.say("legend.fit"), free.x).y;
  const float bar_top = at.y + row + ui.px(8);
  const float bar_bottom = at.y + free.y - row - fit - ui.px(16);
  if (bar_bottom - bar_top > ui.px(40)) {
    const float width = ui.px(18);
    const ImVec2 from{at.x + free.x - width - ui.px(12), bar_top};
    const ImVec2 to{from.x + width, bar_bottom};
    ImGui::SetCursorScreenPos(from);
    ImGui::InvisibleButton("bar", {to.x - from.x, to.y - from.y});
    move_range(range, to.y - from.y);
    draw_bar(state, from, to);
    ImGui::GetWindowDrawList()->AddRect({from.x - 1, from.y - 1}, {to.x + 1, to.y + 1}, ui.theme.line);
    draw_scale(ui, range, now, from, to);
  }
  ImGui::SetCursorScreenPos({at.x, std::max(bar_bottom, bar_top) + ui.px(8)});
  if (number(ui, "low", low, shown_temperature(ui.units, coldest_k), high - least_span, 0, temperature_symbol(ui.units),
             field)) {
    range.from_k = kelvin_of_shown(ui.units, low);
  }
  ImGui::SetCursorScreenPos({at.x, ImGui::GetItemRectMax().y + ui.px(6)});
  if (button(ui, "fit", ui.say("legend.fit"), ButtonLook::plain, free.x)) {
    range = face ? SceneView::face_extremes(*now.snapshot, state.view) : fitted(*now.snapshot, ui.units);
    if (range.to_k - range.from_k < least_span_k) range.to_k = range.from_k + least_span_k;
  }
  return {};
}

}  // namespace warmbay::render
