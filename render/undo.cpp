// Undo and redo.

#include "render/undo.hpp"

namespace warmbay::render {

void UndoList::note(const std::string& control, unsigned gesture, Undoable back, Undoable forward) {
  entries_.resize(done_);
  if (gesture != 0 && !entries_.empty() && entries_.back().control == control && entries_.back().gesture == gesture) {
    entries_.back().forward = std::move(forward);
    return;
  }
  entries_.push_back({control, gesture, std::move(back), std::move(forward)});
  if (entries_.size() > most) entries_.pop_front();
  done_ = entries_.size();
}

std::optional<Undoable> UndoList::undo() {
  if (done_ == 0) return std::nullopt;
  return entries_[--done_].back;
}

std::optional<Undoable> UndoList::redo() {
  if (done_ == entries_.size()) return std::nullopt;
  return entries_[done_++].forward;
}

void UndoList::clear() {
  entries_.clear();
  done_ = 0;
}

}  // namespace warmbay::render
