// Pictures for eyes, not for checks: `test_render "[pictures]"` writes them to the build folder's pictures/. Look at
// them after a change of a shader. Hidden, because only its writing can fail.

#include <filesystem>

#include "render/gl/headless_gl.hpp"
#include "render/scene_view.hpp"
#include "render/shot.hpp"
#include "tests/render/view_wall.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::render;

TEST_CASE("pictures of the wall to look at", "[.][pictures]") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  INFO(error);
  REQUIRE(context);
  const std::filesystem::path source = WARMBAY_SOURCE_DIR;
  const auto folder = std::filesystem::path(WARMBAY_BINARY_DIR) / "pictures";
  std::filesystem::create_directories(folder);
  const ViewSize size{1280, 720};
  const auto write = [&](const std::string& name, const std::string& map, const std::shared_ptr<const sim::Wall>& wall,
                         const ViewState& view, const std::shared_ptr<const sim::Snapshot>& damaged = nullptr) {
    SceneView scene(source / "shaders", gl::current_quality());
    const auto palette = Palette::read(source / "assets/palettes" / (map + ".toml"), error);
    REQUIRE(palette);
    scene.set_palette(*palette);
    const auto snapshot = damaged ? damaged : test::warm(wall);
    CHECK(shoot(folder / (name + ".png"), {size.width_px, size.height_px, 0}, [&] {
            CHECK(scene.draw(snapshot, view, {0, 0, size}));
          }).empty());
  };

  const auto wall = test::three_bays();
  const ViewState first = first_view(*wall);
  for (const auto& map : Palette::names_in(source / "assets/palettes")) write("first-" + map, map, wall, first);
  ViewState view = first;
  view.background = {0.93F, 0.93F, 0.92F};
  write("light", "viridis", wall, view);
  for (const auto& map : {"inferno", "grey"})
    write("damaged-" + std::string(map), map, wall, first, test::damaged(wall, 0.6));
  view = first;
  view.camera.zoom(16.0);
  write("damaged-near", "inferno", wall, view, test::damaged(wall, 0.6));
  write("near", "inferno", wall, view);
  view = first;
  view.camera.orbit(3.3, 0.1);
  write("behind", "inferno", wall, view);
  view.mode = ViewMode::room_face;
  view.face_range = SceneView::face_extremes(*test::warm(wall), view.mode);
  write("room-face", "inferno", wall, view);
  const auto recessed = test::three_bays_with_recess();
  view = first_view(*recessed);
  view.kept.to_m[0] = 1.0;
  view.camera.orbit(0.9, 0.15);
  write("cut-and-recess", "inferno", recessed, view);
}
