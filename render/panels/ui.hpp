#pragma once
// What every panel draws with: theme, fonts, texts, units, scale; and text that wraps and can be checked for clipping.

#include <imgui.h>

#include <string>
#include <string_view>
#include <vector>

#include "render/fonts.hpp"
#include "render/theme.hpp"
#include "render/units_display.hpp"
#include "scenes/text/text.hpp"
#include "scenes/text/text_fill.hpp"

namespace warmbay::render {

/// A piece of text as it was drawn, for the test that nothing is clipped.
struct DrawnText {
  std::string text;
  ImVec2 from, to;            // its rectangle, pixels
  ImVec2 clip_from, clip_to;  // what of the window it may draw in
  bool scrolls = false;       // the rest can be scrolled to (up and down)
  float font_px = 0.0F;
};

struct Ui {
  const Theme& theme;
  const Fonts& fonts;
  const scenes::Text& text;
  Units units;
  float scale = 1.0F;
  bool presenting = false;
  std::vector<DrawnText>* drawn = nullptr;  // tests only

  /// Logical pixels (of 100 %) in whole pixels of the screen.
  [[nodiscard]] float px(float logical) const { return static_cast<float>(static_cast<int>(logical * scale + 0.5F)); }
  [[nodiscard]] const std::string& say(std::string_view key) const { return text(key); }
  template <typename... Args>
  [[nodiscard]] std::string say(std::string_view key, Args&&... args) const {
    return scenes::fill(text(key), std::forward<Args>(args)...);
  }
};

/// The size of a text, wrapped at wrap_px (0: not wrapped).
[[nodiscard]] ImVec2 text_size(ImFont* font, std::string_view text, float wrap_px = 0.0F);
/// Draws a text at a place of the current window; takes no room in its layout.
void text_at(Ui& ui, ImVec2 at, ImFont* font, ImU32 colour, std::string_view text, float wrap_px = 0.0F);
/// The same on a given list, with an outline that keeps it readable over the picture of the wall.
void text_over_picture(Ui& ui, ImVec2 at, ImFont* font, std::string_view text);
/// Draws a text in the layout, wrapped at the window's right edge.
void text_line(Ui& ui, ImFont* font, ImU32 colour, std::string_view text);
/// A text in the layout, wrapped at wrap_px; as an item of its own.
void text_block(Ui& ui, ImFont* font, ImU32 colour, std::string_view text, float wrap_px);

/// Moves on to the next place of a flowing row: beside the last item if `width` fits there, else in a new row.
void flow(Ui& ui, float width, float gap);

/// The marks that go with words, so that nothing is said by colour alone.
enum class Mark { disc, diamond, triangle, square, cross, ring };
/// centre, radius: pixels.
void draw_mark(ImDrawList& list, Mark mark, ImVec2 centre, float radius, ImU32 colour);
/// The general alert sign: a triangle with an exclamation mark, the height of `size`. Source: ANSI Z535.4, ISO 7010
/// W001.
void draw_alert(ImDrawList& list, ImVec2 at, float size, ImU32 ink, ImU32 ground);

/// The warning sign for electricity: a flash in a triangle. Source: ISO 7010 W012.
void draw_electric(ImDrawList& list, ImVec2 centre, float radius);

}  // namespace warmbay::render
