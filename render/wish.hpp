#pragma once
// What a panel or a key asks for: one small type per control. Panels only return wishes; app.cpp passes them on to the
// heat, the undo list or the window, so that a key and a button do exactly the same.

#include <variant>
#include <vector>

#include "scenes/paint/insulation.hpp"
#include "scenes/play/changes.hpp"

namespace warmbay::render {

// To the heat (heat_thread.hpp).
struct Play {
  bool playing = true;
};
/// Simulated seconds per second; 0: as fast as it goes.
struct SetFactor {
  double factor = 60.0;
};
struct SingleStep {};
struct NextStep {};
struct PreviousStep {};
struct ResetExperiment {};

// To the window and its settings.
struct Undo {};
struct Redo {};
struct Present {
  bool presenting = true;
};
struct Blank {
  bool blank = true;
};
struct ShowKeys {
  bool shown = true;
};
struct FullScreen {};
struct AcknowledgeCaution {};
/// A prediction written down before step `step` (0-based) begins; nothing given: it was skipped.
struct Predict {
  int step = 0;
  bool given = false;
  double temperature_k = 0.0;
};
/// The insulation is laid out anew; the wall is rebuilt.
struct Insulate {
  scenes::Insulation insulation;
};

using Wish = std::variant<scenes::Change, Play, SetFactor, SingleStep, NextStep, PreviousStep, ResetExperiment, Undo,
                          Redo, Present, Blank, ShowKeys, FullScreen, AcknowledgeCaution, Predict, Insulate>;
/// What undo takes back and does again.
using Undoable = std::variant<scenes::Change, Insulate>;
using Wishes = std::vector<Wish>;

}  // namespace warmbay::render
