// The wall's picture, drawn without a window: colours at places whose temperature is known.

#include "render/scene_view.hpp"

#include <array>

#include "render/shot.hpp"
#include "tests/render/context.hpp"
#include "tests/render/view_wall.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::render;

namespace {

const std::filesystem::path shaders = std::filesystem::path(WARMBAY_SOURCE_DIR) / "shaders";
const ViewSize size{640, 400};

struct Stage {
  std::unique_ptr<gl::HeadlessGl> context;
  std::unique_ptr<SceneView> scene;
  std::optional<Palette> palette;

  Stage() {
    std::string error;
    context = testing::headless_or_skip();
    if (!context) return;
    scene = std::make_unique<SceneView>(shaders, gl::Quality{});
    palette = Palette::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets/palettes/inferno.toml", error);
    REQUIRE(palette);
    scene->set_palette(*palette);
  }
  Picture draw(const std::shared_ptr<const sim::Snapshot>& snapshot, const ViewState& view) const {
    std::string error;
    bool drawn = false;
    Picture picture = draw_picture(
        {size.width_px, size.height_px, 0},
        [&] {
          drawn = scene->draw(snapshot, view, {0, 0, size});
        },
        error);
    INFO(scene->error());
    REQUIRE(error.empty());
    REQUIRE(drawn);
    return picture;
  }
};

glm::vec3 colour_at(const Picture& picture, const ScreenPoint& place) {
  REQUIRE((place.x_px >= 0.0F && place.x_px < static_cast<float>(picture.width_px)));
  REQUIRE((place.y_px >= 0.0F && place.y_px < static_cast<float>(picture.height_px)));
  const auto x = static_cast<std::size_t>(place.x_px);
  const auto y = static_cast<std::size_t>(place.y_px);
  const std::uint8_t* p = &picture.rgba[4 * (y * static_cast<std::size_t>(picture.width_px) + x)];
  return glm::vec3(p[0], p[1], p[2]) / 255.0F;
}

glm::vec3 expected(const Palette& palette, const TemperatureRange& range, double t_k) {
  return palette.at((t_k - range.from_k) / (range.to_k - range.from_k));
}

/// A view with nothing but temperatures on it.
ViewState bare(const sim::Wall& wall) {
  ViewState view = first_view(wall);
  view.isotherms = false;
  view.materials = false;
  view.floor = false;
  view.cable_through_wall = false;
  view.range = {293.15, 353.15};
  return view;
}

void check_near(const glm::vec3& seen, const glm::vec3& wanted, float margin) {
  for (int c = 0; c < 3; ++c) CHECK(seen[c] == Approx(wanted[c]).margin(margin));
}

}  // namespace

TEST_CASE("a place of known temperature has the legend's colour") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  const ViewState view = bare(*wall);
  const Picture picture = stage.draw(snapshot, view);
  // On faces that look at the room the light takes nothing away. 0.02: a pixel is 3 mm, where it is steepest 1 K.
  for (const sim::Vec3& p : {sim::Vec3{0.25, 0.5, test::cable_z_m}, sim::Vec3{0.6, 0.46, test::cable_z_m},
                             sim::Vec3{0.98, 0.43, test::cable_z_m}, sim::Vec3{0.6, 0.1, 0.0}}) {
    const auto place = SceneView::project(*wall, view, p, size);
    REQUIRE(place);
    check_near(colour_at(picture, *place), expected(*stage.palette, view.range, test::formula_k(p)), 0.02F);
  }
}

TEST_CASE("no face is darker than the legend by more than the light's eight per cent") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  const auto snapshot = test::even(wall, 340.0);
  struct Look {
    double right_rad, up_rad;
    sim::Vec3 at_m;
  };
  // From where each face is seen well enough to be clear of its edges.
  const std::array<Look, 6> looks{{{0.0, 0.0, {0.6, 0.7, test::cable_z_m}},
                                   {0.0, 0.0, {0.6, 0.05, 0.0}},
                                   {-0.9, 0.0, {0.0, 0.3, 0.09}},
                                   {1.6, 0.0, {1.2, 0.3, 0.09}},
                                   {0.0, 1.1, {0.6, 0.8, 0.085}},
                                   {3.1, 0.0, {0.6, 0.5, 0.1143}}}};
  for (const Look& look : looks) {
    ViewState view = bare(*wall);
    view.camera.orbit(look.right_rad, look.up_rad);
    const Picture picture = stage.draw(snapshot, view);
    const glm::vec3 wanted = expected(*stage.palette, view.range, 340.0);
    const auto place = SceneView::project(*wall, view, look.at_m, size);
    REQUIRE(place);
    const glm::vec3 seen = colour_at(picture, *place);
    INFO("looking at " << look.at_m[0] << ", " << look.at_m[1] << ", " << look.at_m[2]);
    for (int c = 0; c < 3; ++c) {
      CHECK(seen[c] <= wanted[c] + 0.005F);
      CHECK(seen[c] >= 0.92F * wanted[c] - 0.005F);
    }
  }
}

