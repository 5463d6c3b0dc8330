// The screen when something goes wrong: what is said and where; windows too small for anything; a number half typed.

#include <fmt/format.h>
#include <glad/gl.h>

#include <algorithm>

#include "render/gl/headless_gl.hpp"
#include "tests/render/screens.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

using namespace testing;

TEST_CASE("a computation that has failed, one that was stopped and steps computed twice are told, presenting, too",
          "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
  const testing::SmallScene small;
  const scenes::Text& text = *small.text;
  const HeatNow sound = moment(small);
  for (const bool presenting : {false, true}) {
    CAPTURE(presenting);
    ScreenState state = fresh_state(small);
    state.presenting = presenting;
    const Look look{1920, 1080, 1.0};
    const auto drawn = drawn_screen(small, text, failed(sound), state, look);
    CHECK(is_drawn(drawn, text("step.broken")));
    CHECK(is_drawn(drawn, scenes::fill(text("step.mended"), fmt::arg("count", 123456))));
    const std::string said = scenes::fill(text("trouble.stopped"), fmt::arg("reason", text("trouble.memory")));
    CHECK(std::count(said.begin(), said.end(), '.') == 1);  // one sentence
    CHECK(is_drawn(drawn_screen(small, text, stopped(sound), state, look), said));
    CHECK_FALSE(is_drawn(drawn_screen(small, text, sound, state, look), text("step.broken")));
  }
}

TEST_CASE("what happened is told in the units that are chosen", "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
  const testing::SmallScene small;
  HeatNow now = moment(small);
  auto events = std::make_shared<std::vector<scenes::Event>>();
  events->push_back({10.0, "over-rating", "feed", 70.5, "at 70.5 °C, 254 mm along", 0.254, 343.15});
  events->push_back({20.0, "softening", "feed", 80.0, "at 80 °C"});
  events->push_back({30.0, "short", "feed", 127.0, "127 mm along"});
  events->push_back({40.0, "settled", "", 0.5, "0.50 K an hour"});
  now.events = events;
  now.stopped_by = "sheath > 60";
  now.waiting = true;
  auto scene = std::make_shared<scenes::Scene>(*small.scene);
  scene->steps[0].until = now.stopped_by;
  scene->steps[0].until_reading = scenes::ReadingAbove{"sheath", 333.15};
  now.scene = scene;
  ScreenState state = fresh_state(small);
  const Look tall{1600, 1600, 1.0};
  const auto metric = drawn_screen(small, *small.text, now, state, tall);
  for (const char* said : {"is at 70.5 °C, 254 mm along", "rated for 70 °C", "soften, at 80 °C", "touch, 127 mm along",
                           "1.0 K an hour", "0.50 K an hour", "sheath is above 60 °C"}) {
    INFO(said);
    CHECK(is_drawn(metric, said));
  }
  state = fresh_state(small);
  state.settings.units = {TemperatureUnit::fahrenheit, LengthUnit::inch, ConductorUnit::awg};
  const auto other = drawn_screen(small, *small.text, now, state, tall);
  // By hand: 70.5 °C = 158.9 °F, 70 °C = 158 °F, 80 °C = 176 °F, 60 °C = 140 °F; 254 mm = 10 in; 1 K = 1.8 °F.
  for (const char* said : {"is at 158.9 °F, 10 in along", "rated for 158 °F", "soften, at 176 °F", "touch, 5 in along",
                           "1.8 °F an hour", "0.90 °F an hour", "sheath is above 140 °F"}) {
    INFO(said);
    CHECK(is_drawn(other, said));
  }
  for (const DrawnText& text : other) {
    INFO(text.text);
    CHECK(text.text.find("°C") == std::string::npos);
    CHECK(text.text.find(" mm ") == std::string::npos);
  }
}

TEST_CASE("a shortcut ends the editing of a number on the screen, and what was typed is asked for") {
  const auto context = headless_or_skip();
  if (!context) return;
  const testing::SmallScene small;
  const HeatNow now = moment(small);
  ScreenState state = fresh_state(small);
  gl::Framebuffer target(1280, 720, 0);
  target.bind();
  Drawing drawing(small.places.assets, small.places.shaders, *small.text);
  const Drawing::Canvas canvas{1280, 720, 0.0F, {}};
  const auto frame = [&] { return drawing.frame(now, state, canvas); };
  for (int i = 0; i < settling_frames; ++i) (void)frame();
  std::vector<DrawnText> drawn;
  drawing.drawn = &drawn;
  (void)frame();
  drawing.drawn = nullptr;
  const auto unit = std::find_if(drawn.begin(), drawn.end(), [](const DrawnText& t) { return t.text == "A"; });
  REQUIRE(unit != drawn.end());
  ImGuiIO& io = ImGui::GetIO();
  io.MousePos = {unit->from.x - 20.0F, 0.5F * (unit->from.y + unit->to.y)};  // the field is left of its unit
  (void)frame();
  io.MouseDown[0] = true;
  (void)frame();
  io.MouseDown[0] = false;
  (void)frame();
  (void)frame();
  REQUIRE(io.WantTextInput);
  io.AddInputCharacter('5');
  CHECK(frame().empty());  // half typed: nothing is asked for yet
  state.leave_field = true;
  const Wishes wishes = frame();
  REQUIRE(wishes.size() == 1);
  CHECK(std::get<scenes::SetCurrent>(std::get<scenes::Change>(wishes[0])).current_a == 5.0);
  CHECK_FALSE(state.leave_field);
  (void)frame();
  (void)frame();
  CHECK_FALSE(io.WantTextInput);
}

TEST_CASE("a window of any size is drawn, presenting or not", "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
  const testing::SmallScene small;
  const HeatNow sound = moment(small);
  const Look look = GENERATE(Look{1, 1, 0.0}, Look{2, 2, 0.0}, Look{7, 5, 0.0}, Look{1, 300, 0.0}, Look{300, 1, 0.0},
                             Look{30, 30, 0.0}, Look{200, 30, 0.0}, Look{30, 200, 0.0}, Look{200, 100, 0.0},
                             Look{640, 30, 3.0}, Look{1280, 120, 0.0});
  const bool presenting = GENERATE(false, true);
  CAPTURE(look.width, look.height, presenting);
  for (const HeatNow& now : {HeatNow{}, sound, ruined(sound), ended(sound), failed(sound), stopped(sound)}) {
    for (const ViewMode mode : {ViewMode::cut_away, ViewMode::room_face}) {
      ScreenState state = fresh_state(small);
      state.presenting = presenting;
      state.view.mode = mode;
      state.view.isotherms = true;
      state.controls_open = true;
      const auto drawn = drawn_screen(small, *small.text, now, state, look);
      // Whatever there is no room for: nothing that is drawn is too small to be a letter.
      for (const DrawnText& text : drawn) CHECK(text.font_px >= 10.0F);
      CHECK(glGetError() == 0);
    }
  }
}

}  // namespace warmbay::render
