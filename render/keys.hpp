#pragma once
// Which key does what: a pure function, so that a presenter's remote, a keyboard and a test all meet the same table.

#include <SDL_keycode.h>

#include <optional>
#include <span>

namespace warmbay::render {

enum class KeyCommand {
  next_step,
  previous_step,
  pause,
  single_step,
  reset,
  faster,
  slower,
  present,
  leave,  // presenting, a dialog, a text field: never the program
  blank,
  key_list,
  full_screen,
  undo,
  redo,
};

struct KeyPress {
  SDL_Keycode key = SDLK_UNKNOWN;
  bool ctrl = false;
  bool shift = false;
};

/// What has the keyboard's attention.
struct KeyContext {
  bool typing = false;    // a number field is being edited (there are no others)
  bool dragging = false;  // a slider is being moved with the keyboard
  bool dialog = false;    // a dialog that must be answered first is open
};

/// The command of a key press, or nothing when the key belongs to the toolkit (or to nobody).
[[nodiscard]] std::optional<KeyCommand> key_command(const KeyPress& press, const KeyContext& context);

/// The list that F1 shows: keys as they are printed on keyboards, and the catalogue's key of what they do.
struct KeyLine {
  const char* keys;
  const char* text_key;
};
[[nodiscard]] std::span<const KeyLine> key_lines();

}  // namespace warmbay::render
