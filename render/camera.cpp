// The camera: a long lens (little distortion, so that a wall's edges stay nearly parallel) on an orbit.

#include "render/camera.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <glm/gtc/matrix_transform.hpp>

namespace warmbay::render {

namespace {

constexpr double field_of_view_rad = 0.38;  // vertical, 22 degrees
constexpr double margin = 0.90;             // of the view, filled by the framed wall
constexpr double first_turn_rad = -0.36;
constexpr double first_rise_rad = 0.27;
constexpr double lowest_rise_rad = -0.05;
constexpr double highest_rise_rad = 1.45;
constexpr double step_rad = 0.08726646259971647;  // 5 degrees
constexpr double notch = 1.12;                    // one notch of the wheel
constexpr double farthest_notches = -8.0;
constexpr double nearest_notches = 26.0;

struct Basis {
  glm::dvec3 right, up, back;  // back: from the aim to the eye
};

Basis basis_of(double turn_rad, double rise_rad) {
  const glm::dvec3 back{std::sin(turn_rad) * std::cos(rise_rad), std::sin(rise_rad),
                        -std::cos(turn_rad) * std::cos(rise_rad)};
  const glm::dvec3 right{std::cos(turn_rad), 0.0, std::sin(turn_rad)};
  // Up is square to both; its sign is checked by how it points at rise 0: (0, 1, 0).
  const glm::dvec3 up{-std::sin(turn_rad) * std::sin(rise_rad), std::cos(rise_rad),
                      std::cos(turn_rad) * std::sin(rise_rad)};
  return {right, up, back};
}

glm::dvec3 vec(const sim::Vec3& v) {
  return {v[0], v[1], v[2]};
}

}  // namespace

Camera::Camera(const sim::Vec3& size_m) : size_m_(size_m) {
  reset();
}

void Camera::reset() {
  for (std::size_t a = 0; a < 3; ++a) aim_m_[a] = 0.5 * size_m_[a];
  turn_rad_ = first_turn_rad;
  rise_rad_ = first_rise_rad;
  nearness_ = 0.0;
}

void Camera::orbit(double right_rad, double up_rad) {
  turn_rad_ = std::remainder(turn_rad_ + right_rad, 2.0 * 3.14159265358979323846);
  rise_rad_ = std::clamp(rise_rad_ + up_rad, lowest_rise_rad, highest_rise_rad);
}

void Camera::orbit_steps(int right, int up) {
  orbit(right * step_rad, up * step_rad);
}

void Camera::pan(double right_px, double down_px, const ViewSize& size) {
  const double m_per_px = 2.0 * distance_m(size) * std::tan(0.5 * field_of_view_rad) / std::max(1, size.height_px);
  const Basis basis = basis_of(turn_rad_, rise_rad_);
  const glm::dvec3 moved = -right_px * m_per_px * basis.right + down_px * m_per_px * basis.up;
  for (int a = 0; a < 3; ++a) {
    const auto i = static_cast<std::size_t>(a);
    aim_m_[i] = std::clamp(aim_m_[i] + moved[a], 0.0, size_m_[i]);
  }
}

void Camera::zoom(double notches) {
  nearness_ = std::clamp(nearness_ + notches, farthest_notches, nearest_notches);
}

double Camera::distance_m(const ViewSize& size) const {
  const double tall = std::tan(0.5 * field_of_view_rad);
  const double wide = tall * size.width_px / std::max(1, size.height_px);
  const Basis basis = basis_of(first_turn_rad, first_rise_rad);
  // Every corner c of the wall, seen from the middle, has to lie inside the view's pyramid.
  double framed_m = 0.0;
  for (int corner = 0; corner < 8; ++corner) {
    const glm::dvec3 c{(corner & 1) != 0 ? 0.5 * size_m_[0] : -0.5 * size_m_[0],
                       (corner & 2) != 0 ? 0.5 * size_m_[1] : -0.5 * size_m_[1],
                       (corner & 4) != 0 ? 0.5 * size_m_[2] : -0.5 * size_m_[2]};
    const double needed = std::max(std::abs(glm::dot(c, basis.right)) / (wide * margin),
                                   std::abs(glm::dot(c, basis.up)) / (tall * margin));
    framed_m = std::max(framed_m, needed + glm::dot(c, basis.back));
  }
  return framed_m * std::pow(notch, -nearness_);
}

namespace {

glm::dmat4 matrix(const glm::dvec3& eye, const glm::dvec3& aim, double distance_m, double reach_m,
                  const ViewSize& size) {
  const glm::dmat4 mirror = glm::scale(glm::dmat4(1.0), glm::dvec3(1.0, 1.0, -1.0));
  const auto mirrored = [](const glm::dvec3& v) { return glm::dvec3(v.x, v.y, -v.z); };
  const glm::dmat4 look = glm::lookAt(mirrored(eye), mirrored(aim), glm::dvec3(0.0, 1.0, 0.0));
  const double aspect = static_cast<double>(std::max(1, size.width_px)) / std::max(1, size.height_px);
  const glm::dmat4 lens = glm::perspective(field_of_view_rad, aspect, 0.1 * distance_m, distance_m + reach_m);
  return lens * look * mirror;
}

}  // namespace

glm::dvec3 Camera::eye_m(const ViewSize& size) const {
  return vec(aim_m_) + distance_m(size) * basis_of(turn_rad_, rise_rad_).back;
}

glm::dmat4 Camera::exact_view_projection(const ViewSize& size) const {
  const double reach_m = 4.0 * glm::length(vec(size_m_));
  return matrix(eye_m(size), vec(aim_m_), distance_m(size), reach_m, size);
}

glm::mat4 Camera::view_projection(const ViewSize& size) const {
  return glm::mat4(exact_view_projection(size));
}

std::optional<ScreenPoint> Camera::project(const sim::Vec3& point_m, const ViewSize& size) const {
  const glm::dvec4 clip = exact_view_projection(size) * glm::dvec4(vec(point_m), 1.0);
  if (clip.w <= 0.0) return std::nullopt;
  const glm::dvec3 place = glm::dvec3(clip) / clip.w;
  return ScreenPoint{static_cast<float>((0.5 + 0.5 * place.x) * size.width_px),
                     static_cast<float>((0.5 - 0.5 * place.y) * size.height_px),
                     static_cast<float>(0.5 + 0.5 * place.z)};
}

Ray Camera::ray(double x_px, double y_px, const ViewSize& size) const {
  const glm::dvec4 far{2.0 * x_px / std::max(1, size.width_px) - 1.0, 1.0 - 2.0 * y_px / std::max(1, size.height_px),
                       1.0, 1.0};
  const glm::dvec4 point = glm::inverse(exact_view_projection(size)) * far;
  const glm::dvec3 eye = eye_m(size);
  return {eye, glm::normalize(glm::dvec3(point) / point.w - eye)};
}

}  // namespace warmbay::render
