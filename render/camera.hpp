#pragma once
// Where the wall is seen from: an orbit around a point of it, with limits. Positions are the wall's own (x right, y up,
// z into the wall), which is a left-handed frame; it is mirrored to OpenGL's in view_projection and nowhere else.

#include <optional>

#include <glm/glm.hpp>

#include "sim/units.hpp"

namespace warmbay::render {

struct ViewSize {
  int width_px = 1;
  int height_px = 1;
  friend bool operator==(const ViewSize&, const ViewSize&) = default;
};

/// A place in the view, pixels from its upper left corner, y down. depth: 0 (near) to 1 (far).
struct ScreenPoint {
  float x_px = 0.0F;
  float y_px = 0.0F;
  float depth = 0.0F;
};

struct Ray {
  glm::dvec3 from_m;
  glm::dvec3 direction;  // length 1
};

/// What a pass needs to know of where it is seen from.
struct Eye {
  glm::mat4 view_projection{1.0F};
  glm::vec3 at_m{0.0F};
};

class Camera {
 public:
  Camera() = default;
  /// Frames a wall of that size: three-quarter view from the room, a little from above.
  explicit Camera(const sim::Vec3& size_m);
  /// Back to how the wall was framed first.
  void reset();

  /// Turns around the wall, radians: to the right and up. The view never goes over the top nor under the floor.
  void orbit(double right_rad, double up_rad);
  /// One press of an arrow key, in whole steps of 5 degrees.
  void orbit_steps(int right, int up);
  /// Moves the wall with the pointer, pixels of a view of that size (y down). The aim stays within the wall.
  void pan(double right_px, double down_px, const ViewSize& size);
  /// Comes nearer by notches of the wheel (positive: nearer), within limits.
  void zoom(double notches);

  [[nodiscard]] glm::mat4 view_projection(const ViewSize& size) const;
  [[nodiscard]] glm::dvec3 eye_m(const ViewSize& size) const;
  [[nodiscard]] Eye eye(const ViewSize& size) const { return {view_projection(size), glm::vec3(eye_m(size))}; }
  /// Where a point of the wall is on the screen; nothing when it is behind the eye.
  [[nodiscard]] std::optional<ScreenPoint> project(const sim::Vec3& point_m, const ViewSize& size) const;
  /// The ray through a place of the view (pixels from the upper left corner), in the wall's own frame.
  [[nodiscard]] Ray ray(double x_px, double y_px, const ViewSize& size) const;

  friend bool operator==(const Camera&, const Camera&) = default;

 private:
  [[nodiscard]] double distance_m(const ViewSize& size) const;
  [[nodiscard]] glm::dmat4 exact_view_projection(const ViewSize& size) const;
  sim::Vec3 size_m_{1.0, 1.0, 0.1};
  sim::Vec3 aim_m_{0.5, 0.5, 0.05};
  double turn_rad_ = 0.0;  // 0: square to the room side; positive: from the right
  double rise_rad_ = 0.0;  // 0: level; positive: from above
  double nearness_ = 0.0;  // notches of the wheel from the framed distance
};

}  // namespace warmbay::render
