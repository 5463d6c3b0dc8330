#pragma once
// The controls: our own look on the toolkit's behaviour. Every one is at least 24 px tall at 100 %, wraps its text,
// shows its focus and works from the keyboard.

#include <functional>
#include <span>
#include <string>
#include <string_view>

#include "render/panels/ui.hpp"

namespace warmbay::render {

enum class ButtonLook { plain, primary, quiet, chosen };

/// True when pressed. width_px 0: as wide as its text, but never wider than the room there is.
bool button(Ui& ui, const char* id, std::string_view text, ButtonLook look = ButtonLook::plain, float width_px = 0.0F,
            bool enabled = true);
[[nodiscard]] ImVec2 button_size(Ui& ui, std::string_view text, float width_px = 0.0F);

/// A round-cornered button with a picture drawn by `draw(list, centre, radius, colour)`; `name` is its tooltip.
bool picture_button(Ui& ui, const char* id, std::string_view name,
                    const std::function<void(ImDrawList&, ImVec2, float, ImU32)>& draw, bool primary = false);

/// What a person did to a value in this frame.
struct Edit {
  bool changed = false;
  unsigned gesture = 0;  // the same while one drag lasts: undo takes it back as a whole
};

/// A label, a number that can be typed, its unit, and a slider below.
/// value: changed in place; least to most: limits of both; coarse: the value snaps to multiples of it while dragging.
struct SliderLook {
  double least = 0.0;
  double most = 1.0;
  double snap = 0.1;
  int decimals = 1;
  const char* unit = "";
  double mark = -1e300;  // a place to mark on the track (the rated value), or none
};
Edit slider(Ui& ui, const char* id, std::string_view label, double& value, const SliderLook& look);

/// A number that can be typed, with its unit. True when it was changed (Enter, or leaving the field).
bool number(Ui& ui, const char* id, double& value, double least, double most, int decimals, const char* unit,
            float width_px);

/// One of a few: side by side, wrapping into rows. True when another one was chosen.
bool choose(Ui& ui, const char* id, std::span<const std::string> options, int& index);
/// One of many: a button that opens a list. True when another one was chosen.
bool pick_from(Ui& ui, const char* id, std::string_view label, std::span<const std::string> options, int& index);

/// On or off. True when it was changed.
bool toggle(Ui& ui, const char* id, std::string_view text, bool& on);

/// A bar from 0 to 1, as an item of the layout.
void meter(Ui& ui, double share, ImU32 colour);

/// The heading of a group of controls, which can be folded away. True while it is open.
bool section(Ui& ui, const char* id, std::string_view title, bool open_at_first = true);

}  // namespace warmbay::render
