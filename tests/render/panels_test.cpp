// The panels: what they draw is readable at every size, and what they compute before drawing is right.

#include <fmt/format.h>
#include <glad/gl.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <regex>

#include "render/drawing.hpp"
#include "render/gl/framebuffer.hpp"
#include "render/gl/headless_gl.hpp"
#include "render/history.hpp"
#include "render/panels/line_drawing.hpp"
#include "render/rating.hpp"
#include "render/screen.hpp"
#include "render/undo.hpp"
#include "scenes/painter.hpp"
#include "sim/damage/state.hpp"
#include "tests/render/support.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

namespace {

/// English, every sentence said twice: a made-up language twice as long.
scenes::Text doubled_text(const std::filesystem::path& catalogue) {
  std::ifstream in(catalogue);
  const tests::TemporaryFolder folder;
  const std::filesystem::path file = folder.path() / "doubled.toml";
  std::ofstream out(file);
  const std::regex sentence(R"re(^([A-Za-z_-]+) *= *"((?:[^"\\]|\\.)*)"(.*)$)re");
  for (std::string line; std::getline(in, line);) {
    std::smatch found;
    // A signal word is data as well as text: the panels look it up.
    if (std::regex_match(line, found, sentence) && found[1] != "signal") {
      out << found[1] << " = \"" << found[2] << ' ' << found[2] << "\"\n";
    } else {
      out << line << '\n';
    }
  }
  out.close();
  std::vector<scenes::Fault> faults;
  scenes::Text text = scenes::Text::read(file, faults);
  REQUIRE(faults.empty());
  return text;
}

/// A moment of the small scene, 20 A for five minutes.
HeatNow moment(const testing::SmallScene& small) {
  scenes::PlayerOptions options;
  options.threads = 1;
  options.stop_between_steps = true;
  scenes::Player player(small.scene, scenes::paint(*small.scene, small.data), options);
  player.advance(300.0);
  return picture_of(player, small.scene);
}

/// The same wall after everything that can go wrong has: a void, a melt skin, a short, smoke, an alarm, a slipped
/// thermocouple, a tripped breaker. Made up, so that it takes no time; nothing of it is asked to be physics.
HeatNow ruined(const HeatNow& sound) {
  auto snapshot = std::make_shared<sim::Snapshot>(*sound.snapshot);
  const sim::Grid& grid = snapshot->wall->grid;
  snapshot->states.assign(grid.count(), sim::VoxelState::sound);
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = 0; j < grid.ny(); ++j)
      for (int i = 0; i < grid.nx(); ++i) {
        const double y_m = 0.5 * (grid.y_m[static_cast<std::size_t>(j)] + grid.y_m[static_cast<std::size_t>(j) + 1]);
        const double z_m = 0.5 * (grid.z_m[static_cast<std::size_t>(k)] + grid.z_m[static_cast<std::size_t>(k) + 1]);
        const double away_m = std::hypot(y_m - 0.1, z_m - 0.04);
        snapshot->states[grid.at(i, j, k)] = away_m < 0.015   ? sim::VoxelState::gone
                                             : away_m < 0.020 ? sim::VoxelState::melt
                                             : away_m < 0.025 ? sim::VoxelState::charred
                                             : away_m < 0.030 ? sim::VoxelState::softened
                                             : away_m < 0.040 ? sim::VoxelState::dried
                                                              : sim::VoxelState::sound;
      }
  auto damage = std::make_shared<sim::DamageState>();
  damage->cables.resize(1);
  damage->cables[0].short_node = 10;
  damage->cables[0].open_node = 4;
  snapshot->damage = damage;
  snapshot->conditions.supply = sim::SupplyKind::branch;
  snapshot->conditions.device = 0;
  sim::Reading& reading = snapshot->reading;
  reading.device_open = true;
  reading.smoke_kg_s = 12.3e-6;
  reading.smoke_kg = 2e-3;
  reading.void_m3 = 1.234e-3;
  reading.cables[0].worn = 1.0;
  reading.slipped.assign(reading.thermocouple_k.size(), 1);
  HeatNow now = sound;
  now.snapshot = snapshot;
  now.alarm_s = 4321.0;
  now.waiting = true;
  auto history = std::make_shared<History>(*sound.history);
  history->curves.back().slipped_row = 5;
  now.history = history;
  auto events = std::make_shared<std::vector<scenes::Event>>(*sound.events);
  for (const char* name : {"over-rating", "softening", "melt-back", "smoke", "char", "short", "open", "trip"})
    events->push_back({200.0, name, "feed", 123.0, "A sentence that says where it was and how much of it."});
  now.events = events;
  return now;
}

/// And then a surface has passed its ignition temperature.
HeatNow ended(const HeatNow& sound) {
  HeatNow now = ruined(sound);
  auto events = std::make_shared<std::vector<scenes::Event>>(*now.events);
  events->push_back({300.0, "ignition-risk", "mineral wool", 391.0, ""});
  now.events = events;
  now.ended = true;
  now.stopped_by = "ignition-risk";
  return now;
}

/// The computation has failed after many a step that was computed twice: both are told.
HeatNow failed(const HeatNow& sound) {
  HeatNow now = sound;
  auto snapshot = std::make_shared<sim::Snapshot>(*sound.snapshot);
  snapshot->reading.mended_steps = 123456;
  now.snapshot = snapshot;
  now.waiting = true;
  now.broken = true;
  return now;
}

/// The heat was given up for want of memory.
HeatNow stopped(const HeatNow& sound) {
  HeatNow now = sound;
  now.playing = false;
  now.trouble = {Trouble::What::stopped, {true, ""}};
  return now;
}

bool is_drawn(const std::vector<DrawnText>& drawn, std::string_view text) {
  return std::any_of(drawn.begin(), drawn.end(), [&](const DrawnText& t) { return t.text.find(text) != text.npos; });
}

struct Look {
  int width;
  int height;
  double scale;
};

/// Draws the whole screen and returns every piece of text in it.
std::vector<DrawnText> drawn_screen(const testing::SmallScene& small, const scenes::Text& text, const HeatNow& now,
                                    ScreenState& state, const Look& look) {
  gl::Framebuffer target(look.width, look.height, 0);
  target.bind();
  Drawing drawing(small.places.assets, small.places.shaders, text);
  CHECK(drawing.troubles().empty());
  state.settings.scale = look.scale;
  const Drawing::Canvas canvas{look.width, look.height, 0.0F, {}};
  for (int i = 0; i < 2 * settling_frames; ++i) (void)drawing.frame(now, state, canvas);
  std::vector<DrawnText> drawn;
  drawing.drawn = &drawn;
  (void)drawing.frame(now, state, canvas);
  return drawn;
}

/// Cut off at a side, or below where nothing scrolls.
bool clipped(const DrawnText& t) {
  constexpr float tolerance_px = 1.5F;
  const bool across = t.from.x < t.clip_from.x - tolerance_px || t.to.x > t.clip_to.x + tolerance_px;
  const bool along = t.from.y < t.clip_from.y - tolerance_px || t.to.y > t.clip_to.y + tolerance_px;
  return across || (along && !t.scrolls);
}

ScreenState fresh_state(const testing::SmallScene& small) {
  std::vector<std::string> troubles;
  ScreenState state = first_screen_state(small.places.assets, Settings{}, troubles);
  CHECK(troubles.empty());
  state.caution_open = false;
  state.layout = scenes::layout_of(*small.scene);
  state.layout_choices = scenes::layout_choices(*small.scene, small.data);
  return state;
}

}  // namespace

TEST_CASE("no text is clipped, at any size, in a language twice as long") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
  const testing::SmallScene small;
  REQUIRE(small.faults.empty());
  const scenes::Text doubled = doubled_text(small.places.assets / "text" / "en.toml");
  const HeatNow sound = moment(small);
  const Look look = GENERATE(Look{1280, 720, 1.0}, Look{1366, 768, 2.0}, Look{1920, 1080, 0.0}, Look{1366, 768, 0.75});
  const bool twice = GENERATE(false, true);
  const int what = GENERATE(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13);
  CAPTURE(look.width, look.height, look.scale, twice, what);
  ScreenState state = fresh_state(small);
  state.controls_open = what == 1;
  state.keys_shown = what == 2;
  state.caution_open = what == 3;
  state.presenting = what == 4 || what == 7 || what == 9 || what == 11 || what == 13;
  state.controls_open = state.controls_open || what == 6;
  if (what == 8) state.view.mode = ViewMode::room_face;
  const HeatNow now = what >= 12   ? stopped(sound)
                      : what >= 10 ? failed(sound)
                      : what >= 8  ? ended(sound)
                      : what >= 5  ? ruined(sound)
                                   : sound;
  const auto drawn = drawn_screen(small, twice ? doubled : *small.text, now, state, look);
  REQUIRE(drawn.size() > 10);
  for (const DrawnText& text : drawn) {
    INFO("\"" << text.text << "\" at " << text.from.x << ", " << text.from.y << " to " << text.to.x << ", " << text.to.y
              << " within " << text.clip_from.x << ", " << text.clip_from.y << " to " << text.clip_to.x << ", "
              << text.clip_to.y);
    CHECK_FALSE(clipped(text));
  }
}

TEST_CASE("what has happened to the wall is told in words") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
  const testing::SmallScene small;
  const scenes::Text& text = *small.text;
  const HeatNow sound = moment(small);
  const HeatNow now = ruined(sound);
  ScreenState state = fresh_state(small);
  const Look tall{1600, 1600, 1.0};  // the whole side column, without scrolling
  const auto before = drawn_screen(small, text, sound, state, tall);
  state = fresh_state(small);
  const auto after = drawn_screen(small, text, now, state, tall);
  for (const char* key :
       {"damage.key.void", "damage.key.melt", "damage.key.charred", "damage.key.softened", "damage.key.dried",
        "damage.key.short", "damage.key.open", "damage.key.dead", "gave_way.visible", "chart.slipped",
        "chart.mark.smoke", "event.name.trip", "status.heading_cools", "supply.reset"}) {
    INFO(key);
    CHECK(is_drawn(after, text(key)));
  }
  // Words that nothing else on the screen shares stand only where they are true.
  for (const char* key : {"damage.key.melt", "damage.key.charred", "damage.key.dead", "gave_way.visible",
                          "chart.slipped", "event.name.trip", "status.heading_cools", "supply.reset"}) {
    INFO(key);
    CHECK_FALSE(is_drawn(before, text(key)));
  }
  CHECK(is_drawn(before, text("gave_way.nothing")));
  CHECK_FALSE(is_drawn(after, text("gave_way.nothing")));
  CHECK(is_drawn(after, text(device_word(now.snapshot->wall->devices[0], true))));
  CHECK(is_drawn(after, "12.3 mg/s"));
  CHECK(is_drawn(after, "1234 cm³"));
  CHECK(is_drawn(after, "1:12:01"));  // of the alarm, 4321 s
  CHECK(is_drawn(after, "sheath, slipped"));
  CHECK(state.close_up_to.x - state.close_up_from.x > 80.0F);
  state.close_up = false;
  (void)drawn_screen(small, text, now, state, tall);
  CHECK(state.close_up_to.x == state.close_up_from.x);
}

