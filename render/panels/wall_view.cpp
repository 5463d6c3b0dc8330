// Over the picture of the wall: turning it with the pointer, what the instruments read and where, isotherms' numbers.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "render/failures.hpp"
#include "render/panels/line_drawing.hpp"
#include "render/panels/panels.hpp"
#include "render/panels/widgets.hpp"

namespace warmbay::render {

namespace {

ViewSize size_of(const ScreenState& state) {
  return {static_cast<int>(state.view_to.x - state.view_from.x), static_cast<int>(state.view_to.y - state.view_from.y)};
}

void steer(ScreenState& state) {
  const ImGuiIO& io = ImGui::GetIO();
  const ViewSize size = size_of(state);
  // The pointer's way to where it was pressed is no drag.
  if (ImGui::IsItemActive() && !ImGui::IsItemActivated() && state.view.mode == ViewMode::cut_away) {
    const bool pan =
        io.KeyShift || ImGui::IsMouseDown(ImGuiMouseButton_Middle) || ImGui::IsMouseDown(ImGuiMouseButton_Right);
    constexpr double rad_px = 0.006;
    if (pan) {
      state.view.camera.pan(static_cast<double>(io.MouseDelta.x), static_cast<double>(io.MouseDelta.y), size);
    } else {
      state.view.camera.orbit(-static_cast<double>(io.MouseDelta.x) * rad_px,
                              static_cast<double>(io.MouseDelta.y) * rad_px);
    }
  }
  if (ImGui::IsItemHovered() && io.MouseWheel != 0.0F) state.view.camera.zoom(static_cast<double>(io.MouseWheel));
}

enum class Sign { spot, electric, hollow };

struct Spot {
  std::string name;
  std::string value;
  ImVec2 at;
  Sign sign = Sign::spot;
};

sim::Vec3 place_of(const sim::Wall& wall, const sim::Thermocouple& spot) {
  return spot.cable < 0 ? spot.at_m : sim::route_point(wall.cables[static_cast<std::size_t>(spot.cable)], spot.along_m);
}

/// Where a point of the wall is on the screen; nothing beside the picture.
std::optional<ImVec2> on_screen(const HeatNow& now, const ScreenState& state, const sim::Vec3& point_m) {
  const auto point = SceneView::project(*now.snapshot->wall, state.view, point_m, size_of(state));
  if (!point) return std::nullopt;
  const ImVec2 at{state.view_from.x + point->x_px, state.view_from.y + point->y_px};
  const bool inside =
      at.x >= state.view_from.x && at.x <= state.view_to.x && at.y >= state.view_from.y && at.y <= state.view_to.y;
  return inside ? std::optional(at) : std::nullopt;
}

/// On a face only what sits on it is shown; the wall cut open shows everything.
bool on_shown_face(const ScreenState& state, const sim::Wall& wall, const sim::Vec3& point_m) {
  constexpr double on_it_m = 1e-3;
  switch (state.view.mode) {
    case ViewMode::cut_away:
      return true;
    case ViewMode::room_face:
      return point_m[2] <= on_it_m;
    case ViewMode::far_face:
      break;
  }
  return point_m[2] >= wall.grid.z_m.back() - on_it_m;
}

/// What has failed comes first: where labels run out of room, it is the last to lose its own.
std::vector<Spot> spots_in_view(const HeatNow& now, const ScreenState& state, const Ui& ui) {
  const sim::Snapshot& snapshot = *now.snapshot;
  const sim::Wall& wall = *snapshot.wall;
  std::vector<Spot> spots;
  if (state.view.mode == ViewMode::cut_away) {
    for (const Failure& failure : failures_of(snapshot)) {
      if (const auto at = on_screen(now, state, failure.at_m))
        spots.push_back({ui.say(failure.open ? "failure.open" : "failure.short"),
                         ui.say("failure.at", fmt::arg("at", length_text(ui.units, failure.along_m))), *at,
                         Sign::electric});
    }
    if (state.damage.has(sim::VoxelState::gone) && state.damage.place()) {
      sim::Vec3 top_m = state.damage.place()->cut.middle_m;
      top_m[1] += 0.4 * state.damage.place()->hollow.tall_m;
      if (const auto at = on_screen(now, state, top_m))
        spots.push_back(
            {ui.say("damage.void"), number_text(snapshot.reading.void_m3 * 1e6) + " cm³", *at, Sign::hollow});
    }
  }
  if (state.view.mode != ViewMode::cut_away) {
    const auto hottest = SceneView::hottest_of_face(snapshot, state.view);
    const auto at = hottest ? on_screen(now, state, hottest->point_m) : std::nullopt;
    if (at)
      spots.push_back(
          {ui.say("infrared.true", fmt::arg("temperature", temperature_text(ui.units, *hottest->true_k))),
           ui.say("infrared.shown", fmt::arg("temperature", temperature_text(ui.units, hottest->temperature_k))), *at});
  }
  for (std::size_t i = 0; i < wall.thermocouples.size() && i < snapshot.reading.thermocouple_k.size(); ++i) {
    const sim::Vec3 place_m = place_of(wall, wall.thermocouples[i]);
    const auto at = on_screen(now, state, place_m);
    if (!at || !on_shown_face(state, wall, place_m)) continue;
    const bool slipped = i < snapshot.reading.slipped.size() && snapshot.reading.slipped[i] != 0;
    const std::string& name = wall.thermocouples[i].name;
    spots.push_back({slipped ? ui.say("damage.slipped", fmt::arg("name", name)) : name,
                     temperature_text(ui.units, snapshot.reading.thermocouple_k[i]), *at});
  }
  return spots;
}

void draw_sign(const Ui& ui, const Spot& spot, float r) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  switch (spot.sign) {
    case Sign::spot:
      list->AddCircleFilled(spot.at, r + ui.px(2), ui.theme.panel, 20);
      list->AddCircleFilled(spot.at, r, ui.theme.text, 20);
      break;
    case Sign::electric:
      draw_electric(*list, spot.at, 2.2F * r);
      break;
    case Sign::hollow:  // its own rim is sign enough
      break;
  }
}

struct Placed {
  ImVec2 at;
  ImVec2 size;
};

bool overlaps(const Placed& a, const Placed& b) {
  return a.at.x < b.at.x + b.size.x && b.at.x < a.at.x + a.size.x && a.at.y < b.at.y + b.size.y &&
         b.at.y < a.at.y + a.size.y;
}

/// A free place near a spot: above it first, then ever further around it.
std::optional<Placed> free_place(const ScreenState& state, const std::vector<Placed>& taken, ImVec2 at, ImVec2 size,
                                 float step) {
  const ImVec2 least{state.view_from.x + step, state.view_from.y + step};
  const ImVec2 most{state.view_to.x - size.x - step, state.view_to.y - size.y - step};
  if (most.x < least.x || most.y < least.y) return std::nullopt;  // the picture is smaller than the label
  static const std::array<ImVec2, 8> directions{ImVec2{0, -1}, ImVec2{1, -1}, ImVec2{-1, -1}, ImVec2{1, 0},
                                                ImVec2{-1, 0}, ImVec2{0, 1},  ImVec2{1, 1},   ImVec2{-1, 1}};
  for (float distance = step; distance < 12 * step; distance += step) {
    for (const ImVec2 d : directions) {
      const Placed place{{std::clamp(at.x + d.x * (distance + size.x / 2) - size.x / 2, least.x, most.x),
                          std::clamp(at.y + d.y * (distance + size.y / 2) - size.y / 2, least.y, most.y)},
                         size};
      const bool free = std::none_of(taken.begin(), taken.end(), [&](const Placed& t) { return overlaps(t, place); });
      if (free) return place;
    }
  }
  return std::nullopt;  // too small a picture: the mark alone
}

void draw_spots(Ui& ui, const HeatNow& now, const ScreenState& state, std::vector<Placed>& taken) {
  std::vector<Spot> spots = spots_in_view(now, state, ui);
  // What lies behind the close-up or the key is not to be seen.
  std::erase_if(spots, [&](const Spot& spot) {
    return std::any_of(taken.begin(), taken.end(), [&](const Placed& t) {
      return overlaps(t, {spot.at, {1.0F, 1.0F}});
    });
  });
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float r = ui.px(5);
  for (const Spot& spot : spots) taken.push_back({{spot.at.x - r, spot.at.y - r}, {2 * r, 2 * r}});
  struct Label {
    const Spot& spot;
    Placed place;
    float name_height;
  };
  std::vector<Label> labels;
  const float pad = ui.px(5);
  for (const Spot& spot : spots) {
    const ImVec2 name = text_size(ui.fonts.small, spot.name);
    const ImVec2 value = text_size(ui.fonts.strong, spot.value);
    const ImVec2 size{std::max(name.x, value.x) + 2 * pad, name.y + value.y + pad};
    const auto place = free_place(state, taken, spot.at, size, ui.px(14));
    if (place) labels.push_back({spot, *place, name.y});
    if (place) taken.push_back(*place);
  }
  // All lines below all labels, so that none runs through a number.
  for (const auto& [spot, place, name_height] : labels) {
    const ImVec2 nearest{std::clamp(spot.at.x, place.at.x, place.at.x + place.size.x),
                         std::clamp(spot.at.y, place.at.y, place.at.y + place.size.y)};
    list->AddLine(spot.at, nearest, ui.theme.panel, ui.px(4));
    list->AddLine(spot.at, nearest, ui.theme.text, std::max(1.0F, ui.px(2)));
  }
  for (auto spot = spots.rbegin(); spot != spots.rend(); ++spot) draw_sign(ui, *spot, r);
  for (const auto& [spot, place, name_height] : labels) {
    list->AddRectFilled(place.at, {place.at.x + place.size.x, place.at.y + place.size.y},
                        (ui.theme.panel & ~IM_COL32_A_MASK) | (240U << IM_COL32_A_SHIFT), ui.px(4));
    if (spot.sign == Sign::electric)
      list->AddRect(place.at, {place.at.x + place.size.x, place.at.y + place.size.y},
                    signal_colours(scenes::Signal::caution).ground, ui.px(4), 0, std::max(2.0F, ui.px(2)));
    text_at(ui, {place.at.x + pad, place.at.y + pad / 2}, ui.fonts.small, ui.theme.muted, spot.name);
    text_at(ui, {place.at.x + pad, place.at.y + pad / 2 + name_height}, ui.fonts.strong, ui.theme.text, spot.value);
  }
}

void draw_isotherm_numbers(Ui& ui, const HeatNow& now, const ScreenState& state, std::vector<Placed>& taken) {
  if (!state.view.isotherms) return;
  for (const IsothermLabel& label : SceneView::isotherm_labels(*now.snapshot, state.view)) {
    const auto point = SceneView::project(*now.snapshot->wall, state.view, label.point_m, size_of(state));
    if (!point) continue;
    const std::string text = fmt::format("{:.0f}", shown_temperature(ui.units, label.temperature_k));
    const ImVec2 size = text_size(ui.fonts.small, text);
    const ImVec2 at{state.view_from.x + point->x_px - size.x / 2, state.view_from.y + point->y_px - size.y / 2};
    const Placed place{{at.x - ui.px(4), at.y - ui.px(2)}, {size.x + ui.px(8), size.y + ui.px(4)}};
    const bool inside = at.x > state.view_from.x && at.y > state.view_from.y && at.x + size.x < state.view_to.x &&
                        at.y + size.y < state.view_to.y;
    if (!inside || std::any_of(taken.begin(), taken.end(), [&](const Placed& t) { return overlaps(t, place); }))
      continue;
    taken.push_back(place);
    text_over_picture(ui, at, ui.fonts.small, text);
  }
}

/// The key of the word for a state; nullptr for sound.
const char* word_of(sim::VoxelState state) {
  switch (state) {
    case sim::VoxelState::gone:
      return "damage.key.void";
    case sim::VoxelState::melt:
      return "damage.key.melt";
    case sim::VoxelState::softened:
      return "damage.key.softened";
    case sim::VoxelState::charred:
      return "damage.key.charred";
    case sim::VoxelState::dried:
      return "damage.key.dried";
    case sim::VoxelState::sound:
      break;
  }
  return nullptr;
}

void draw_pointed(Ui& ui, const HeatNow& now, const ScreenState& state) {
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  const auto picked = SceneView::pick(*now.snapshot, state.view, static_cast<double>(mouse.x - state.view_from.x),
                                      static_cast<double>(mouse.y - state.view_from.y), size_of(state));
  if (!picked) return;
  const std::string shown = temperature_text(ui.units, picked->temperature_k);
  const std::string value = picked->true_k ? ui.say("infrared.shown", fmt::arg("temperature", shown)) : shown;
  const char* const word = word_of(picked->state);
  std::string what = word == nullptr ? picked->material : picked->material + " · " + ui.say(word);
  if (picked->true_k)
    what = ui.say("infrared.true", fmt::arg("temperature", temperature_text(ui.units, *picked->true_k))) + " · " + what;
  const ImVec2 a = text_size(ui.fonts.strong, value);
  const ImVec2 b = text_size(ui.fonts.small, what);
  const float pad = ui.px(6);
  const ImVec2 size{std::max(a.x, b.x) + 2 * pad, a.y + (what.empty() ? 0.0F : b.y) + pad};
  const ImVec2 at{std::min(mouse.x + ui.px(16), state.view_to.x - size.x),
                  std::min(mouse.y + ui.px(16), state.view_to.y - size.y)};
  ImGui::GetWindowDrawList()->AddRectFilled(at, {at.x + size.x, at.y + size.y}, ui.theme.panel, ui.px(4));
  ImGui::GetWindowDrawList()->AddRect(at, {at.x + size.x, at.y + size.y}, ui.theme.accent, ui.px(4));
  text_at(ui, {at.x + pad, at.y + pad / 2}, ui.fonts.strong, ui.theme.text, value);
  text_at(ui, {at.x + pad, at.y + pad / 2 + a.y}, ui.fonts.small, ui.theme.muted, what);
}

/// At the left, below the modes: the close-up and what the marks mean, as far as there is room for them.
void draw_damage_column(Ui& ui, const HeatNow& now, ScreenState& state, std::vector<Placed>& taken) {
  const float gap = ui.px(10);
  const float width = std::clamp(0.30F * (state.view_to.x - state.view_from.x), ui.px(150), ui.px(240));
  ImVec2 at{state.view_from.x + gap, state.view_from.y + (ui.presenting ? gap : ui.px(50))};
  const float bottom = state.view_to.y - gap;
  const ImVec2 key = draw_damage_key(now, state, ui, at, width, false);
  // The marks' meaning goes to the right of the wall, beside the legend, where the picture is wide enough.
  const bool wide = state.view_to.x - state.view_from.x >= ui.px(760);
  const ImVec2 close_up = draw_close_up(now, state, ui, at, {width, bottom - at.y - (wide ? 0.0F : key.y + gap)});
  if (close_up.y > 0.0F) {
    taken.push_back({at, close_up});
    at.y += close_up.y + gap;
  }
  if (wide) at = {state.view_to.x - ui.px(124) - key.x, bottom - key.y};
  if (key.y <= 0.0F || at.y + key.y > bottom || at.y < state.view_from.y) return;
  draw_damage_key(now, state, ui, at, width);
  taken.push_back({at, key});
}

/// A sentence on the picture: in its middle where there is no wall yet, else at its lower edge, beside the legend.
void draw_news(Ui& ui, const ScreenState& state, const std::string& text, bool middle, ImU32 edge) {
  ImFont* font = middle ? ui.fonts.large : ui.fonts.strong;
  const float pad = ui.px(12);
  const float legend = middle ? 0.0F : ui.px(124);
  const float most = std::max(ui.px(40), state.view_to.x - state.view_from.x - legend - 2 * pad - ui.px(20));
  const ImVec2 size = text_size(font, text, most);
  const float x = (state.view_from.x + state.view_to.x - legend - size.x) / 2;
  const float y = middle ? (state.view_from.y + state.view_to.y - size.y) / 2 : state.view_to.y - size.y - ui.px(16);
  const ImVec2 from{x - pad, y - pad / 2};
  const ImVec2 to{x + size.x + pad, y + size.y + pad / 2};
  ImGui::GetWindowDrawList()->AddRectFilled(from, to, ui.theme.panel, ui.px(4));
  ImGui::GetWindowDrawList()->AddRect(from, to, edge, ui.px(4));
  text_at(ui, {x, y}, font, ui.theme.text, text, most);
}

/// What the machine is busy with; where there is no wall yet, also why there will be none.
void draw_machine(Ui& ui, const HeatNow& now, const ScreenState& state) {
  const bool middle = !now.snapshot;
  const std::string trouble = middle && !now.building ? trouble_sentence(ui, now.trouble) : "";
  if (!trouble.empty()) return draw_news(ui, state, trouble, middle, ui.theme.over);
  if (now.building || middle) draw_news(ui, state, ui.say("status.building"), middle, ui.theme.accent);
}

}  // namespace

