// The report: one page that needs nothing beside it, with everything in it that it promises.

#include "scenes/report/report.hpp"

#include <regex>

#include "scenes/places.hpp"
#include "scenes/report/base64.hpp"
#include "scenes/report/chart.hpp"
#include "scenes/report/html.hpp"
#include "scenes/report/section.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

const std::filesystem::path& assets() {
  static const std::filesystem::path path = std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets";
  return path;
}

scenes::Palette inferno() {
  std::vector<scenes::Fault> faults;
  const scenes::Palette palette = scenes::read_palette(assets() / "palettes" / "inferno.toml", faults);
  REQUIRE(faults.empty());
  return palette;
}

/// The page of a run of the small scene, made once.
const scenes::Report& small_report() {
  static const scenes::Report report = [] {
    std::vector<scenes::Fault> faults;
    const auto text = std::make_shared<const scenes::Text>(scenes::Text::read(assets() / "text" / "en.toml", faults));
    REQUIRE(faults.empty());
    const tests::SmallScene small = tests::read_small(tests::two_steps);
    scenes::PlayerOptions options;
    options.text = text;
    scenes::Player player(small.scene, small.wall, options);
    player.advance(1e6);
    const scenes::DataFiles none;
    const scenes::Palette palette = inferno();
    return scenes::make_report({*small.scene, none, *text, palette, player.readings(), player.events(),
                                player.step_ends(), player.bench().snapshot(), player.bench().energy()});
  }();
  return report;
}

/// The page of a run in which everything happened that can, by hand: its wall is sound but for what the readings say.
scenes::Report ruined_report(bool branch = true, const std::string& last = "ignition-risk") {
  std::vector<scenes::Fault> faults;
  const scenes::Text text = scenes::Text::read(assets() / "text" / "en.toml", faults);
  const tests::SmallScene small = tests::read_small("");
  auto wall = std::make_shared<sim::Wall>(*small.wall);
  wall->damage.smoke = {0.3e-6, 4400.0, 30.0, 3.0, 8.0, 0.15};
  wall->devices.push_back({"X10", "fuse", 10.0, {}, {}, 60.0, "a fuse made up for tests"});
  wall->materials[0].damage = std::make_shared<const sim::Damage>();
  scenes::PlayerOptions options;
  options.threads = 1;
  options.end_s = 20.0;
  scenes::Player player(small.scene, wall, options);
  player.advance(1e6);
  auto rows = player.readings();
  for (std::size_t i = 2; i < rows.size(); ++i) {
    rows[i].smoke_kg = 0.001 * static_cast<double>(i);
    rows[i].slipped = {static_cast<std::uint8_t>(i >= 3), 0};
  }
  auto end = std::make_shared<sim::Snapshot>(*player.bench().snapshot());
  end->reading.smoke_kg = 0.004;
  end->reading.void_m3 = 12.5e-6;
  end->reading.cables[0].worn = 0.42;
  end->states.assign(wall->grid.count(), sim::VoxelState::sound);
  end->states[wall->grid.count() / 2] = sim::VoxelState::gone;
  if (branch) {
    end->conditions.supply = sim::SupplyKind::branch;
    end->conditions.device = 0;
    end->reading.device_progress = 0.25;
  }
  std::vector<scenes::Event> events{{0.0, "step", "", 1.0, ""},
                                    {5.0, "melt-back", "test foam", 2.0, "It melts."},
                                    {6.0, "smoke", "", 0.4, "It smokes."},
                                    {12.0, "short", "feed", 60.0, "It shorts."},
                                    {12.0, "short", "feed", 42.0, "It moves."},
                                    {12.0, "short", "feed", 18.0, "It moves on."}};
  if (!last.empty()) events.push_back({20.0, last, "test foam", 351.0, "The last."});
  const scenes::DataFiles none;
  const scenes::Palette palette = inferno();
  sim::Bench::Energy energy = player.bench().energy();
  energy.taken_up_j = 1200.0;
  return scenes::make_report(
      {*small.scene, none, text, palette, rows, events, player.step_ends(), std::move(end), energy});
}

std::size_t count_of(const std::string& text, const std::string& what) {
  std::size_t count = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + what.size())) ++count;
  return count;
}

}  // namespace

TEST_CASE("the report needs nothing beside it") {
  const std::string& html = small_report().html;
  CHECK(html.find("<!DOCTYPE html>") == 0);
  CHECK(count_of(html, "http") == 0);
  CHECK(count_of(html, "<script") == 0);
  CHECK(count_of(html, "<link") == 0);
  CHECK(count_of(html, "<a ") == 0);
  CHECK(count_of(html, "url(") == count_of(html, "url(#"));
  CHECK(count_of(html, " src=\"") == count_of(html, " src=\"data:image/png;base64,"));
}

