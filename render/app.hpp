#pragma once
// What the window does, without the window: takes wishes from panels and keys, passes them on to the heat, keeps undo,
// predictions and settings. Knows no SDL window and no OpenGL.

#include <filesystem>
#include <functional>
#include <memory>

#include "render/heading_guess.hpp"
#include "render/heat_thread.hpp"
#include "render/keys.hpp"
#include "render/panels/screen_state.hpp"
#include "render/undo.hpp"

namespace warmbay::render {

/// What only the window can do.
struct WindowWishes {
  bool full_screen = false;  // switch it over
  bool presenting_changed = false;
};

class App {
 public:
  /// settings: where they are kept; empty: nowhere. news: called on other threads when there is something new to draw.
  App(scenes::DataFiles data, ScreenState state, std::filesystem::path settings, const HeatOptions& options,
      std::function<void()> news);

  /// Builds its wall after the next look().
  void open(std::shared_ptr<const scenes::Scene> scene);

  /// The latest picture of the experiment, with everything that follows from it for the screen done.
  /// wall_clock_s: any steady clock.
  [[nodiscard]] std::shared_ptr<const HeatNow> look(double wall_clock_s);
  /// Where there are no threads: what they do elsewhere, for about so long, s of the wall clock.
  void take_turn(double longest_s);
  [[nodiscard]] ScreenState& state() { return state_; }

  /// Does what panels asked for in this frame. gesture: the toolkit's active item, 0 for none.
  void grant(const Wishes& wishes, unsigned gesture);
  void obey(KeyCommand command);
  /// The same for a key. typing: a number field is being edited. The key leaves it, what was typed is done first, and
  /// the command after the next frame.
  void press(KeyCommand command, bool typing);
  [[nodiscard]] KeyContext key_context(bool typing, bool dragging) const;

  /// The latest picture, as the heat handed it over.
  [[nodiscard]] std::shared_ptr<const HeatNow> now() const { return heat_.now(); }
  /// Has a report made of the experiment so far; HeatNow::report is it, some pictures later.
  void ask_for_report(std::shared_ptr<const scenes::Palette> palette);

  /// What the window is to do; asked for once.
  [[nodiscard]] WindowWishes take_window_wishes();
  /// Why the settings could not be written; empty: all is well.
  [[nodiscard]] std::string save_settings();

 private:
  void grant(const Wish& wish, unsigned gesture);
  void change(const scenes::Change& change, unsigned gesture);
  void insulate(const scenes::Insulation& insulation, unsigned gesture);
  void relay(const Undoable& wish);
  void next_step();
  void previous_step();
  void reset();
  void predict(const Predict& wish);
  void present(bool presenting);
  void play_when_ready();

  ScreenState state_;
  std::filesystem::path settings_file_;
  Settings saved_;
  UndoList undo_;
  std::shared_ptr<const scenes::Scene> scene_;
  std::shared_ptr<const HeatNow> now_;
  int looks_before_building_ = -1;  // -1: nothing is to be built
  bool begun_ = false;              // the first step has been let go
  WindowWishes window_;
  std::vector<KeyCommand> after_field_;
  scenes::DataFiles data_;
  HeadingGuess heading_;
  HeatThread heat_;
};

}  // namespace warmbay::render