TEST_CASE("once the model has ended, a danger says so and shows the ways back") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
  const testing::SmallScene small;
  const scenes::Text& text = *small.text;
  const HeatNow sound = moment(small);
  for (const bool presenting : {false, true}) {
    ScreenState state = fresh_state(small);
    state.presenting = presenting;
    const auto drawn = drawn_screen(small, text, ended(sound), state, {1920, 1080, 1.0});
    for (const char* key : {"danger.ends", "danger.back", "danger.reset", "step.model_ended"})
      CHECK(is_drawn(drawn, text(key)));
    CHECK(is_drawn(drawn, "mineral wool is at 391 °C"));
    CHECK_FALSE(is_drawn(drawn_screen(small, text, ruined(sound), state, {1920, 1080, 1.0}), text("danger.ends")));
  }
  // In ANSI Z535.4's words and colours: white on safety red.
  const SignalColours colours = signal_colours(scenes::Signal::danger);
  CHECK(colours.text == IM_COL32_WHITE);
  CHECK(contrast(colours.text, colours.ground) >= 4.5);
}

TEST_CASE("a computation that has failed, one that was stopped and steps computed twice are told, presenting, too") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
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

TEST_CASE("what happened is told in the units that are chosen") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
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

TEST_CASE("a window of any size is drawn, presenting or not") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
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

