// The close-up of a damaged place: the frame round its picture, the cable's section in it, and what is seen there in
// words. The wall behind is drawn by scene_view.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "render/panels/line_drawing.hpp"
#include "render/panels/panels.hpp"

namespace warmbay::render {

namespace {

constexpr float least_side = 88.0F;  // logical; a smaller close-up shows nothing

/// Where things of the cut lie on the screen.
struct Paper {
  const CloseUp& cut;
  ImVec2 from;
  float px_per_m;

  [[nodiscard]] ImVec2 at(const sim::Vec3& p) const {
    const auto [right, up, positive] = close_up_axes(cut.normal);
    const auto away_m = [&](int axis) {
      return static_cast<float>(p[static_cast<std::size_t>(axis)] - cut.middle_m[static_cast<std::size_t>(axis)]);
    };
    const float half_m = 0.5F * static_cast<float>(cut.side_m);
    return {from.x + (half_m + away_m(right)) * px_per_m, from.y + (half_m - away_m(up)) * px_per_m};
  }
};

ImU32 colour_of(const ScreenState& state, double temperature_k) {
  const TemperatureRange& range = state.view.range;
  const double share = std::clamp((temperature_k - range.from_k) / (range.to_k - range.from_k), 0.0, 1.0);
  const glm::vec3 c = state.palettes[static_cast<std::size_t>(state.palette)].at(share);
  return ImGui::ColorConvertFloat4ToU32({c.r, c.g, c.b, 1.0F});
}

struct Temperatures {
  double conductor_k;
  double sheath_k;
};

Temperatures temperatures_at(const sim::CableLine& line, double along_m) {
  std::size_t nearest = 0;
  for (std::size_t n = 1; n < line.along_m.size(); ++n) {
    if (std::abs(static_cast<double>(line.along_m[n]) - along_m) <
        std::abs(static_cast<double>(line.along_m[nearest]) - along_m))
      nearest = n;
  }
  return {static_cast<double>(line.conductor_k[nearest]), static_cast<double>(line.sheath_k[nearest])};
}

/// The sheath, the cores side by side along its long side, the conductor in each.
void draw_section(const ScreenState& state, const Paper& paper, const sim::Cable& cable, int leg,
                  const sim::Vec3& middle_m, const Temperatures& now) {
  const auto [right, up, positive] = close_up_axes(paper.cut.normal);
  const bool upright = sim::index_of(cable.flat[static_cast<std::size_t>(leg)]) == right;  // its long side
  const auto px = [&](double m) { return static_cast<float>(m) * paper.px_per_m; };
  const float half_long = px(0.5 * cable.type.width_m);
  const float half_short = px(0.5 * cable.type.thickness_m);
  const ImVec2 half = upright ? ImVec2{half_short, half_long} : ImVec2{half_long, half_short};
  const ImVec2 c = paper.at(middle_m);
  const ImVec2 from{c.x - half.x, c.y - half.y};
  const ImVec2 to{c.x + half.x, c.y + half.y};
  ImDrawList* list = ImGui::GetWindowDrawList();
  // The corners of the voxels behind would show beside the round sheath.
  if (state.damage.place()->hollow.area_m2 > 0.0) list->AddRectFilled(from, to, IM_COL32(5, 5, 5, 255));
  list->AddRectFilled(from, to, colour_of(state, now.sheath_k), half_short);
  list->AddRect(from, to, IM_COL32(0, 0, 0, 200), half_short, 0, 1.5F);
  const int count = cable.type.loaded + (cable.type.earth_m2 > 0.0 ? 1 : 0);
  const float core = std::min({px(0.5 * cable.type.core_m), 0.9F * half_short, half_long / static_cast<float>(count)});
  const float reach = half_long - std::max(half_short, core) * 0.9F;
  for (int i = 0; i < count; ++i) {
    const float share = count > 1 ? 2.0F * static_cast<float>(i) / static_cast<float>(count - 1) - 1.0F : 0.0F;
    const float aside = reach * share;
    const ImVec2 at = upright ? ImVec2{c.x, c.y + aside} : ImVec2{c.x + aside, c.y};
    const bool earth = cable.type.earth_m2 > 0.0 && i == count / 2;
    const double area_m2 = earth ? cable.type.earth_m2 : cable.type.conductor_m2;
    const float copper = std::min(px(std::sqrt(area_m2 / std::numbers::pi)), core);
    list->AddCircleFilled(at, copper, colour_of(state, earth ? now.sheath_k : now.conductor_k), 16);
    list->AddCircle(at, copper, IM_COL32(0, 0, 0, 220), 16, 1.2F);
  }
}

/// Every cable that crosses the cut.
void draw_cables(const HeatNow& now, const ScreenState& state, const Paper& paper) {
  const sim::Wall& wall = *now.snapshot->wall;
  const auto n = static_cast<std::size_t>(sim::index_of(paper.cut.normal));
  for (std::size_t c = 0; c < wall.cables.size() && c < now.snapshot->lines.size(); ++c) {
    const sim::Cable& cable = wall.cables[c];
    double along_m = 0.0;
    for (int leg = 0; leg + 1 < static_cast<int>(cable.route_m.size()); ++leg) {
      const sim::Vec3& start = cable.route_m[static_cast<std::size_t>(leg)];
      const sim::Vec3& end = cable.route_m[static_cast<std::size_t>(leg) + 1];
      const sim::LegBox box = sim::leg_box(cable, leg);
      const double leg_m = std::abs(end[0] - start[0]) + std::abs(end[1] - start[1]) + std::abs(end[2] - start[2]);
      const double cut_m = paper.cut.middle_m[n];
      if (box.along == paper.cut.normal && cut_m >= box.from_m[n] && cut_m <= box.to_m[n]) {
        sim::Vec3 middle_m = start;
        middle_m[n] = cut_m;
        const double at_m = along_m + std::abs(cut_m - start[n]);
        draw_section(state, paper, cable, leg, middle_m, temperatures_at(now.snapshot->lines[c], at_m));
      }
      along_m += leg_m;
    }
  }
}

/// A length to compare with, along the lower edge.
void draw_ruler(Ui& ui, const Paper& paper, float side) {
  const double shown = round_up_125(0.2 * shown_length(ui.units, paper.cut.side_m));
  const float length = static_cast<float>(metres_of_shown(ui.units, shown)) * paper.px_per_m;
  const std::string text = fmt::format("{:g} {}", shown, length_symbol(ui.units));
  const ImVec2 ink = text_size(ui.fonts.small, text);
  const ImVec2 to{paper.from.x + side - ui.px(8), paper.from.y + side - ui.px(8)};
  text_over_picture(ui, {to.x - std::max(ink.x, length) / 2 - ink.x / 2, to.y - ink.y - ui.px(6)}, ui.fonts.small,
                    text);
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float middle = to.x - std::max(ink.x, length) / 2;
  list->AddRectFilled({middle - length / 2 - 1, to.y - ui.px(3) - 1}, {middle + length / 2 + 1, to.y + 1},
                      IM_COL32(0, 0, 0, 255));
  list->AddRectFilled({middle - length / 2, to.y - ui.px(3)}, {middle + length / 2, to.y}, IM_COL32_WHITE);
}

std::string title_of(const Ui& ui, const HeatNow& now, const CloseUpPlace& place) {
  const std::string& cable = now.snapshot->wall->cables[static_cast<std::size_t>(place.cable)].name;
  return ui.say("close_up.title", fmt::arg("cable", cable), fmt::arg("at", length_text(ui.units, place.along_m)));
}

std::string caption_of(const Ui& ui, const CloseUpPlace& place) {
  if (place.hollow.tall_m > 0.0)
    return ui.say("close_up.void", fmt::arg("tall", length_text(ui.units, place.hollow.tall_m)));
  switch (place.cut.normal) {
    case sim::Axis::x:
      return ui.say("close_up.room_left");
    case sim::Axis::y:
      return ui.say("close_up.from_above");
    case sim::Axis::z:
      break;
  }
  return ui.say("close_up.from_room");
}

}  // namespace

ImVec2 draw_close_up(const HeatNow& now, ScreenState& state, Ui& ui, ImVec2 at, ImVec2 most) {
  state.close_up_from = state.close_up_to = {};
  const auto& place = state.damage.place();
  if (!state.close_up || !place || state.view.mode != ViewMode::cut_away || state.palettes.empty()) return {};
  const float pad = ui.px(8);
  float width = most.x - 2 * pad;
  const std::string title = title_of(ui, now, *place);
  const std::string caption = caption_of(ui, *place);
  const float above = text_size(ui.fonts.small, title, width).y + ui.px(4);
  const float side = std::floor(std::min(width, most.y - 2 * pad - above));
  if (side < ui.px(least_side)) return {};
  width = std::max(side, std::min(width, text_size(ui.fonts.small, title, width).x));

  const ImVec2 size{width + 2 * pad, side + above + 2 * pad};
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImVec2 from{std::floor(at.x + (size.x - side) / 2), std::floor(at.y + pad + above)};
  const ImVec2 to{from.x + side, from.y + side};
  // Its ground leaves the picture free, which is drawn below the panels.
  list->AddRectFilled(at, {at.x + size.x, from.y}, ui.theme.panel);
  list->AddRectFilled({at.x, to.y}, {at.x + size.x, at.y + size.y}, ui.theme.panel);
  list->AddRectFilled({at.x, from.y}, {from.x, to.y}, ui.theme.panel);
  list->AddRectFilled({to.x, from.y}, {at.x + size.x, to.y}, ui.theme.panel);
  list->AddRect({from.x - 1, from.y - 1}, {to.x + 1, to.y + 1}, ui.theme.line);
  text_at(ui, {at.x + pad, at.y + pad}, ui.fonts.small, ui.theme.muted, title, width);
  state.close_up_from = from;
  state.close_up_to = to;
  const Paper paper{place->cut, from, side / static_cast<float>(place->cut.side_m)};
  ImGui::PushClipRect(from, to, true);
  draw_cables(now, state, paper);
  draw_ruler(ui, paper, side);
  if (text_size(ui.fonts.small, caption).x <= side - ui.px(16))
    text_over_picture(ui, {from.x + ui.px(8), from.y + ui.px(6)}, ui.fonts.small, caption);
  ImGui::PopClipRect();
  return size;
}

}  // namespace warmbay::render
