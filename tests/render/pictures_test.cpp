// Pictures for eyes, not for checks: `test_render "[pictures]"` (the wall alone) and `"[screens]"` (the whole screen at
// several moments, sizes and looks) write them to the build folder's pictures/. Look at them after a change of a shader
// or a panel. Hidden, because only their writing can fail.

#include <filesystem>
#include <functional>

#include "render/drawing.hpp"
#include "render/gl/headless_gl.hpp"
#include "render/scene_view.hpp"
#include "render/screen.hpp"
#include "render/shot.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/play/player.hpp"
#include "tests/render/support.hpp"
#include "tests/render/view_wall.hpp"
#include "tests/support/failing_engine.hpp"
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
  view.face_range = SceneView::face_extremes(*test::warm(wall), view);
  write("room-face", "inferno", wall, view);
  const auto recessed = test::three_bays_with_recess();
  view = first_view(*recessed);
  view.kept.to_m[0] = 1.0;
  view.camera.orbit(0.9, 0.15);
  write("cut-and-recess", "inferno", recessed, view);
}

namespace {

/// A scene that ships, played on through its steps to some moment.
/// too_much_a: a current set then, until the model ends; 0: none.
HeatNow played(const testing::SmallScene& program, const std::string& name, double until_s, double too_much_a) {
  std::vector<scenes::Fault> faults;
  auto read = scenes::read_scene(program.places.scenes / (name + ".toml"), program.data);
  REQUIRE(read.scene);
  const auto scene = std::make_shared<const scenes::Scene>(std::move(*read.scene));
  scenes::PlayerOptions options;
  options.stop_between_steps = true;
  options.text = program.text;
  scenes::Player player(scene, scenes::paint(*scene, program.data), options);
  while (player.time_s() < until_s && !player.ended()) {
    if (player.waiting() && player.step_over()) player.next();
    if (player.waiting()) player.go_on();
    player.advance(until_s - player.time_s());
  }
  if (too_much_a > 0.0) player.apply(scenes::SetCurrent{too_much_a});
  for (int minute = 0; too_much_a > 0.0 && minute < 120 && !player.ended(); ++minute) {
    if (player.waiting()) player.go_on();
    player.advance(60.0);
  }
  return picture_of(player, scene);
}

struct ScreenLook {
  std::string name;
  ViewSize size;
  double scale = 0.0;
  std::function<void(ScreenState&)> change;
};

void shoot_screen(const std::filesystem::path& folder, const std::string& moment, const testing::SmallScene& program,
                  const HeatNow& now, const ScreenLook& look) {
  std::vector<std::string> troubles;
  ScreenState state = first_screen_state(program.places.assets, Settings{}, troubles);
  state.caution_open = false;
  state.insulation_choices = scenes::insulation_choices(*now.scene, program.data);
  state.insulation = scenes::insulation_of(*now.scene);
  state.settings.scale = look.scale;
  Drawing drawing(program.places.assets, program.places.shaders, *program.text);
  const Drawing::Canvas canvas{look.size.width_px, look.size.height_px, 0.0F, {}};
  const auto draw = [&] {
    (void)drawing.frame(now, state, canvas);
    if (look.change) look.change(state);
    for (int i = 0; i < 2 * settling_frames; ++i) (void)drawing.frame(now, state, canvas);
  };
  CHECK(
      shoot(folder / (moment + "-" + look.name + ".png"), {look.size.width_px, look.size.height_px, 0}, draw).empty());
}

}  // namespace

