// Text and marks.

#include "render/panels/ui.hpp"

#include <imgui_internal.h>

#include <algorithm>

namespace warmbay::render {

namespace {

void note(Ui& ui, ImVec2 at, ImVec2 size, ImFont* font, std::string_view text) {
  if (ui.drawn == nullptr || text.empty()) return;
  const ImGuiWindow* window = ImGui::GetCurrentWindow();
  const ImRect& clip = window->ClipRect;
  bool scrolls = false;
  for (const ImGuiWindow* w = window; w != nullptr; w = w->ParentWindow) scrolls |= w->ScrollMax.y > 0.0F;
  ui.drawn->push_back(
      {std::string(text), at, {at.x + size.x, at.y + size.y}, clip.Min, clip.Max, scrolls, font->FontSize});
}

float width_of(ImFont* font, std::string_view text) {
  return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0.0F, text.data(), text.data() + text.size()).x;
}

/// Lines no wider than wrap_px, broken at spaces: the toolkit itself would also break after a full stop, and that is
/// inside a number. A word too long for a line is left to the toolkit.
std::string broken(ImFont* font, std::string_view text, float wrap_px) {
  std::string lines;
  std::size_t line_from = 0;  // of the line being filled, in `text`
  std::size_t fits_to = 0;    // the last space at which it would fit
  for (std::size_t at = 0; at <= text.size(); ++at) {
    const bool ends = at == text.size() || text[at] == '\n';
    if (!ends && text[at] != ' ') continue;
    if (fits_to > line_from && width_of(font, text.substr(line_from, at - line_from)) > wrap_px) {
      lines.append(text.substr(line_from, fits_to - line_from)).push_back('\n');
      line_from = fits_to + 1;
    }
    fits_to = at;
    if (!ends) continue;
    lines.append(text.substr(line_from, at - line_from));
    if (at < text.size()) lines.push_back('\n');
    line_from = at + 1;
    fits_to = line_from;
  }
  return lines;
}

/// The text as it is drawn: itself where it fits. scratch: keeps the broken one.
std::string_view fitted(ImFont* font, std::string_view text, float wrap_px, std::string& scratch) {
  if (wrap_px <= 0.0F || width_of(font, text) <= wrap_px) return text;
  scratch = broken(font, text, wrap_px);
  return scratch;
}

}  // namespace

ImVec2 text_size(ImFont* font, std::string_view whole, float wrap_px) {
  std::string scratch;
  const std::string_view text = fitted(font, whole, wrap_px, scratch);
  ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, wrap_px, text.data(), text.data() + text.size());
  size.x = static_cast<float>(static_cast<int>(size.x + 0.99F));
  return size;
}

void text_at(Ui& ui, ImVec2 at, ImFont* font, ImU32 colour, std::string_view whole, float wrap_px) {
  at = {static_cast<float>(static_cast<int>(at.x)), static_cast<float>(static_cast<int>(at.y))};
  note(ui, at, text_size(font, whole, wrap_px), font, whole);
  std::string scratch;
  const std::string_view text = fitted(font, whole, wrap_px, scratch);
  ImGui::GetWindowDrawList()->AddText(font, font->FontSize, at, colour, text.data(), text.data() + text.size(),
                                      wrap_px);
}

void text_over_picture(Ui& ui, ImVec2 at, ImFont* font, std::string_view text) {
  const ImVec2 size = text_size(font, text);
  const float pad = ui.px(4);
  const ImU32 ground = (ui.theme.panel & ~IM_COL32_A_MASK) | (225U << IM_COL32_A_SHIFT);
  ImGui::GetWindowDrawList()->AddRectFilled({at.x - pad, at.y - pad / 2},
                                            {at.x + size.x + pad, at.y + size.y + pad / 2}, ground, ui.px(3));
  text_at(ui, at, font, ui.theme.text, text);
}

void text_block(Ui& ui, ImFont* font, ImU32 colour, std::string_view text, float wrap_px) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  text_at(ui, at, font, colour, text, wrap_px);
  ImGui::Dummy(text_size(font, text, wrap_px));
}

void text_line(Ui& ui, ImFont* font, ImU32 colour, std::string_view text) {
  text_block(ui, font, colour, text, std::max(ui.px(40), ImGui::GetContentRegionAvail().x));
}

void flow(Ui& ui, float width, float gap) {
  (void)ui;
  const ImGuiWindow* window = ImGui::GetCurrentWindow();
  if (window->DC.CursorMaxPos.y <= window->DC.CursorStartPos.y) return;  // the first item of all
  const float right = window->WorkRect.Max.x;
  if (ImGui::GetItemRectMax().x + gap + width <= right) ImGui::SameLine(0.0F, gap);
}

void draw_mark(ImDrawList& list, Mark mark, ImVec2 c, float r, ImU32 colour) {
  switch (mark) {
    case Mark::disc:
      list.AddCircleFilled(c, r, colour, 16);
      break;
    case Mark::diamond:
      list.AddQuadFilled({c.x, c.y - r}, {c.x + r, c.y}, {c.x, c.y + r}, {c.x - r, c.y}, colour);
      break;
    case Mark::triangle:
      list.AddTriangleFilled({c.x, c.y - r}, {c.x + r, c.y + r * 0.8F}, {c.x - r, c.y + r * 0.8F}, colour);
      break;
    case Mark::square:
      list.AddRectFilled({c.x - r * 0.85F, c.y - r * 0.85F}, {c.x + r * 0.85F, c.y + r * 0.85F}, colour);
      break;
    case Mark::cross:
      list.AddLine({c.x - r, c.y - r}, {c.x + r, c.y + r}, colour, 2.0F);
      list.AddLine({c.x - r, c.y + r}, {c.x + r, c.y - r}, colour, 2.0F);
      break;
    case Mark::ring:
      list.AddCircle(c, r - 1.0F, colour, 16, 2.0F);
      break;
  }
}

void draw_alert(ImDrawList& list, ImVec2 at, float size, ImU32 ink, ImU32 ground) {
  const float w = size * 1.1F;
  list.AddTriangleFilled({at.x + w / 2, at.y}, {at.x + w, at.y + size}, {at.x, at.y + size}, ink);
  const float cx = at.x + w / 2;
  const float half = std::max(1.0F, size * 0.07F);
  list.AddRectFilled({cx - half, at.y + size * 0.36F}, {cx + half, at.y + size * 0.70F}, ground);
  list.AddRectFilled({cx - half, at.y + size * 0.78F}, {cx + half, at.y + size * 0.90F}, ground);
}

void draw_electric(ImDrawList& list, ImVec2 c, float r) {
  const ImU32 ground = signal_colours(scenes::Signal::caution).ground;  // safety yellow
  const ImVec2 top{c.x, c.y - r};
  const ImVec2 right{c.x + r, c.y + 0.8F * r};
  const ImVec2 left{c.x - r, c.y + 0.8F * r};
  list.AddTriangleFilled(top, right, left, ground);
  list.AddTriangle(top, right, left, IM_COL32_BLACK, std::max(1.5F, r * 0.16F));
  const auto p = [&](float x, float y) { return ImVec2{c.x + x * r, c.y + y * r}; };
  list.AddTriangleFilled(p(0.10F, -0.42F), p(0.06F, 0.22F), p(-0.26F, 0.22F), IM_COL32_BLACK);
  list.AddTriangleFilled(p(0.28F, 0.06F), p(-0.10F, 0.66F), p(-0.06F, 0.06F), IM_COL32_BLACK);
}

}  // namespace warmbay::render
