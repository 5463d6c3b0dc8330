#pragma once
// Everything a person chooses about the view of the wall: plain values, kept and compared as a whole.

#include <optional>

#include <glm/glm.hpp>

#include "render/camera.hpp"
#include "sim/units.hpp"

namespace warmbay::render {

struct TemperatureRange {
  double from_k = 293.15;
  double to_k = 393.15;
  friend bool operator==(const TemperatureRange&, const TemperatureRange&) = default;
};

/// A box of the wall, m.
struct CutBox {
  sim::Vec3 from_m{};
  sim::Vec3 to_m{};
  friend bool operator==(const CutBox&, const CutBox&) = default;
};

/// A flat picture of a cut across a cable, as large as a hand: what the whole wall is too small to show.
struct CloseUp {
  sim::Axis normal = sim::Axis::x;  // of the cut
  sim::Vec3 middle_m{};             // on it
  double side_m = 0.1;              // of the square that is shown
  friend bool operator==(const CloseUp&, const CloseUp&) = default;
};

/// What the infrared camera is told.
struct CameraSettings {
  double emissivity = 0.9;            // of the surface; building materials and plastics have this
  std::optional<double> reflected_k;  // of what the surface mirrors; nothing: the surroundings before it
  friend bool operator==(const CameraSettings&, const CameraSettings&) = default;
};

enum class ViewMode {
  cut_away,
  room_face,  // as an infrared camera in the room would show it
  far_face,   // and one on the far side: mirrored, as it is seen from there
};

/// Everything a person chooses about the view. Compared as a whole to know whether to draw again.
struct ViewState {
  ViewMode mode = ViewMode::cut_away;
  Camera camera;
  TemperatureRange range;
  CameraSettings infrared;
  std::optional<TemperatureRange> face_range;  // of the infrared faces; the same range when empty
  CutBox kept;                                 // the part of the wall that is shown
  std::optional<CutBox> opened;                // taken out of that, so that the inside is seen
  bool isotherms = true;
  double isotherm_every_k = 10.0;  // at whole multiples of it in Celsius
  bool materials = true;           // hatching and boundaries
  bool cable_through_wall = true;  // the hidden part of the cable is drawn, faintly
  bool floor = true;
  glm::vec3 background{0.085F, 0.092F, 0.105F};  // sRGB; lines are light on a dark one, dark on a light one
  float scale = 1.0F;                            // of line widths, as the panels'
  friend bool operator==(const ViewState&, const ViewState&) = default;
};

}  // namespace warmbay::render
