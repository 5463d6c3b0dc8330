// Colours of the three themes and what is asked of them (tests/render/panels_test.cpp holds them to it).

#include "render/theme.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::render {

namespace {

constexpr ImU32 rgb(unsigned hex, unsigned alpha = 255) {
  return IM_COL32((hex >> 16) & 255U, (hex >> 8) & 255U, hex & 255U, alpha);
}

constexpr Theme graphite{
    rgb(0x121416),
    rgb(0x1A1D20),
    rgb(0x282D31),
    rgb(0x363C42),
    rgb(0x79838B),
    rgb(0x32383D),
    rgb(0xEEF1F2),
    rgb(0xAEB7BD),
    rgb(0x56C7B0),
    rgb(0x06241E),
    rgb(0x56C7B0),
    rgb(0xF2C14E),
    rgb(0xFF7A66),
    rgb(0x000000, 190),
    {rgb(0x62B8EC), rgb(0xF0A63C), rgb(0xC59BEA), rgb(0xE8DF5A), rgb(0xF08F66), rgb(0x7FD08A), rgb(0xE593BE)},
    true};

constexpr Theme paper{
    rgb(0xDFE1DF),
    rgb(0xF6F6F3),
    rgb(0xE4E6E3),
    rgb(0xD2D6D3),
    rgb(0x6C7478),
    rgb(0xCBCFCC),
    rgb(0x14181A),
    rgb(0x454D52),
    rgb(0x0A655A),
    rgb(0xFFFFFF),
    rgb(0x0A655A),
    rgb(0x7A5200),
    rgb(0xB3261E),
    rgb(0xFFFFFF, 200),
    {rgb(0x00609A), rgb(0x985000), rgb(0x6A3D9A), rgb(0x655800), rgb(0xAB3A12), rgb(0x17692A), rgb(0x96346B)},
    false};

constexpr Theme high_contrast{
    rgb(0x000000),
    rgb(0x000000),
    rgb(0x161616),
    rgb(0x333333),
    rgb(0xFFFFFF),
    rgb(0x6A6A6A),
    rgb(0xFFFFFF),
    rgb(0xE6E6E6),
    rgb(0x6FFFE6),
    rgb(0x000000),
    rgb(0x6FFFE6),
    rgb(0xFFE14A),
    rgb(0xFF9C8C),
    rgb(0x000000, 225),
    {rgb(0x7CCBFF), rgb(0xFFB847), rgb(0xD9B4FF), rgb(0xFFF46B), rgb(0xFFA884), rgb(0x93F2A0), rgb(0xFFB0DC)},
    true};

double linear(unsigned channel) {
  const double c = channel / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(ImU32 colour) {
  return 0.2126 * linear((colour >> IM_COL32_R_SHIFT) & 255U) + 0.7152 * linear((colour >> IM_COL32_G_SHIFT) & 255U) +
         0.0722 * linear((colour >> IM_COL32_B_SHIFT) & 255U);
}

ImVec4 vec(ImU32 colour) {
  return ImGui::ColorConvertU32ToFloat4(colour);
}

void set_colours(const Theme& theme, ImVec4* colours) {
  const ImVec4 none(0, 0, 0, 0);
  for (int i = 0; i < ImGuiCol_COUNT; ++i) colours[i] = none;
  colours[ImGuiCol_Text] = vec(theme.text);
  colours[ImGuiCol_TextDisabled] = vec(theme.muted);
  colours[ImGuiCol_PopupBg] = vec(theme.panel);
  colours[ImGuiCol_Border] = vec(theme.line);
  colours[ImGuiCol_FrameBg] = vec(theme.raised);
  colours[ImGuiCol_FrameBgHovered] = vec(theme.pressed);
  colours[ImGuiCol_FrameBgActive] = vec(theme.raised);
  colours[ImGuiCol_ScrollbarGrab] = vec(theme.line);
  colours[ImGuiCol_ScrollbarGrabHovered] = vec(theme.muted);
  colours[ImGuiCol_ScrollbarGrabActive] = vec(theme.accent);
  colours[ImGuiCol_Header] = vec(theme.raised);
  colours[ImGuiCol_HeaderHovered] = vec(theme.pressed);
  colours[ImGuiCol_HeaderActive] = vec(theme.pressed);
  colours[ImGuiCol_TextSelectedBg] = vec((theme.accent & ~IM_COL32_A_MASK) | (110U << IM_COL32_A_SHIFT));
  colours[ImGuiCol_NavHighlight] = vec(theme.accent);
  colours[ImGuiCol_NavWindowingHighlight] = vec(theme.accent);
  colours[ImGuiCol_NavWindowingDimBg] = vec(theme.shade);
  colours[ImGuiCol_ModalWindowDimBg] = vec(theme.shade);
}

}  // namespace

const Theme& theme_of(ThemeName name) {
  switch (name) {
    case ThemeName::paper:
      return paper;
    case ThemeName::contrast:
      return high_contrast;
    case ThemeName::graphite:
      break;
  }
  return graphite;
}

SignalColours signal_colours(scenes::Signal signal) {
  using scenes::Signal;
  switch (signal) {
    case Signal::danger:
      return {rgb(0xB81D24), rgb(0xFFFFFF)};
    case Signal::warning:
      return {rgb(0xFF7900), rgb(0x000000)};
    case Signal::caution:
      return {rgb(0xFFD100), rgb(0x000000)};
    case Signal::notice:
      break;
  }
  return {rgb(0x00539B), rgb(0xFFFFFF)};
}

ImU32 signal_edge(const Theme& theme) {
  return theme.text;
}

double contrast(ImU32 a, ImU32 b) {
  const double la = luminance(a);
  const double lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

void use_theme(const Theme& theme, float scale) {
  ImGuiStyle style;
  style.WindowPadding = {12, 10};
  style.FramePadding = {8, 6};
  style.ItemSpacing = {8, 8};
  style.ItemInnerSpacing = {6, 6};
  style.ScrollbarSize = 12;
  style.GrabMinSize = 12;
  style.WindowRounding = 4;
  style.ChildRounding = 4;
  style.FrameRounding = 4;
  style.PopupRounding = 4;
  style.ScrollbarRounding = 4;
  style.ScaleAllSizes(scale);
  style.WindowBorderSize = 0;
  style.ChildBorderSize = 0;
  style.PopupBorderSize = 1;
  style.FrameBorderSize = 0;
  style.AntiAliasedLinesUseTex = true;
  set_colours(theme, style.Colors);
  ImGui::GetStyle() = style;
}

float suitable_scale(double chosen, int width_px, int height_px, float display_dpi) {
  if (chosen >= 0.75) return static_cast<float>(std::min(chosen, 3.0));
  const float by_size = std::min(static_cast<float>(width_px) / 1280.0F, static_cast<float>(height_px) / 720.0F);
  // Dots of a fine display are small; on it text grows, but never beyond what the window has room for.
  const float by_dots = display_dpi > 0.0F ? display_dpi / 96.0F : 1.0F;
  const float wanted = std::clamp(std::max(1.0F, by_dots), 0.75F, 1.25F * std::max(by_size, 0.6F));
  const float scale = std::max(wanted, by_size);
  return std::clamp(std::round(scale * 20.0F) / 20.0F, least_scale, 3.0F);
}

}  // namespace warmbay::render
