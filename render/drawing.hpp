#pragma once
// Draws the whole screen once: theme, fonts and the wall's picture go with the window's size. Used by the window and by
// the picture from the command line alike.

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "render/panels/panels.hpp"
#include "render/scene_view.hpp"
#include "scenes/text/text.hpp"

namespace warmbay::render {

/// The toolkit's context and its part on the card. Needs a current OpenGL 3.3 context all its life.
class Drawing {
 public:
  /// assets, shaders: the program's folders. text: must outlive this.
  Drawing(const std::filesystem::path& assets, const std::filesystem::path& shaders, const scenes::Text& text);
  ~Drawing();
  Drawing(const Drawing&) = delete;
  Drawing& operator=(const Drawing&) = delete;

  /// What is drawn on: its size in pixels, its display's dots per inch (0: unknown), and what the platform does at the
  /// start of a frame (pointer, time; it may set io.DisplaySize, which is set to the size otherwise).
  struct Canvas {
    int width_px = 1280;
    int height_px = 720;
    float dots_per_inch = 0.0F;
    std::function<void()> begin_frame;
    float pixels_a_point =
        0.0F;  // where the platform says how large a point is: nothing is drawn smaller than for that
  };
  /// Draws one frame into the bound framebuffer.
  Wishes frame(const HeatNow& now, ScreenState& state, const Canvas& canvas);

  /// The scale of the last frame.
  [[nodiscard]] float scale() const { return scale_; }
  /// Faces that were not found and shaders that could not be read, one line each; empty when all is well.
  [[nodiscard]] const std::vector<std::string>& troubles() const { return troubles_; }
  /// Tests: every piece of text of the next frames is noted here.
  std::vector<DrawnText>* drawn = nullptr;

 private:
  void fit(const ScreenState& state, const Canvas& canvas);
  void draw_wall(const HeatNow& now, ScreenState& state, const Canvas& canvas);

  std::filesystem::path assets_;
  const scenes::Text& text_;
  SceneView scene_view_;
  Fonts fonts_;
  float scale_ = 0.0F;
  ThemeName theme_ = ThemeName::graphite;
  int palette_ = -1;
  std::vector<std::string> troubles_;
};

/// The state that a screen starts with: the palettes and words of the program's folders.
[[nodiscard]] ScreenState first_screen_state(const std::filesystem::path& assets, const Settings& settings,
                                             std::vector<std::string>& troubles);
/// Frames the wall the first time, and keeps how it is looked at when a wall of the same size replaces it.
void frame_wall(const HeatNow& now, ScreenState& state);

}  // namespace warmbay::render