TEST_CASE("the report has its charts, tables, pictures and the notice") {
  const scenes::Report& report = small_report();
  const std::string& html = report.html;
  CHECK(count_of(html, "<svg") == 4);
  CHECK(count_of(html, "<img") == 2);
  REQUIRE(report.pictures.size() == 2);
  CHECK(html.find(scenes::base64(report.pictures[0].png)) != std::string::npos);
  CHECK(html.find("test foam") != std::string::npos);
  CHECK(html.find("made up for tests") != std::string::npos);
  CHECK(count_of(html, "<td>over</td>") == 1);    // the heavy step
  CHECK(count_of(html, "<td>within</td>") == 1);  // the light one
  CHECK(html.find("NOTICE") != std::string::npos);
  CHECK(html.find("over-rating") != std::string::npos);
  CHECK(html.find("face, &quot;room&quot;") == std::string::npos);  // a thermocouple's name stands only in the chart
}

TEST_CASE("every text that a report asks for is in the catalogue, filled in") {
  const std::string& html = small_report().html;
  CHECK(html.find("report.") == std::string::npos);
  CHECK(html.find("event.") == std::string::npos);
  CHECK(html.find("signal.") == std::string::npos);
  CHECK_FALSE(std::regex_search(html, std::regex("\\{[a-z_]+(:[^}]*)?\\}")));
}

TEST_CASE("the report says what gave way, with the room's smoke and its alarm") {
  const std::string html = ruined_report().html;
  const auto says = [&](const std::string& what) { return html.find(what) != std::string::npos; };
  CHECK(says("What gave way"));
  CHECK(says("Smoke given off: 4 g."));
  CHECK(says("It could be seen from 0.1 min on."));
  // 4 g in 30 m3 at 4.4 m2/g: K = 0.58667 1/m; 3 / K = 5.1 m, 8 / K = 13.6 m.
  CHECK(says("A reflecting sign is then seen from 5.1 m, a lit one from 13.6 m"));
  CHECK(says("A smoke alarm in that room would have sounded after 0.2 min, at 0.15 dB/m."));  // the third row, 10 s
  CHECK(says("left a void of 12.5 cm³"));
  CHECK(says("feed: a short circuit after 0.2 min, 60 mm along the route."));
  CHECK(says("feed: the short has moved since, to 18 mm along the route."));
  CHECK_FALSE(says("feed: a short circuit after 0.2 min, 42 mm"));
  CHECK(says("feed: 42 % of the life of its insulation"));
  CHECK(says("X10 did not open; it is 25 % of the way there."));
  CHECK(says("a fuse made up for tests"));
  CHECK(says("The thermocouple 'sheath' slipped from its cable after 0.2 min"));
  CHECK(says("took up 1.2 kJ"));
  CHECK(says("Lines also edge the void"));
  CHECK(count_of(html, "<svg") == 7);  // temperatures, three of the supply, three of smoke and void
  CHECK(html.find("report.") == std::string::npos);
  CHECK(html.find("event.") == std::string::npos);
  CHECK_FALSE(std::regex_search(html, std::regex("\\{[a-z_]+(:[^}]*)?\\}")));
}

TEST_CASE("what happened is marked in the chart with letters, a thermocouple that slips among it") {
  const std::string html = ruined_report().html;
  CHECK(html.find("<b>A</b> the foam melts back (test foam), 0.1 min") != std::string::npos);
  CHECK(html.find("<b>B</b> first smoke, 0.1 min") != std::string::npos);
  CHECK(html.find("<b>C</b> short circuit (feed), 0.2 min") != std::string::npos);
  CHECK(html.find("<b>F</b> the thermocouple slips (sheath), 0.2 min") != std::string::npos);
  CHECK(html.find("<b>G</b> it may catch fire (test foam), 0.3 min") != std::string::npos);
  CHECK(html.find("<b>H</b>") == std::string::npos);  // a step is no mark
}

TEST_CASE("a run whose model ended begins with a DANGER notice, another does not") {
  const std::string ended = ruined_report().html;
  const std::size_t notice = ended.find("<div class=\"caution danger\"><b>DANGER</b>");
  REQUIRE(notice != std::string::npos);
  CHECK(notice < ended.find("<h2>"));
  CHECK(ended.find("test foam came to 351 °C after 0.3 min and may catch fire. The model ends here") > notice);
  CHECK(ruined_report(true, "trip").html.find("<div class=\"caution danger\">") == std::string::npos);
}

