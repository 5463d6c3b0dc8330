#pragma once
// What the screen knows beyond the experiment: how it is looked at, what is folded away, what was written down. Panels
// change it directly, because none of it touches a temperature.

#include <imgui.h>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "render/damage_seen.hpp"
#include "render/heading_told.hpp"
#include "render/history.hpp"
#include "render/palette.hpp"
#include "render/scene_view.hpp"
#include "render/settings.hpp"
#include "render/touch.hpp"
#include "scenes/paint/insulation.hpp"

namespace warmbay::render {

/// A prediction of the reading that a step asks for, written down (or skipped) before the step began.
struct Prediction {
  int step = 0;
  bool given = false;
  double temperature_k = 0.0;
};

/// The chart's axes stay put until a curve leaves them.
struct ChartAxes {
  double low_shown = 0.0;  // in the unit of the screen
  double high_shown = 0.0;
  double end_s = 0.0;
  std::size_t rows = 0;
  long long run = 0;  // whose rows they are (HeatNow::run)
  TemperatureUnit unit = TemperatureUnit::celsius;
  std::vector<Column> columns;  // kept between frames, so that drawing does not allocate
  std::vector<ImVec2> points;
};

struct ScreenState {
  Settings settings;
  ViewState view;
  std::shared_ptr<const sim::Wall> framed;  // the wall that the view was last fitted to
  CutBox whole;                             // its size
  std::vector<Palette> palettes;
  int palette = 0;
  Touch touch;
  DamageSeen damage;
  bool close_up = true;  // shown once there is damage

  scenes::Insulation insulation;
  scenes::InsulationChoices insulation_choices;
  std::optional<scenes::Insulation> insulation_draft;  // while a control of it is held

  std::optional<Heading> heading;  // empty: not known (yet)
  bool playing_wanted = true;

  bool presenting = false;
  bool blank = false;
  bool keys_shown = false;
  bool leave_field = false;  // the next frame ends the editing of a number; what was typed counts
  bool caution_open = false;
  bool controls_open = false;  // the side column, where the window is too small to have it always

  int asked_step = -1;  // the step whose question is on the screen; -1: none
  double draft_shown = 60.0;
  std::vector<Prediction> predictions;

  ChartAxes chart;
  float top_px = 0.0F;  // heights as the last frame needed them
  float bottom_px = 0.0F;
  float footer_px = 0.0F;
  ImVec2 view_from{};  // the wall's rectangle of this frame, pixels
  ImVec2 view_to{};
  ImVec2 close_up_from{};  // of the close-up, pixels; no size: it is not shown
  ImVec2 close_up_to{};
};

/// The prediction that was written down for a step; nullptr: none was asked for.
[[nodiscard]] const Prediction* prediction_of(const ScreenState& state, int step);
/// True when a step asks for a prediction that has not been written down or skipped.
[[nodiscard]] bool must_ask(const ScreenState& state, const scenes::Scene& scene, int step);

}  // namespace warmbay::render
