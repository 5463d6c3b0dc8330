#pragma once
// The heat's own thread (without threads: its turns between two frames). It owns the player, takes wishes through a
// small queue and hands over whole pictures of the experiment; a frame never waits for it. Walls are built on a second
// thread, so the old one stays alive meanwhile.

#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "render/card/shared_field.hpp"
#include "render/history.hpp"
#include "render/new_wall.hpp"
#include "render/wish.hpp"
#include "scenes/data/data_files.hpp"
#include "scenes/play/player.hpp"
#include "scenes/report/report.hpp"
#include "scenes/scene.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

/// Simulated seconds per second that a person can pick; 0: as fast as it goes.
inline constexpr std::array<double, 9> time_factors{1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 120.0, 300.0, 0.0};
/// The next faster (+1) or slower (-1) factor of the ladder; stays at its ends.
[[nodiscard]] double neighbour_factor(double factor, int direction);

/// What went wrong with a wall or its heat, other than in the physics.
struct Trouble {
  enum class What {
    none,
    not_built,  // the wall asked for last; the one before goes on
    stopped,    // the heat was given up: a scene must be opened, or the experiment reset
  };
  What what = What::none;
  Reason reason;
};

/// Everything a frame needs to know about the experiment at one moment. Never changed after it is handed over.
struct HeatNow {
  long long version = 0;  // counts up with every picture handed over
  long long run = 0;      // counts up when history, events and changes are not those of before with more at their end
  std::shared_ptr<const scenes::Scene> scene;
  std::shared_ptr<const sim::Snapshot> snapshot;  // nullptr: the first wall is still being built
  /// The temperatures of this moment on the drawing's card, if the heat is computed there. While time runs those of the
  /// snapshot are up to half a second old then, and so are its voxels' states; its readings and cables never are.
  std::shared_ptr<const card::SharedField> field;
  std::shared_ptr<const History> history;
  std::shared_ptr<const std::vector<scenes::Event>> events;
  std::vector<scenes::TimedChange> changes;
  int step = -1;
  double step_elapsed_s = 0.0;
  double step_hold_s = 0.0;
  bool waiting = false;    // the step has ended; the player waits for the next one
  bool step_over = false;  // while waiting: the step itself is over, not only stopped on its way
  std::string stopped_by;  // the event that it stopped at, or empty
  bool ended = false;      // a surface has passed its ignition temperature: only going back leads on
  bool broken = false;     // a temperature is not a number: what is shown is the last that was good
  std::shared_ptr<const scenes::Report> report;  // the latest that was asked for; nullptr: none
  std::optional<double> alarm_s;                 // when a smoke alarm in the room would have sounded
  bool playing = false;
  double factor = 60.0;         // asked for; 0: as fast as it goes
  double reached_factor = 0.0;  // simulated seconds per second over the last half second
  bool building = false;        // a new wall is being built; the old one, if any, is still shown
  Trouble trouble;
};

/// Fills in what a player says of itself: everything but pace, building and version.
void describe(const scenes::Player& player, HeatNow& picture);
/// A whole picture of a player at this moment, playing at the pace asked for; for pictures without a heat thread.
[[nodiscard]] HeatNow picture_of(const scenes::Player& player, std::shared_ptr<const scenes::Scene> scene);

struct HeatOptions {
  int threads = 0;               // of the solver; 0: all cores but one, which is left to drawing
  double every_s = 5.0;          // spacing of the chart's rows, simulated s
  std::size_t most_rows = 8192;  // of the chart: 11 h, and four for every pixel of a wide one; then they are thinned
  double handovers_hz = 30;      // at most so many pictures a second
  double whole_hz = 2;           // of which so many have the field on the host too, where the drawing shares the card's
  bool playing = true;
  double factor = 60.0;
  std::shared_ptr<const scenes::Text> text;  // sentences of the player's events; may be nullptr
  sim::EngineFactory engine = {};            // what computes the heat; empty: the processor
};

/// To the heat: a report of the experiment so far, for HeatNow::report.
struct MakeReport {
  std::shared_ptr<const scenes::Palette> palette;  // of its pictures
};

class HeatThread {
 public:
  using Command =
      std::variant<scenes::Change, Play, SetFactor, SingleStep, NextStep, PreviousStep, ResetExperiment, MakeReport>;

  /// news: called on the heat's thread after each handover (to wake the window); may be empty.
  HeatThread(scenes::DataFiles data, const HeatOptions& options, std::function<void()> news = {});
  ~HeatThread();
  HeatThread(const HeatThread&) = delete;
  HeatThread& operator=(const HeatThread&) = delete;

  /// Builds the wall of a scene in the background and then goes on with it. carry_on: at the step and under the
  /// conditions that the present experiment has by then (its insulation changed); else from the scene's opening state.
  /// What is sent meanwhile is done to the old wall and holds for the new one.
  void open(std::shared_ptr<const scenes::Scene> scene, bool carry_on);
  void send(Command command);
  /// The latest picture; never nullptr.
  [[nodiscard]] std::shared_ptr<const HeatNow> now() const;
  /// Where there are no threads: runs what is due, for about so long, s of the wall clock; and builds a wall that was
  /// asked for, whole. Elsewhere it does nothing.
  void take_turn(double longest_s);
  /// Every picture is to have the present field on the host too: more is made of it than the cut-open wall's colours.
  void want_whole(bool whole);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::render
