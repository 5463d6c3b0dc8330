#pragma once
// The whole screen: where each panel lies, at any size and scale. The same code draws the window and the picture that
// the command line asks for.

#include "render/panels/panels.hpp"

namespace warmbay::render {

/// Lays out and draws every panel between ImGui::NewFrame and ImGui::Render. Sets state.view_from and view_to to the
/// rectangle that the caller draws the wall in, below the panels.
Wishes draw_screen(const HeatNow& now, ScreenState& state, Ui& ui);

/// Frames allow panels to settle on their heights: so many are needed before a picture may be kept.
inline constexpr int settling_frames = 4;

}  // namespace warmbay::render