TEST_CASE("where the wall is heading is told only where it means something") {
  const testing::SmallScene small;
  const HeatNow sound = moment(small);
  const Heading mild{sim::SettledOutcome::settled, 320.0};
  const Heading hot{sim::SettledOutcome::settled, 600.0};
  CHECK(gives_way_from_k(*sound.snapshot->wall) == Approx(273.15 + 80.0));  // PVC softens (assets/damage.toml)
  CHECK(told(sound, std::nullopt) == HeadingTold::nothing);
  CHECK(told(sound, mild) == HeadingTold::settles);
  CHECK(told(sound, hot) == HeadingTold::gives_way);
  CHECK(told(sound, Heading{sim::SettledOutcome::runaway, 0.0}) == HeadingTold::never);
  CHECK(told(sound, Heading{sim::SettledOutcome::stalled, 0.0}) == HeadingTold::unknown);
  CHECK(heading_matters(*sound.snapshot));

  CHECK(told(ended(sound), mild) == HeadingTold::ended);
  CHECK(told(ruined(sound), mild) == HeadingTold::no_current);  // its breaker is open
  CHECK_FALSE(heading_matters(*ruined(sound).snapshot));
  HeatNow shorted = sound;
  auto snapshot = std::make_shared<sim::Snapshot>(*sound.snapshot);
  auto damage = std::make_shared<sim::DamageState>();
  damage->cables.resize(1);
  damage->cables[0].short_node = 3;
  snapshot->damage = damage;
  shorted.snapshot = snapshot;
  CHECK(told(shorted, mild) == HeadingTold::shorted);
  CHECK_FALSE(heading_matters(*snapshot));
}

