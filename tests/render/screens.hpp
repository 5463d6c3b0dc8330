#pragma once
// The whole screen at a made-up moment, and every piece of text that was drawn on it.

#include <algorithm>
#include <cmath>
#include <string_view>

#include "render/drawing.hpp"
#include "render/gl/framebuffer.hpp"
#include "render/screen.hpp"
#include "scenes/paint/painter.hpp"
#include "sim/damage/state.hpp"
#include "tests/render/context.hpp"
#include "tests/render/support.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render::testing {

/// A moment of the small scene, 20 A for five minutes.
inline HeatNow moment(const SmallScene& small) {
  scenes::PlayerOptions options;
  options.threads = 1;
  options.stop_between_steps = true;
  scenes::Player player(small.scene, scenes::paint(*small.scene, small.data), options);
  player.advance(300.0);
  return picture_of(player, small.scene);
}

/// The same wall after everything that can go wrong has: a void, a melt skin, a short, smoke, an alarm, a slipped
/// thermocouple, a tripped breaker. Made up, so that it takes no time; nothing of it is asked to be physics.
inline HeatNow ruined(const HeatNow& sound) {
  auto snapshot = std::make_shared<sim::Snapshot>(*sound.snapshot);
  const sim::Grid& grid = snapshot->wall->grid;
  snapshot->states.assign(grid.count(), sim::VoxelState::sound);
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = 0; j < grid.ny(); ++j)
      for (int i = 0; i < grid.nx(); ++i) {
        const double y_m = 0.5 * (grid.y_m[static_cast<std::size_t>(j)] + grid.y_m[static_cast<std::size_t>(j) + 1]);
        const double z_m = 0.5 * (grid.z_m[static_cast<std::size_t>(k)] + grid.z_m[static_cast<std::size_t>(k) + 1]);
        const double away_m = std::hypot(y_m - 0.1, z_m - 0.04);
        snapshot->states[grid.at(i, j, k)] = away_m < 0.015   ? sim::VoxelState::gone
                                             : away_m < 0.020 ? sim::VoxelState::melt
                                             : away_m < 0.025 ? sim::VoxelState::charred
                                             : away_m < 0.030 ? sim::VoxelState::softened
                                             : away_m < 0.040 ? sim::VoxelState::dried
                                                              : sim::VoxelState::sound;
      }
  auto damage = std::make_shared<sim::DamageState>();
  damage->cables.resize(1);
  damage->cables[0].short_node = 10;
  damage->cables[0].open_node = 4;
  snapshot->damage = damage;
  snapshot->conditions.supply = sim::SupplyKind::branch;
  snapshot->conditions.device = 0;
  sim::Reading& reading = snapshot->reading;
  reading.device_open = true;
  reading.smoke_kg_s = 12.3e-6;
  reading.smoke_kg = 2e-3;
  reading.void_m3 = 1.234e-3;
  reading.cables[0].worn = 1.0;
  reading.slipped.assign(reading.thermocouple_k.size(), 1);
  HeatNow now = sound;
  now.snapshot = snapshot;
  now.alarm_s = 4321.0;
  now.waiting = true;
  auto history = std::make_shared<History>(*sound.history);
  history->curves.back().slipped_row = 5;
  now.history = history;
  auto events = std::make_shared<std::vector<scenes::Event>>(*sound.events);
  for (const char* name : {"over-rating", "softening", "melt-back", "smoke", "char", "short", "open", "trip"})
    events->push_back({200.0, name, "feed", 123.0, "A sentence that says where it was and how much of it."});
  now.events = events;
  return now;
}

/// And then a surface has passed its ignition temperature.
inline HeatNow ended(const HeatNow& sound) {
  HeatNow now = ruined(sound);
  auto events = std::make_shared<std::vector<scenes::Event>>(*now.events);
  events->push_back({300.0, "ignition-risk", "mineral wool", 391.0, ""});
  now.events = events;
  now.ended = true;
  now.stopped_by = "ignition-risk";
  return now;
}

/// The computation has failed after many a step that was computed twice: both are told.
inline HeatNow failed(const HeatNow& sound) {
  HeatNow now = sound;
  auto snapshot = std::make_shared<sim::Snapshot>(*sound.snapshot);
  snapshot->reading.mended_steps = 123456;
  now.snapshot = snapshot;
  now.waiting = true;
  now.broken = true;
  return now;
}

/// The heat was given up for want of memory.
inline HeatNow stopped(const HeatNow& sound) {
  HeatNow now = sound;
  now.playing = false;
  now.trouble = {Trouble::What::stopped, {true, ""}};
  return now;
}

inline bool is_drawn(const std::vector<DrawnText>& drawn, std::string_view text) {
  return std::any_of(drawn.begin(), drawn.end(), [&](const DrawnText& t) { return t.text.find(text) != text.npos; });
}

struct Look {
  int width;
  int height;
  double scale;
};

/// Draws the whole screen and returns every piece of text in it.
inline std::vector<DrawnText> drawn_screen(const SmallScene& small, const scenes::Text& text, const HeatNow& now,
                                           ScreenState& state, const Look& look) {
  gl::Framebuffer target(look.width, look.height, 0);
  target.bind();
  Drawing drawing(small.places.assets, small.places.shaders, text);
  CHECK(drawing.troubles().empty());
  state.settings.scale = look.scale;
  const Drawing::Canvas canvas{look.width, look.height, 0.0F, {}};
  for (int i = 0; i < 2 * settling_frames; ++i) (void)drawing.frame(now, state, canvas);
  std::vector<DrawnText> drawn;
  drawing.drawn = &drawn;
  (void)drawing.frame(now, state, canvas);
  return drawn;
}

inline ScreenState fresh_state(const SmallScene& small) {
  std::vector<std::string> troubles;
  ScreenState state = first_screen_state(small.places.assets, Settings{}, troubles);
  CHECK(troubles.empty());
  state.caution_open = false;
  state.insulation = scenes::insulation_of(*small.scene);
  state.insulation_choices = scenes::insulation_choices(*small.scene, small.data);
  return state;
}

}  // namespace warmbay::render::testing
