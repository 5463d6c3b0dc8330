#include "render/camera.hpp"

#include <cmath>

#include "tests/tests_pch.hpp"

using namespace warmbay::render;
using warmbay::sim::Vec3;

namespace {

const Vec3 wall_m{1.2, 0.8, 0.11};
const ViewSize size{1280, 720};

Vec3 on(const Ray& ray, double along_m) {
  const auto p = ray.from_m + along_m * ray.direction;
  return {p.x, p.y, p.z};
}

}  // namespace

TEST_CASE("the first view frames the whole wall, and nearly fills the picture") {
  for (const ViewSize& view : {size, ViewSize{600, 900}, ViewSize{2560, 1080}}) {
    const Camera camera(wall_m);
    float left = 1e9F, right = -1e9F, top = 1e9F, bottom = -1e9F;
    for (int corner = 0; corner < 8; ++corner) {
      const Vec3 p{(corner & 1) != 0 ? wall_m[0] : 0.0, (corner & 2) != 0 ? wall_m[1] : 0.0,
                   (corner & 4) != 0 ? wall_m[2] : 0.0};
      const auto place = camera.project(p, view);
      REQUIRE(place);
      left = std::min(left, place->x_px / static_cast<float>(view.width_px));
      right = std::max(right, place->x_px / static_cast<float>(view.width_px));
      top = std::min(top, place->y_px / static_cast<float>(view.height_px));
      bottom = std::max(bottom, place->y_px / static_cast<float>(view.height_px));
    }
    CHECK(left > 0.0F);
    CHECK(right < 1.0F);
    CHECK(top > 0.0F);
    CHECK(bottom < 1.0F);
    CHECK(std::max(right - left, bottom - top) > 0.75F);
  }
}

TEST_CASE("the wall is not mirrored: x goes right, y up, and the room side is nearer") {
  const Camera camera(wall_m);
  const auto middle = camera.project({0.6, 0.4, 0.0}, size);
  const auto right = camera.project({0.8, 0.4, 0.0}, size);
  const auto up = camera.project({0.6, 0.6, 0.0}, size);
  const auto behind = camera.project({0.6, 0.4, 0.11}, size);
  REQUIRE((middle && right && up && behind));
  CHECK(right->x_px > middle->x_px);
  CHECK(up->y_px < middle->y_px);
  CHECK(behind->depth > middle->depth);
  CHECK(camera.eye_m(size).z < 0.0);
  CHECK(camera.eye_m(size).y > 0.4);
}

TEST_CASE("the ray through a point's place on the screen runs through the point") {
  Camera camera(wall_m);
  for (int turn = 0; turn < 12; ++turn) {
    camera.orbit(0.7, turn % 2 == 0 ? 0.15 : -0.1);
    camera.zoom(turn % 3 == 0 ? 2.0 : -0.5);
    camera.pan(8.0 * turn, -5.0 * turn, size);
    for (const Vec3& p : {Vec3{0.6, 0.4, 0.0}, Vec3{0.5, 0.3, 0.08}, Vec3{0.7, 0.5, 0.11}}) {
      const auto place = camera.project(p, size);
      REQUIRE(place);
      const Ray ray = camera.ray(static_cast<double>(place->x_px), static_cast<double>(place->y_px), size);
      const glm::dvec3 point(p[0], p[1], p[2]);
      const Vec3 nearest = on(ray, glm::dot(point - ray.from_m, ray.direction));
      // A screen place is kept as float: 1e-4 px of a view in which a pixel is some millimetres at most.
      for (std::size_t a = 0; a < 3; ++a) CHECK(nearest[a] == Approx(p[a]).margin(2e-6));
    }
  }
}

TEST_CASE("a point behind the eye has no place on the screen") {
  const Camera camera(wall_m);
  const auto eye = camera.eye_m(size);
  const glm::dvec3 aim(0.6, 0.4, 0.055);
  const glm::dvec3 behind = eye + 0.5 * (eye - aim);
  CHECK_FALSE(camera.project({behind.x, behind.y, behind.z}, size));
}

TEST_CASE("the camera keeps its limits, and reset brings the first view back") {
  const Camera first(wall_m);
  Camera camera = first;
  camera.orbit(0.0, 10.0);
  CHECK(camera.eye_m(size).y > 0.8);
  CHECK(camera.project({0.6, 0.4, 0.055}, size));
  camera.orbit(0.0, -20.0);
  const auto low = camera.eye_m(size);
  CHECK(std::abs(low.y - 0.4) < 0.1 * std::hypot(low.x - 0.6, low.z));
  camera.zoom(1000.0);
  const double nearest_m = glm::distance(camera.eye_m(size), glm::dvec3(0.6, 0.4, 0.055));
  CHECK(nearest_m > 0.05);
  CHECK(nearest_m < 0.4);
  camera.zoom(-1000.0);
  const double farthest_m = glm::distance(camera.eye_m(size), glm::dvec3(0.6, 0.4, 0.055));
  CHECK(farthest_m < 10.0);
  camera.pan(1e6, 1e6, size);
  CHECK_FALSE(camera == first);
  camera.reset();
  CHECK(camera == first);
}

TEST_CASE("panning by a number of pixels moves the wall by as many") {
  Camera camera(wall_m);
  const auto before = camera.project({0.6, 0.4, 0.055}, size);
  camera.pan(40.0, -25.0, size);
  const auto after = camera.project({0.6, 0.4, 0.055}, size);
  REQUIRE((before && after));
  CHECK(after->x_px - before->x_px == Approx(40.0F).margin(1.5F));
  CHECK(after->y_px - before->y_px == Approx(-25.0F).margin(1.5F));
}