TEST_CASE("text breaks at spaces, never inside a number") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
  const testing::SmallScene small;
  const Drawing drawing(small.places.assets, small.places.shaders, *small.text);
  ImFont* font = ImGui::GetIO().Fonts->AddFontDefault();
  ImGui::GetIO().Fonts->Build();
  const float line = text_size(font, "0").y;
  const float exact = text_size(font, "from 82.8").x;
  CHECK(text_size(font, "from 82.8", exact).y == line);
  CHECK(text_size(font, "from 82.8", exact - 1.0F).y == Approx(2.0F * line));
  CHECK(text_size(font, "from 82.8", exact - 1.0F).x == text_size(font, "82.8").x);  // whole, on a line of its own
  CHECK(text_size(font, "a b c d", text_size(font, "a b").x).y == Approx(2.0F * line));
  CHECK(text_size(font, "one\ntwo", 1000.0F).y == Approx(2.0F * line));
}

TEST_CASE("presenting, no text is smaller than 3 % of the window's height") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
  const testing::SmallScene small;
  const HeatNow now = moment(small);
  ScreenState state = fresh_state(small);
  state.presenting = true;
  for (const HeatNow& moment_of : {now, ruined(now), ended(now)}) {
    for (const DrawnText& text : drawn_screen(small, *small.text, moment_of, state, {1920, 1080, 0.0})) {
      INFO(text.text);
      CHECK(text.font_px >= 0.03F * 1080.0F);
    }
  }
}