TEST_CASE("a device that opened is told with its current, a bench has none to tell of") {
  const std::string tripped = ruined_report(true, "trip").html;
  CHECK(tripped.find("test foam opened after 0.3 min, at 351 A.") != std::string::npos);
  CHECK(tripped.find("did not open") == std::string::npos);
  const std::string bench = ruined_report(false, "").html;
  CHECK(bench.find("did not open") == std::string::npos);
}

TEST_CASE("a wall to which nothing can happen has no section about what gave way") {
  CHECK(small_report().html.find("What gave way") == std::string::npos);
}

TEST_CASE("pictures in the page refer to nothing by an id, so none can take another's parts") {
  CHECK(count_of(small_report().html, " id=\"") == 0);
  CHECK(count_of(small_report().html, "href=") == 0);
}

TEST_CASE("a picture is a PNG of the size it was drawn") {
  const std::string& png = small_report().pictures[0].png;
  REQUIRE(png.size() > 1000);
  CHECK(png.substr(1, 3) == "PNG");
}

TEST_CASE("a scene with no cables and no steps still has a report") {
  std::vector<scenes::Fault> faults;
  const scenes::Text text = scenes::Text::read(assets() / "text" / "en.toml", faults);
  tests::SmallScene small = tests::read_small("");
  scenes::Scene plain = *small.scene;
  plain.cables.clear();
  std::erase_if(plain.thermocouples, [](const scenes::ThermocoupleSpot& spot) { return !spot.on.empty(); });
  const scenes::DataFiles none;
  const auto wall = scenes::paint(plain, none);
  scenes::PlayerOptions options;
  options.end_s = 20.0;
  scenes::Player player(std::make_shared<const scenes::Scene>(plain), wall, options);
  player.advance(1e6);
  const scenes::Palette palette = inferno();
  const scenes::Report report =
      scenes::make_report({plain, none, text, palette, player.readings(), player.events(), player.step_ends(),
                           player.bench().snapshot(), player.bench().energy()});
  CHECK(count_of(report.html, "<svg") == 1);
  CHECK(report.pictures.size() == 2);
}

TEST_CASE("a name that looks like HTML stays a name") {
  CHECK(scenes::escaped("<b> & \"c\"") == "&lt;b&gt; &amp; &quot;c&quot;");
}

TEST_CASE("base64 is that of RFC 4648") {
  CHECK(scenes::base64("").empty());
  CHECK(scenes::base64("f") == "Zg==");
  CHECK(scenes::base64("fo") == "Zm8=");
  CHECK(scenes::base64("foo") == "Zm9v");
  CHECK(scenes::base64("foobar") == "Zm9vYmFy");
}

TEST_CASE("axis ticks are round and cover the range") {
  CHECK(scenes::axis_ticks(0.0, 10.0, 5) == std::vector<double>{0.0, 2.0, 4.0, 6.0, 8.0, 10.0});
  CHECK(scenes::axis_ticks(18.0, 71.0, 6) == std::vector<double>{20.0, 30.0, 40.0, 50.0, 60.0, 70.0});
  for (const double t : scenes::axis_ticks(-3.2, 0.4, 4)) CHECK(t == Approx(std::round(t)).margin(1e-12));
}

TEST_CASE("the hottest point of a wall without cables is its hottest voxel") {
  tests::SmallScene small = tests::read_small("");
  sim::Snapshot snapshot;
  auto wall = std::make_shared<sim::Wall>(*small.wall);
  wall->cables.clear();
  snapshot.wall = wall;
  snapshot.temperature_k.assign(wall->grid.count(), 293.15F);
  snapshot.temperature_k[wall->grid.at(2, 3, 1)] = 320.0F;
  const scenes::HottestPoint hottest = scenes::hottest_point(snapshot);
  CHECK(hottest.temperature_k == 320.0);
  CHECK(hottest.at_m[0] == Approx((wall->grid.x_m[2] + wall->grid.x_m[3]) / 2.0));
  CHECK(hottest.at_m[1] == Approx((wall->grid.y_m[3] + wall->grid.y_m[4]) / 2.0));
  const auto range = scenes::range_of(snapshot, {scenes::side_section(*wall, hottest)});
  CHECK(range.high_k == 320.0);
  CHECK(range.low_k == Approx(293.15));
}
