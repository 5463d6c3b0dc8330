#pragma once
// The wall on the screen: cut open, in false colour, with the cable in it; or one of its faces as an infrared camera
// would show it. Draws snapshots; computes no heat.

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "render/card/shared_field.hpp"
#include "render/gl/quality.hpp"
#include "render/palette.hpp"
#include "render/view_state.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

/// The view a wall opens with: framed, and opened from the room down to the middle of its first cable.
[[nodiscard]] ViewState first_view(const sim::Wall& wall);

/// What lies under the pointer.
struct Picked {
  sim::Vec3 point_m{};
  double temperature_k = 0.0;
  std::string material;          // its name
  std::optional<double> true_k;  // on an infrared face: of the surface; temperature_k is what the camera shows
  sim::VoxelState state = sim::VoxelState::sound;
};

struct IsothermLabel {
  sim::Vec3 point_m{};
  double temperature_k = 0.0;
};

/// Lower left corner (OpenGL's) and size of the rectangle to draw in, pixels of the bound framebuffer.
struct ViewRectangle {
  int x_px = 0;
  int y_px = 0;
  ViewSize size;
};

/// Needs a current OpenGL 3.3 context all its life.
class SceneView {
 public:
  /// shaders: the folder of the GLSL files.
  SceneView(const std::filesystem::path& shaders, const gl::Quality& quality);
  ~SceneView();
  SceneView(SceneView&&) noexcept;
  SceneView& operator=(SceneView&&) noexcept;

  void set_palette(const Palette& palette);

  /// Draws into a rectangle of the bound framebuffer. What did not change since the last call is copied, not drawn
  /// anew. Leaves the framebuffer binding as it was, and depth test, blending, culling and scissor off. False when a
  /// shader could not be read: see error().
  /// field: the snapshot's temperatures where they are on this card already, or nullptr.
  bool draw(const std::shared_ptr<const sim::Snapshot>& snapshot, const ViewState& view, const ViewRectangle& where,
            const std::shared_ptr<const card::SharedField>& field = nullptr);
  /// A cut across a cable, in another rectangle, of the snapshot that draw() was given last.
  void draw_close_up(const ViewState& view, const CloseUp& close_up, const ViewRectangle& where);
  /// One line; empty when all is well.
  [[nodiscard]] const std::string& error() const;

  /// Where a point of the wall is in the view, in either mode; nothing when it is behind the eye.
  [[nodiscard]] static std::optional<ScreenPoint> project(const sim::Wall& wall, const ViewState& view,
                                                          const sim::Vec3& point_m, const ViewSize& size);
  /// What is seen at a place of the view (pixels from its upper left corner); nothing beside the wall.
  [[nodiscard]] static std::optional<Picked> pick(const sim::Snapshot& snapshot, const ViewState& view, double x_px,
                                                  double y_px, const ViewSize& size);
  /// A few places on the opened faces to write an isotherm's temperature at.
  [[nodiscard]] static std::vector<IsothermLabel> isotherm_labels(const sim::Snapshot& snapshot, const ViewState& view);
  /// Coldest and hottest place of view.mode's face as the camera shows it.
  [[nodiscard]] static TemperatureRange face_extremes(const sim::Snapshot& snapshot, const ViewState& view);
  /// The hottest place of view.mode's face (of the room's where that is no face).
  [[nodiscard]] static std::optional<Picked> hottest_of_face(const sim::Snapshot& snapshot, ViewState view);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::render