TEST_CASE("the notice that it is not for sizing cables is on every screen") {
  std::string error;
  const auto context = gl::HeadlessGl::open(error);
  if (!context) {
    WARN("no OpenGL without a display here: " << error);
    return;
  }
  const testing::SmallScene small;
  const HeatNow now = moment(small);
  for (const bool presenting : {false, true}) {
    ScreenState state = fresh_state(small);
    state.presenting = presenting;
    const auto drawn = drawn_screen(small, *small.text, now, state, {1280, 720, 1.0});
    CHECK(std::any_of(drawn.begin(), drawn.end(),
                      [&](const DrawnText& t) { return t.text == (*small.text)("notice.sizing"); }));
  }
}

TEST_CASE("themes keep the contrast that WCAG asks for") {
  for (const ThemeName name : {ThemeName::graphite, ThemeName::paper, ThemeName::contrast}) {
    const Theme& t = theme_of(name);
    CAPTURE(static_cast<int>(name));
    for (const ImU32 ground : {t.ground, t.panel, t.raised, t.pressed}) CHECK(contrast(t.text, ground) >= 4.5);
    for (const ImU32 text : {t.muted, t.accent, t.good, t.near, t.over}) CHECK(contrast(text, t.panel) >= 4.5);
    for (const ImU32 curve : t.curves) CHECK(contrast(curve, t.panel) >= 4.5);  // their labels are text
    CHECK(contrast(t.accent_text, t.accent) >= 4.5);
    CHECK(contrast(t.line, t.panel) >= 3.0);
  }
  CHECK(contrast(IM_COL32_BLACK, IM_COL32_WHITE) == Approx(21.0));
}

TEST_CASE("signal words stand out from their ground, and their labels from every panel, as WCAG asks of text") {
  // WCAG 2.2, 1.4.3: 4.5:1. The label's outline is what its ground may be too close to the panel for.
  for (const ThemeName name : {ThemeName::graphite, ThemeName::paper, ThemeName::contrast}) {
    const Theme& t = theme_of(name);
    CAPTURE(static_cast<int>(name));
    for (const auto signal :
         {scenes::Signal::danger, scenes::Signal::warning, scenes::Signal::caution, scenes::Signal::notice}) {
      CAPTURE(static_cast<int>(signal));
      const SignalColours colours = signal_colours(signal);
      CHECK(contrast(colours.text, colours.ground) >= 4.5);
      CHECK(std::max(contrast(colours.ground, t.panel), contrast(signal_edge(t), t.panel)) >= 4.5);
    }
  }
}

TEST_CASE("the scale follows the window and stays between 75 and 300 %") {
  CHECK(suitable_scale(0.0, 1280, 720, 96.0F) == 1.0F);
  CHECK(suitable_scale(0.0, 1920, 1080, 96.0F) == 1.5F);
  CHECK(suitable_scale(0.0, 640, 400, 96.0F) == 0.75F);
  CHECK(suitable_scale(0.0, 7680, 4320, 96.0F) == 3.0F);
  CHECK(suitable_scale(2.0, 1366, 768, 96.0F) == 2.0F);
  CHECK(suitable_scale(9.0, 1366, 768, 96.0F) == 3.0F);
}