TEST_CASE("opening the wall shows the warm inside where the cold face was") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  ViewState view = bare(*wall);
  const sim::Vec3 inside{0.98, 0.43, test::cable_z_m};
  const auto place = SceneView::project(*wall, view, inside, size);
  REQUIRE(place);
  const glm::vec3 opened = colour_at(stage.draw(snapshot, view), *place);
  view.opened.reset();
  const glm::vec3 closed = colour_at(stage.draw(snapshot, view), *place);
  CHECK(lightness_of(opened) > lightness_of(closed) + 15.0);
}

TEST_CASE("the cable has its conductor's colour, and is traced through a closed wall") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  auto hot = std::make_shared<sim::Snapshot>(*test::even(wall, 293.15));
  std::fill(hot->lines[0].conductor_k.begin(), hot->lines[0].conductor_k.end(), 353.15F);
  ViewState view = bare(*wall);
  view.camera.zoom(14.0);
  // On the upper core, a little before the cut.
  const double core_y_m = test::cable_y_m + 0.5 * (0.0100 - 1.08 * 0.0028);
  const auto place = SceneView::project(*wall, view, {0.6, core_y_m, test::cable_z_m - 0.0014}, size);
  REQUIRE(place);
  const glm::vec3 core = colour_at(stage.draw(hot, view), *place);
  const glm::vec3 wanted = expected(*stage.palette, view.range, 353.15);
  CHECK(core.r == Approx(wanted.r).margin(0.22));  // it is round: the light takes up to a fifth at its edge
  CHECK(core.g > 0.7F);

  view = bare(*wall);
  view.opened.reset();
  const Picture without = stage.draw(hot, view);
  view.cable_through_wall = true;
  const Picture with = stage.draw(hot, view);
  CHECK(with.rgba != without.rgba);
}

TEST_CASE("the same state gives the same picture, drawn anew or copied") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  const ViewState view = first_view(*wall);
  const Picture first = stage.draw(snapshot, view);
  const Picture copied = stage.draw(snapshot, view);
  CHECK(first.rgba == copied.rgba);
  ViewState other = view;
  other.camera.orbit(0.5, 0.0);
  CHECK(stage.draw(snapshot, other).rgba != first.rgba);
  CHECK(stage.draw(snapshot, view).rgba == first.rgba);
  const Stage again;
  CHECK(again.draw(snapshot, view).rgba == first.rgba);
}

TEST_CASE("surroundings in a recess do not bleed into the wall's colour") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays_with_recess();
  const auto snapshot = test::even(wall, 340.0);  // the air in the recess is at 278 K
  ViewState view = bare(*wall);
  view.opened.reset();
  view.camera.orbit(0.36, -0.27);  // square to the room side
  const Picture picture = stage.draw(snapshot, view);
  const glm::vec3 wanted = expected(*stage.palette, view.range, 340.0);
  for (const sim::Vec3& p : {sim::Vec3{1.0, 0.7, 0.06}, sim::Vec3{1.15, 0.62, 0.06}, sim::Vec3{0.9, 0.55, 0.0}}) {
    const auto place = SceneView::project(*wall, view, p, size);
    REQUIRE(place);
    check_near(colour_at(picture, *place), wanted, 0.01F);
  }
}

