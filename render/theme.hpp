#pragma once
// The look: a few named colours and sizes, in three themes. Neutral graphite with one accent, the green of old copper.

#include <imgui.h>

#include <array>

#include "render/settings.hpp"
#include "scenes/text/cautions.hpp"

namespace warmbay::render {

struct Theme {
  ImU32 ground;       // behind everything
  ImU32 panel;        // what controls lie on
  ImU32 raised;       // buttons, fields
  ImU32 pressed;      // buttons under the pointer
  ImU32 line;         // edges of controls, axes: 3:1 on panel
  ImU32 faint;        // separators, grid lines: decoration only
  ImU32 text;         // 4.5:1 on panel and raised
  ImU32 muted;        // labels: 4.5:1 on panel
  ImU32 accent;       // what is chosen or comes next
  ImU32 accent_text;  // on accent: 4.5:1
  ImU32 good;         // beside a mark and a word, never alone
  ImU32 near;
  ImU32 over;
  ImU32 shade;                  // over the view, behind a dialog
  std::array<ImU32, 7> curves;  // thermocouples of the chart; each also has its own dashes and mark
  bool dark;
};

[[nodiscard]] const Theme& theme_of(ThemeName name);

/// Safety colours and the text on them. Source: ANSI Z535.1 / ISO 3864 safety red, orange, yellow, blue (sRGB
/// renderings from memory); white on red and blue, black on orange and yellow, as ANSI Z535.4 has them.
struct SignalColours {
  ImU32 ground;
  ImU32 text;
};
[[nodiscard]] SignalColours signal_colours(scenes::Signal signal);
/// The line round them: safety blue and red hardly differ from a dark panel, orange and yellow from a light one.
[[nodiscard]] ImU32 signal_edge(const Theme& theme);

/// WCAG 2.2 contrast ratio, 1 to 21.
[[nodiscard]] double contrast(ImU32 a, ImU32 b);

/// Puts a theme and a scale (1: 100 %) into the toolkit's own style, for its fields, pop-ups and scroll bars.
void use_theme(const Theme& theme, float scale);

inline constexpr float least_scale = 0.75F;
/// The scale that suits a window: as large as its size allows, between 75 and 300 %. chosen: what a person set, or 0.
[[nodiscard]] float suitable_scale(double chosen, int width_px, int height_px, float display_dpi);

}  // namespace warmbay::render