TEST_CASE("a curve reduced to columns keeps its peaks and its ends") {
  std::vector<float> time_s;
  std::vector<float> value;
  for (int i = 0; i < 5000; ++i) {
    time_s.push_back(static_cast<float>(i));
    value.push_back(i == 2345 ? 99.0F : i == 4000 ? -7.0F : 1.0F);
  }
  std::vector<Column> columns;
  decimate(time_s, value, 0.0, 5000.0, 100, columns);
  REQUIRE(columns.size() == 100);
  float high = 0.0F;
  float low = 0.0F;
  for (const Column& column : columns) {
    high = std::max(high, column.high);
    low = std::min(low, column.low);
  }
  CHECK(high == 99.0F);
  CHECK(low == -7.0F);
  CHECK(columns[46].high == 99.0F);  // 2345 s of 5000 s in 100 columns
  CHECK(columns.front().column == 0);
  CHECK(columns.back().column == 99);

  decimate(time_s, value, 1000.0, 1010.0, 100, columns);  // fewer rows than columns: every row, no invented ones
  CHECK(columns.size() == 11);
  decimate(time_s, value, 6000.0, 7000.0, 100, columns);
  CHECK(columns.empty());
}

TEST_CASE("history takes over new rows only") {
  const testing::SmallScene small;
  const auto wall = scenes::paint(*small.scene, small.data);
  History history = empty_history(*wall);
  REQUIRE(history.curves.size() == 2);
  CHECK(history.curves[0].conductor);
  CHECK(history.curves[0].rated_k == Approx(343.15));
  sim::Reading reading;
  reading.cables.resize(1);
  reading.cables[0].hottest_k = 300.0;
  reading.thermocouple_k = {299.0};
  std::vector<sim::Reading> rows{reading};
  extend(history, rows);
  rows.push_back(reading);
  rows[1].time_s = 5.0;
  rows[1].thermocouple_k[0] = 301.0;
  extend(history, rows);
  CHECK(history.time_s == std::vector<float>{0.0F, 5.0F});
  CHECK(history.curves[1].value_k == std::vector<float>{299.0F, 301.0F});
  CHECK(history.curves[1].slipped_row == -1);
  rows.push_back(reading);
  rows[2].slipped = {1};
  extend(history, rows);
  rows.push_back(rows[2]);
  extend(history, rows);
  CHECK(history.curves[1].slipped_row == 2);  // the first of them
  CHECK(history.curves[0].slipped_row == -1);
}

TEST_CASE("simplifying a line keeps its corners and drops what lies on it") {
  std::vector<ImVec2> points;
  for (int i = 0; i <= 50; ++i) points.push_back({static_cast<float>(i), 0.0F});
  for (int i = 1; i <= 50; ++i) points.push_back({50.0F, static_cast<float>(i)});
  simplify(points, 0.3F);
  CHECK(points.size() <= 5);
  CHECK(std::any_of(points.begin(), points.end(), [](ImVec2 p) { return p.x == 50.0F && p.y == 0.0F; }));
  CHECK(points.front().x == 0.0F);
  CHECK(points.back().y == 50.0F);
}

TEST_CASE("labels at the ends of curves do not cover each other") {
  const auto placed = push_apart({100.0F, 101.0F, 99.0F, 20.0F, 199.0F}, 14.0F, 0.0F, 200.0F);
  auto sorted = placed;
  std::sort(sorted.begin(), sorted.end());
  for (std::size_t i = 1; i < sorted.size(); ++i) CHECK(sorted[i] - sorted[i - 1] >= 14.0F - 0.01F);
  CHECK(placed[2] < placed[0]);  // the order of the curves stays
  CHECK(placed[0] < placed[1]);
  CHECK(sorted.front() >= 7.0F);
  CHECK(sorted.back() <= 193.01F);
}

TEST_CASE("axes end on round numbers") {
  const Axis axis = round_axis(23.4, 88.1, 6);
  CHECK(axis.low == Approx(20.0));
  CHECK(axis.high == Approx(100.0));
  CHECK(axis.step == Approx(20.0));
  CHECK(round_up_125(3.0) == Approx(5.0));
  CHECK(round_up_125(0.2) == Approx(0.2));
  CHECK(time_axis_s(601.0) == Approx(1200.0));
}