TEST_CASE("pictures of the whole screen to look at", "[.][screens]") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  REQUIRE(context);
  const auto folder = std::filesystem::path(WARMBAY_BINARY_DIR) / "pictures";
  std::filesystem::create_directories(folder);
  const testing::SmallScene program;
  const std::vector<ScreenLook> looks{
      {"plain", {1280, 720}, 0.0, {}},
      {"presenting", {1920, 1080}, 0.0, [](ScreenState& s) { s.presenting = true; }},
      {"presenting-low", {1280, 720}, 0.0, [](ScreenState& s) { s.presenting = true; }},
      {"large", {1366, 768}, 2.0, {}},
      {"large-controls", {1366, 768}, 2.0, [](ScreenState& s) { s.controls_open = true; }},
      {"grey",
       {1280, 720},
       0.0,
       [](ScreenState& s) {
         for (std::size_t i = 0; i < s.palettes.size(); ++i)
           if (s.palettes[i].name() == "grey") s.palette = static_cast<int>(i);
       }},
      {"paper", {1600, 900}, 0.0, [](ScreenState& s) { s.settings.theme = ThemeName::paper; }},
      {"room",
       {1280, 720},
       0.0,
       [](ScreenState& s) {
         s.view.mode = ViewMode::room_face;
         s.view.infrared.emissivity = 0.5;
         s.view.face_range = TemperatureRange{295.0, 315.0};
       }},
      {"near", {1280, 720}, 0.0, [](ScreenState& s) { s.view.camera.zoom(8.0); }},
      {"tall", {1280, 1400}, 1.0, {}},
  };
  const std::vector<std::tuple<std::string, std::string, double, double>> moments{
      {"laundry60", "laundry-wall", 3600.0, 0.0},
      {"laundry75", "laundry-wall", 4500.0, 0.0},
      {"laundry90", "laundry-wall", 5400.0, 0.0},
      {"danger", "laundry-wall", 5000.0, 0.0},
      {"breaker-open", "breaker-wall", 7500.0, 0.0}};
  for (const auto& [moment, scene, until_s, too_much_a] : moments) {
    HeatNow now = played(program, scene, until_s, too_much_a);
    if (moment == "danger") {  // the words alone are wanted: the wall need not really have got there
      now.ended = now.waiting = true;
      now.stopped_by = "ignition-risk";
      auto events = std::make_shared<std::vector<scenes::Event>>(*now.events);
      events->push_back({until_s, "ignition-risk", "dryer feed", 391.0, ""});
      now.events = events;
    }
    for (const ScreenLook& look : looks) shoot_screen(folder, moment, program, now, look);
  }
}

TEST_CASE("pictures of what went wrong to look at", "[.][screens][wrong]") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  REQUIRE(context);
  const auto folder = std::filesystem::path(WARMBAY_BINARY_DIR) / "pictures";
  std::filesystem::create_directories(folder);
  const testing::SmallScene program;
  scenes::PlayerOptions options;
  options.stop_between_steps = true;
  options.text = program.text;
  options.engine = [](const sim::EngineParts& parts) { return std::make_unique<tests::Failing>(parts); };
  scenes::Player player(program.scene, scenes::paint(*program.scene, program.data), options);
  player.advance(600.0);
  REQUIRE(player.broken());
  const HeatNow broken = picture_of(player, program.scene);
  HeatNow failed = broken;
  auto snapshot = std::make_shared<sim::Snapshot>(*broken.snapshot);
  snapshot->reading.mended_steps = 123456;  // as long as the line gets
  failed.snapshot = snapshot;
  HeatNow mended = failed;
  mended.broken = mended.waiting = false;
  HeatNow stopped = broken;
  stopped.broken = stopped.playing = false;
  stopped.trouble = {Trouble::What::stopped, {true, ""}};
  const auto present = [](ScreenState& s) { s.presenting = true; };
  const std::vector<ScreenLook> looks{{"plain", {1280, 720}, 0.0, {}},
                                      {"presenting", {1920, 1080}, 0.0, present},
                                      {"presenting-low", {1024, 600}, 0.0, present},
                                      {"large", {1366, 768}, 2.0, {}}};
  for (const auto& [name, now] : {std::pair{"failed", failed}, {"mended", mended}, {"stopped", stopped}})
    for (const ScreenLook& look : looks) shoot_screen(folder, name, program, now, look);
}
