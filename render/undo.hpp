#pragma once
// Undo and redo of what a person did to the controls: fifty entries, one for each gesture.

#include <deque>
#include <optional>
#include <string>

#include "render/wish.hpp"

namespace warmbay::render {

class UndoList {
 public:
  static constexpr std::size_t most = 50;

  /// Notes that `control` went from what `back` asks for to what `forward` asks for. The same control in the same
  /// gesture (not 0) is one entry. What was undone before can no longer be redone.
  void note(const std::string& control, unsigned gesture, Undoable back, Undoable forward);
  /// What to ask for to take the last entry back, or to do it again; nothing at the end of the list.
  [[nodiscard]] std::optional<Undoable> undo();
  [[nodiscard]] std::optional<Undoable> redo();
  /// Another experiment: nothing of the old one can be taken back.
  void clear();

 private:
  struct Entry {
    std::string control;
    unsigned gesture = 0;
    Undoable back;
    Undoable forward;
  };
  std::deque<Entry> entries_;
  std::size_t done_ = 0;  // entries before this one are done, those from it on are undone
};

}  // namespace warmbay::render
