// The panels: what they draw is readable at every size, and what they compute before drawing is right.

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
#include "scenes/paint/painter.hpp"
#include "sim/damage/state.hpp"
#include "tests/render/screens.hpp"
#include "tests/render/support.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::render {

using namespace testing;

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

/// Cut off at a side, or below where nothing scrolls.
bool clipped(const DrawnText& t) {
  constexpr float tolerance_px = 1.5F;
  const bool across = t.from.x < t.clip_from.x - tolerance_px || t.to.x > t.clip_to.x + tolerance_px;
  const bool along = t.from.y < t.clip_from.y - tolerance_px || t.to.y > t.clip_to.y + tolerance_px;
  return across || (along && !t.scrolls);
}

}  // namespace

TEST_CASE("no text is clipped, at any size, in a language twice as long", "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
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

TEST_CASE("what has happened to the wall is told in words", "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
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

TEST_CASE("once the model has ended, a danger says so and shows the ways back", "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
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
  const auto context = headless_or_skip();
  if (!context) return;
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

TEST_CASE("presenting, no text is smaller than 3 % of the window's height", "[slow]") {
  const auto context = headless_or_skip();
  if (!context) return;
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
  const auto context = headless_or_skip();
  if (!context) return;
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
  const auto current = [](double a) { return Undoable{scenes::Change{scenes::SetCurrent{a}}}; };
  const auto amperes = [](const std::optional<Undoable>& wish) {
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
  std::string deep = "a";  // its tables would end the stack when they are freed
  for (int n = 0; n < 200000; ++n) deep += ".a";
  std::ofstream(file) << deep << " = 1\n";
  CHECK(read_settings(file) == Settings{});
  std::filesystem::remove(file);
  CHECK(read_settings(file) == Settings{});
  CHECK_FALSE(write_settings("/nowhere/at/all/settings.toml", settings).empty());
}

}  // namespace warmbay::render
