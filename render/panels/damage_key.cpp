// What the marks of damage in the picture mean: a sample of each that is there, with its word.

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "render/failures.hpp"
#include "render/panels/panels.hpp"

namespace warmbay::render {

namespace {

constexpr ImU32 ink = IM_COL32(236, 238, 240, 255);
constexpr ImU32 ground = IM_COL32(74, 62, 92, 255);  // some colour of the scale, to show lines on
constexpr ImU32 dark = IM_COL32(40, 36, 48, 255);
constexpr ImU32 hollow = IM_COL32(5, 5, 5, 255);

using Sample = std::function<void(ImDrawList&, ImVec2, ImVec2)>;

void diagonals(ImDrawList& list, ImVec2 from, ImVec2 to, float every, bool rising) {
  const float height = to.y - from.y;
  list.PushClipRect(from, to, true);
  for (float x = from.x - height; x < to.x; x += every) {
    const float left = rising ? to.y : from.y;
    const float right = rising ? from.y : to.y;
    list.AddLine({x, left}, {x + height, right}, ink, 1.3F);
  }
  list.PopClipRect();
}

void draw_void(ImDrawList& list, ImVec2 from, ImVec2 to) {
  list.AddRectFilled(from, to, hollow);
  list.AddRect(from, to, IM_COL32_WHITE, 0, 0, 2.5F);
}
void draw_melt(ImDrawList& list, ImVec2 from, ImVec2 to) {
  list.AddRectFilled(from, to, dark);
  diagonals(list, from, to, 4.0F, true);
}
void draw_char(ImDrawList& list, ImVec2 from, ImVec2 to) {
  list.AddRectFilled(from, to, IM_COL32(26, 24, 30, 255));
  diagonals(list, from, to, 6.0F, true);
  diagonals(list, from, to, 6.0F, false);
}
void draw_soft(ImDrawList& list, ImVec2 from, ImVec2 to) {
  list.AddRectFilled(from, to, ground);
  for (float y = from.y + 3.0F; y < to.y; y += 5.0F) {
    std::array<ImVec2, 12> wave;
    for (std::size_t i = 0; i < wave.size(); ++i) {
      const float x = from.x + (to.x - from.x) * static_cast<float>(i) / static_cast<float>(wave.size() - 1);
      wave[i] = {x, y + (i % 2 == 0 ? -1.2F : 1.2F)};
    }
    list.AddPolyline(wave.data(), static_cast<int>(wave.size()), ink, 0, 1.2F);
  }
}
void draw_dry(ImDrawList& list, ImVec2 from, ImVec2 to) {
  list.AddRectFilled(from, to, ground);
  for (float y = from.y + 3.0F; y < to.y - 1.0F; y += 5.0F)
    for (float x = from.x + 3.0F; x < to.x - 1.0F; x += 5.0F) list.AddRectFilled({x, y}, {x + 2, y + 2}, ink);
}
void draw_dead(ImDrawList& list, ImVec2 from, ImVec2 to) {
  const float y = std::floor((from.y + to.y) / 2);
  const float part = (to.x - from.x) / 5.0F;
  for (int i = 0; i < 5; ++i)
    list.AddRectFilled({from.x + part * static_cast<float>(i), y - 2},
                       {from.x + part * static_cast<float>(i + 1), y + 2}, i % 2 == 0 ? ink : dark);
}
void draw_flash(ImDrawList& list, ImVec2 from, ImVec2 to) {
  draw_electric(list, {(from.x + to.x) / 2, (from.y + to.y) / 2 + 1}, 0.62F * (to.y - from.y));
}

struct Entry {
  const char* word;
  Sample sample;
};

std::vector<Entry> entries_of(const HeatNow& now, const ScreenState& state) {
  using sim::VoxelState;
  std::vector<Entry> entries;
  if (!now.snapshot) return entries;
  const auto add = [&](VoxelState which, const char* word, const Sample& sample) {
    if (state.damage.has(which)) entries.push_back({word, sample});
  };
  add(VoxelState::gone, "damage.key.void", draw_void);
  add(VoxelState::melt, "damage.key.melt", draw_melt);
  add(VoxelState::softened, "damage.key.softened", draw_soft);
  add(VoxelState::charred, "damage.key.charred", draw_char);
  add(VoxelState::dried, "damage.key.dried", draw_dry);
  const std::vector<Failure> failures = failures_of(*now.snapshot);
  const auto failed = [&](bool open) {
    return std::any_of(failures.begin(), failures.end(), [open](const Failure& f) { return f.open == open; });
  };
  if (failed(false)) entries.push_back({"damage.key.short", draw_flash});
  if (failed(true)) entries.push_back({"damage.key.open", draw_flash});
  const std::vector<double> live_m = live_lengths_m(*now.snapshot);
  for (std::size_t c = 0; c < live_m.size(); ++c) {
    if (live_m[c] >= sim::route_length_m(now.snapshot->wall->cables[c]) - 1e-9) continue;
    entries.push_back({"damage.key.dead", draw_dead});
    break;
  }
  return entries;
}

}  // namespace

ImVec2 draw_damage_key(const HeatNow& now, const ScreenState& state, Ui& ui, ImVec2 at, float width, bool draw) {
  const std::vector<Entry> entries = entries_of(now, state);
  if (entries.empty() || state.view.mode != ViewMode::cut_away) return {};
  const float pad = ui.px(8);
  const float sample = ui.px(24);
  float widest = 0.0F;
  for (const Entry& entry : entries) widest = std::max(widest, text_size(ui.fonts.small, ui.say(entry.word)).x);
  const bool two = 2 * (sample + pad / 2 + widest) + 3 * pad <= width;
  if (entries.size() == 1) width = std::min(width, sample + pad / 2 + widest + 2 * pad);
  const float column = two && entries.size() > 1 ? (width - pad) / 2 : width;
  const float wrap = std::max(ui.px(40), column - sample - pad / 2 - (entries.size() > 1 ? 1.5F : 2.0F) * pad + 1.0F);
  std::vector<float> heights;
  for (const Entry& entry : entries)
    heights.push_back(text_size(ui.fonts.small, ui.say(entry.word), wrap).y + ui.px(3));
  const std::size_t rows = two && entries.size() > 1 ? (entries.size() + 1) / 2 : entries.size();
  float height = 2 * pad - ui.px(3);
  for (std::size_t i = 0; i < rows; ++i) height += heights[i];
  if (!draw) return {width, height};
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(at, {at.x + width, at.y + height},
                      (ui.theme.panel & ~IM_COL32_A_MASK) | (235U << IM_COL32_A_SHIFT), ui.px(4));
  const float line = ui.fonts.small->FontSize;
  float y = at.y + pad;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (i == rows) y = at.y + pad;
    const float x = at.x + pad + (i < rows ? 0.0F : column);
    entries[i].sample(*list, {x, std::floor(y + 0.12F * line)}, {x + sample, std::floor(y + 0.92F * line)});
    text_at(ui, {x + sample + pad / 2, y}, ui.fonts.small, ui.theme.text, ui.say(entries[i].word), wrap);
    y += heights[i];
  }
  return {width, height};
}

}  // namespace warmbay::render