TEST_CASE("the rating names the cable that is worst off, by its own rating") {
  sim::Wall wall;
  wall.cables.resize(2);
  wall.cables[0].type.rated_k = 363.15;
  wall.cables[1].type.rated_k = 333.15;
  sim::Reading reading;
  reading.cables.resize(2);
  reading.cables[0].hottest_k = 340.0;  // hotter, but 23 K below its rating
  reading.cables[1].hottest_k = 330.0;  // 3 K below its own
  CHECK(rate(wall, reading).cable == 1);
  CHECK(rate(wall, reading).state == RatingState::near);
  reading.cables[1].hottest_k = 333.2;
  CHECK(rate(wall, reading).state == RatingState::over);
  reading.cables[1].hottest_k = 310.0;
  CHECK(rate(wall, reading).state == RatingState::within);
  CHECK(rate(sim::Wall{}, sim::Reading{}).state == RatingState::none);
}

TEST_CASE("undo takes a drag back as a whole, fifty of them, and redo does them again") {
  const auto current = [](double a) { return Wish{scenes::Change{scenes::SetCurrent{a}}}; };
  const auto amperes = [](const std::optional<Wish>& wish) {
    return std::get<scenes::SetCurrent>(std::get<scenes::Change>(wish.value())).current_a;
  };
  UndoList list;
  list.note("current", 1, current(10), current(11));
  list.note("current", 1, current(11), current(15));  // the same drag
  list.note("current", 2, current(15), current(20));
  CHECK(amperes(list.undo()) == 15.0);
  CHECK(amperes(list.undo()) == 10.0);
  CHECK_FALSE(list.undo());
  CHECK(amperes(list.redo()) == 15.0);
  list.note("current", 3, current(15), current(30));  // what was undone is gone now
  CHECK_FALSE(list.redo());
  for (unsigned i = 0; i < 80; ++i) list.note("current", 100 + i, current(i), current(i + 1));
  int undone = 0;
  while (list.undo()) ++undone;
  CHECK(undone == 50);
}

TEST_CASE("what a surface feels like is read from data, and rises with it") {
  std::string error;
  const auto feels = read_feels(testing::SmallScene{}.places.assets / "touch.toml", error);
  REQUIRE(error.empty());
  CHECK(feel_of(feels, 273.15 + 22.0) == "feel.room");
  CHECK(feel_of(feels, 273.15 + 52.0) == "feel.burns_minute");  // ISO 13732-1: 51 °C for contact of one minute
  CHECK(feel_of(feels, 100.0) == "feel.cold");
  CHECK(feel_of({}, 300.0).empty());
  const testing::SmallScene small;
  for (const Feel& feel : feels) CHECK(small.text->has(feel.text));
}

TEST_CASE("settings are kept, and a damaged file gives the defaults") {
  const tests::TemporaryFolder folder;
  const std::filesystem::path file = folder.path() / "settings.toml";
  Settings settings;
  settings.caution_acknowledged = true;
  settings.units = {TemperatureUnit::fahrenheit, LengthUnit::inch, ConductorUnit::awg};
  settings.theme = ThemeName::paper;
  settings.scale = 1.5;
  settings.palette = "cividis";
  REQUIRE(write_settings(file, settings).empty());
  CHECK(read_settings(file) == settings);
  std::ofstream(file) << "scale = 77.0\ntheme = \"rainbow\"\ncaution_acknowledged = ";
  CHECK(read_settings(file) == Settings{});
  std::ofstream(file) << "scale = 77.0\ntheme = \"rainbow\"\n";
  CHECK(read_settings(file) == Settings{});
  std::filesystem::remove(file);
  CHECK(read_settings(file) == Settings{});
  CHECK_FALSE(write_settings("/nowhere/at/all/settings.toml", settings).empty());
}

}  // namespace warmbay::render