std::string trouble_sentence(const Ui& ui, const Trouble& trouble) {
  if (trouble.what == Trouble::What::none) return {};
  const std::string& reason = trouble.reason.memory ? ui.say("trouble.memory") : trouble.reason.said;
  return ui.say(trouble.what == Trouble::What::stopped ? "trouble.stopped" : "wall.fault", fmt::arg("reason", reason));
}

Wishes draw_wall_view(const HeatNow& now, ScreenState& state, Ui& ui) {
  ImGui::SetCursorScreenPos(state.view_from);
  const ImVec2 size{std::max(1.0F, state.view_to.x - state.view_from.x),
                    std::max(1.0F, state.view_to.y - state.view_from.y)};
  ImGui::SetItemAllowOverlap();
  ImGui::InvisibleButton(
      "wall", size,
      ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight | ImGuiButtonFlags_MouseButtonMiddle);
  const bool hovered = ImGui::IsItemHovered();
  const bool turned = ImGui::IsItemActive();
  ImGui::SetItemAllowOverlap();
  if (!now.snapshot) {
    draw_machine(ui, now, state);
    return {};
  }
  steer(state);

  // Where the modes' buttons lie nothing else is written.
  const std::array<std::string, 3> modes{ui.say("view.cut_away"), ui.say("view.room_face"), ui.say("view.far_face")};
  std::vector<Placed> taken;
  if (!ui.presenting) taken.push_back({state.view_from, {std::min(size.x, ui.px(420)), ui.px(44)}});
  ImGui::PushClipRect(state.view_from, state.view_to, true);
  draw_damage_column(ui, now, state, taken);
  draw_spots(ui, now, state, taken);
  draw_isotherm_numbers(ui, now, state, taken);
  if (hovered && !turned) draw_pointed(ui, now, state);
  draw_machine(ui, now, state);
  ImGui::PopClipRect();

  if (ui.presenting) return {};
  ImGui::SetCursorScreenPos({state.view_from.x + ui.px(10), state.view_from.y + ui.px(10)});
  ImGui::BeginGroup();
  int mode = static_cast<int>(state.view.mode);
  if (choose(ui, "mode", modes, mode)) {
    state.view.mode = static_cast<ViewMode>(mode);
    // A face is nearly at the room's temperature: on the wall's own scale nothing of it would be seen.
    if (state.view.mode != ViewMode::cut_away && !state.view.face_range) {
      TemperatureRange range = SceneView::face_extremes(*now.snapshot, state.view);
      const double middle = 0.5 * (range.from_k + range.to_k);
      if (range.to_k - range.from_k < 4.0) range = {middle - 2.0, middle + 2.0};
      state.view.face_range = range;
    }
  }
  ImGui::EndGroup();
  return {};
}

}  // namespace warmbay::render
