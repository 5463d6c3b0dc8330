// Keys. What presenter remotes send (PageUp, PageDown, F5, Esc, '.' and B) wins over the toolkit's own navigation.

#include "render/keys.hpp"

#include <array>

namespace warmbay::render {

namespace {

std::optional<KeyCommand> with_ctrl(const KeyPress& press) {
  if (press.key == SDLK_z) return press.shift ? KeyCommand::redo : KeyCommand::undo;
  if (press.key == SDLK_y) return KeyCommand::redo;
  return std::nullopt;
}

/// Keys that no text field wants: they work whatever is being edited.
std::optional<KeyCommand> always(SDL_Keycode key) {
  switch (key) {
    case SDLK_PAGEDOWN:
      return KeyCommand::next_step;
    case SDLK_PAGEUP:
      return KeyCommand::previous_step;
    case SDLK_F5:
      return KeyCommand::present;
    case SDLK_F1:
      return KeyCommand::key_list;
    case SDLK_F11:
      return KeyCommand::full_screen;
    default:
      return std::nullopt;
  }
}

std::optional<KeyCommand> when_free(const KeyPress& press) {
  switch (press.key) {
    case SDLK_SPACE:
      return KeyCommand::pause;
    case SDLK_PERIOD:
    case SDLK_KP_PERIOD:
    case SDLK_b:
      return KeyCommand::blank;
    case SDLK_s:
      return KeyCommand::single_step;
    case SDLK_r:
      return KeyCommand::reset;
    case SDLK_PLUS:
    case SDLK_EQUALS:  // '+' without Shift on a US keyboard
    case SDLK_KP_PLUS:
      return KeyCommand::faster;
    case SDLK_MINUS:
    case SDLK_KP_MINUS:
      return KeyCommand::slower;
    case SDLK_QUESTION:
      return KeyCommand::key_list;
    case SDLK_SLASH:
      return press.shift ? std::optional(KeyCommand::key_list) : std::nullopt;
    default:
      return std::nullopt;
  }
}

/// Keys that a number field wants for itself: it has signs, points and a place in its text, but no letters.
bool numbers(const KeyPress& press) {
  switch (press.key) {
    case SDLK_PERIOD:
    case SDLK_KP_PERIOD:
    case SDLK_PLUS:
    case SDLK_EQUALS:  // with Shift a '+' on a US keyboard
    case SDLK_KP_PLUS:
    case SDLK_MINUS:
    case SDLK_KP_MINUS:
    case SDLK_LEFT:
    case SDLK_RIGHT:
      return true;
    default:
      return false;
  }
}

}  // namespace

std::optional<KeyCommand> key_command(const KeyPress& press, const KeyContext& context) {
  if (press.key == SDLK_ESCAPE) return KeyCommand::leave;
  if (context.dialog) return std::nullopt;
  if (press.ctrl) return context.typing ? std::nullopt : with_ctrl(press);
  if (const auto command = always(press.key)) return command;
  if (context.typing && numbers(press)) return std::nullopt;
  if (!context.dragging) {
    if (press.key == SDLK_RIGHT) return KeyCommand::next_step;
    if (press.key == SDLK_LEFT) return KeyCommand::previous_step;
  }
  return when_free(press);
}

std::span<const KeyLine> key_lines() {
  static constexpr std::array<KeyLine, 16> lines{{{"PageDown  →", "key.next"},
                                                  {"PageUp  ←", "key.previous"},
                                                  {"Space", "key.pause"},
                                                  {"S", "key.single"},
                                                  {"R", "key.reset"},
                                                  {"+  −", "key.factor"},
                                                  {"F5", "key.present"},
                                                  {"Esc", "key.leave"},
                                                  {".  B", "key.blank"},
                                                  {"Ctrl Z", "key.undo"},
                                                  {"Ctrl Y", "key.redo"},
                                                  {"Tab  ↑  ↓", "key.focus"},
                                                  {"Ctrl ←  Ctrl →", "key.beside"},
                                                  {"Enter", "key.press"},
                                                  {"F11", "key.full_screen"},
                                                  {"F1  ?", "key.list"}}};
  return lines;
}

}  // namespace warmbay::render