TEST_CASE("an infrared face shows the surface's temperature in its own range") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  const auto snapshot = test::warm(wall);
  ViewState view = bare(*wall);
  for (const auto mode : {ViewMode::room_face, ViewMode::far_face}) {
    view.mode = mode;
    view.face_range = SceneView::face_extremes(*snapshot, view);
    const Picture picture = stage.draw(snapshot, view);
    for (const double x : {0.2, 0.6, 1.0}) {
      const sim::Vec3 p{x, 0.45, mode == ViewMode::room_face ? 0.0 : wall->grid.z_m.back()};
      const auto place = SceneView::project(*wall, view, p, size);
      REQUIRE(place);
      const auto picked =
          SceneView::pick(*snapshot, view, static_cast<double>(place->x_px), static_cast<double>(place->y_px), size);
      REQUIRE(picked);
      check_near(colour_at(picture, *place), expected(*stage.palette, *view.face_range, picked->temperature_k), 0.02F);
    }
  }
}

TEST_CASE("a missing shader folder is told, and nothing is drawn") {
  const auto context = testing::headless_or_skip();
  if (!context) return;
  SceneView scene("/no/such/folder", gl::Quality{});
  const auto wall = test::three_bays();
  CHECK_FALSE(scene.draw(test::warm(wall), first_view(*wall), {0, 0, size}));
  CHECK(scene.error().find("/no/such/folder/wall.vert") == 0);
}

TEST_CASE("a hollow is near black within a white rim, whatever the palette") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  ViewState view = bare(*wall);
  view.camera.zoom(5.0);
  std::string error;
  for (const auto& map : Palette::names_in(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets/palettes")) {
    CAPTURE(map);
    const auto palette =
        Palette::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets/palettes" / (map + ".toml"), error);
    REQUIRE(palette);
    stage.scene->set_palette(*palette);
    view.range = {293.15, 323.15};  // the foam round the cable is at the hot, light end
    const sim::Vec3 inside{0.95, test::cable_y_m + 0.014, test::cable_z_m};
    const auto place = SceneView::project(*wall, view, inside, size);
    REQUIRE(place);
    REQUIRE((place->x_px > 0.0F && place->x_px < 640.0F && place->y_px > 0.0F && place->y_px < 400.0F));
    const glm::vec3 sound = colour_at(stage.draw(test::warm(wall), view), *place);
    const Picture picture = stage.draw(test::damaged(wall), view);
    const glm::vec3 hollow = colour_at(picture, *place);
    CHECK(lightness_of(sound) > 60.0);
    CHECK(lightness_of(hollow) < 5.0);
    double lightest = 0.0;  // upwards from there, across the rim
    for (float up_px = 0.0F; up_px < 60.0F; ++up_px) {
      const ScreenPoint at{place->x_px, place->y_px - up_px, 0.0F};
      if (at.y_px < 1.0F) break;
      lightest = std::max(lightest, lightness_of(colour_at(picture, at)));
    }
    CHECK(lightest > 97.0);
  }
}

TEST_CASE("the close-up shows the hollow round the cable and the temperature beside it") {
  const Stage stage;
  if (!stage.context) return;
  const auto wall = test::three_bays();
  const auto snapshot = test::damaged(wall);
  ViewState view = bare(*wall);
  const CloseUp cut{sim::Axis::x, {1.0, test::cable_y_m, test::cable_z_m}, 0.08};
  std::string error;
  const Picture picture = draw_picture(
      {size.width_px, size.height_px, 0},
      [&] {
        CHECK(stage.scene->draw(snapshot, view, {0, 0, size}));
        stage.scene->draw_close_up(view, cut, {0, 0, {200, 200}});
      },
      error);
  REQUIRE(error.empty());
  // 2.5 px a mm; its lower left corner is the view's.
  const auto at = [&](double up_mm, double right_mm) {
    return ScreenPoint{static_cast<float>(100.0 + 2.5 * right_mm), static_cast<float>(400.0 - 100.0 - 2.5 * up_mm),
                       0.0F};
  };
  CHECK(lightness_of(colour_at(picture, at(14.0, 0.0))) < 5.0);
  CHECK(lightness_of(colour_at(picture, at(0.0, -14.0))) < 5.0);
  const glm::vec3 wanted =
      expected(*stage.palette, view.range, test::formula_k({1.0, test::cable_y_m + 0.035, test::cable_z_m}));
  check_near(colour_at(picture, at(35.0, 0.0)) / 0.92F, wanted, 0.04F);  // the light takes 8 % from upright sides
}
