// How far a temperature may be off: what is varied is varied on the wall itself, and what is told is what running it
// again gives.

#include "scenes/uncertainty/uncertainty.hpp"

#include <cmath>

#include "scenes/cli/commands.hpp"
#include "scenes/play/conditions.hpp"
#include "sim/damage/kinetics.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

scenes::DataFiles with_unknowns(std::vector<scenes::Unknown> unknowns) {
  scenes::DataFiles data;
  data.unknowns = std::move(unknowns);
  return data;
}

scenes::Unknown unknown(const std::string& name, scenes::Scaled what, std::array<double, 2> times,
                        std::vector<std::string> materials = {}) {
  return {name, what, std::move(materials), times, "made up for tests"};
}

/// The small scene with a film that follows from the surface's temperature; settled at a current.
struct Heated {
  SmallScene small = read_small("[[step]]\ntitle = \"Load\"\ncurrent_a = 8.0\nhold_min = 5.0\n");
  sim::Conditions conditions = scenes::first_conditions(*small.scene, *small.wall);
  sim::Settled settled = sim::settle(small.wall, conditions);

  [[nodiscard]] double hottest_k(const sim::Wall& wall) const {
    const sim::Settled found = sim::settle(std::make_shared<const sim::Wall>(wall), conditions);
    REQUIRE(found.outcome == sim::SettledOutcome::settled);
    return found.state->reading.cables[0].hottest_k;
  }
};

std::vector<std::string> lines_of_unknowns(const std::string& table) {
  const TemporaryFolder folder;
  std::vector<scenes::Fault> faults;
  const auto read =
      scenes::read_unknowns(folder.write("unknowns.toml", "format = 1\n" + table), {"eps", "xps"}, faults);
  std::vector<std::string> lines;
  for (const scenes::Fault& fault : faults) lines.push_back(std::to_string(fault.line) + ": " + fault.text);
  return lines;
}

}  // namespace

TEST_CASE("every unknown that ships has a range about 1, a source and words", "[uncertainty]") {
  const auto& data = shipped_data_files();
  std::vector<scenes::Fault> faults;
  const auto text =
      scenes::Text::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml", faults);
  REQUIRE(data.unknowns.size() >= 8);
  for (const scenes::Unknown& one : data.unknowns) {
    INFO(one.name);
    CHECK(text.has("unknown." + one.name));
    CHECK(one.range[0] <= one.neutral());
    CHECK(one.range[1] >= one.neutral());
    CHECK(one.source.size() > 20);
  }
}

TEST_CASE("with one unknown, the spread is what the wall gives at both ends of its range", "[uncertainty]") {
  const Heated heated;
  const scenes::Unknown foam = unknown("foam", scenes::Scaled::conductivity, {0.8, 1.1}, {"test foam"});
  const auto found = scenes::settled_uncertainty(*heated.small.scene, with_unknowns({foam}), heated.conditions,
                                                 heated.settled.state->reading, 2);
  REQUIRE(found);
  REQUIRE(found->spreads.size() == 1);
  CHECK(found->unknowns == std::vector<std::string>{"foam"});
  for (const double times : foam.range) {
    sim::Wall wall = *heated.small.wall;
    for (sim::Material& material : wall.materials)
      if (material.name == "test foam") material.conductivity_w_mk = 0.04 * times;
    const double expected_k = heated.hottest_k(wall);
    CHECK(expected_k == Approx(times < 1.0 ? found->spreads[0].hottest_k : found->spreads[0].coolest_k).margin(2e-3));
  }
  const double computed_k = heated.settled.state->reading.cables[0].hottest_k;
  CHECK(found->spreads[0].coolest_k < computed_k - 0.5);
  CHECK(found->spreads[0].hottest_k > computed_k + 0.5);
}

TEST_CASE("an unknown whose range lies on one side of what is computed is told, on whichever side", "[uncertainty]") {
  // At the end that is the computed wall itself nothing of its influence is to be seen.
  const Heated heated;
  const double computed_k = heated.settled.state->reading.cables[0].hottest_k;
  for (const std::array<double, 2> times : {std::array{0.75, 1.0}, std::array{1.0, 1.3}}) {
    INFO(times[0] << " to " << times[1]);
    const auto found = scenes::settled_uncertainty(
        *heated.small.scene, with_unknowns({unknown("foam", scenes::Scaled::conductivity, times, {"test foam"})}),
        heated.conditions, heated.settled.state->reading, 1);
    REQUIRE(found);
    CHECK(found->unknowns == std::vector<std::string>{"foam"});
    const auto [coolest_k, hottest_k] = found->spreads.at(0);
    const bool insulates_better = times[0] < 1.0;
    CHECK((insulates_better ? hottest_k - computed_k : computed_k - coolest_k) > 0.5);
    CHECK((insulates_better ? coolest_k : hottest_k) == Approx(computed_k).margin(2e-3));
  }
}

TEST_CASE("the three that matter most are named first, and what the wall lacks is left out", "[uncertainty]") {
  const Heated heated;
  const auto found = scenes::settled_uncertainty(
      *heated.small.scene,
      with_unknowns({unknown("little", scenes::Scaled::resistance, {0.999, 1.001}),
                     unknown("other", scenes::Scaled::conductivity, {0.5, 2.0}, {"not in this wall"}),
                     unknown("film", scenes::Scaled::film, {0.8, 1.25}),
                     unknown("gone", scenes::Scaled::collapse, {-5.0, 5.0}, {"test foam"}),
                     unknown("foam", scenes::Scaled::conductivity, {0.7, 1.4}, {"test foam"}),
                     unknown("plastics", scenes::Scaled::plastics, {0.5, 2.0})}),
      heated.conditions, heated.settled.state->reading, 2);
  REQUIRE(found);
  REQUIRE(found->unknowns.size() == 3);
  CHECK(found->unknowns[0] == "foam");
  for (const std::string& name : found->unknowns) {
    CHECK(name != "little");
    CHECK(name != "other");
    CHECK(name != "gone");
  }
}

TEST_CASE("a film, a resistance and an emissivity act on the property that they name", "[uncertainty]") {
  sim::Wall wall = *read_small("").wall;
  wall.surroundings[0].film = sim::Film::natural;
  CHECK(scenes::scale(wall, unknown("film", scenes::Scaled::film, {0.5, 2.0}), 2.0));
  CHECK(wall.surroundings[0].natural_times == 2.0);
  CHECK(wall.surroundings[1].film_w_m2k == 16.0);
  const double before_ohm_m = wall.cables[0].type.resistance_20_ohm_m;
  CHECK(before_ohm_m > 0.0);
  CHECK(scenes::scale(wall, unknown("copper", scenes::Scaled::resistance, {0.9, 1.1}), 1.1));
  CHECK(wall.cables[0].type.resistance_20_ohm_m == 1.1 * before_ohm_m);
  CHECK_FALSE(scenes::scale(wall, unknown("air", scenes::Scaled::emissivity, {0.9, 1.1}), 1.1));
  wall.materials[1].air_space = true;
  CHECK(scenes::scale(wall, unknown("air", scenes::Scaled::emissivity, {0.9, 1.2}), 1.2));
  CHECK(wall.materials[0].emissivity == 1.0);  // 0.9 times 1.2 would be more than a black surface
  CHECK(scenes::scale(wall, unknown("capacity", scenes::Scaled::capacity, {0.5, 2.0}), 0.5));
  CHECK(wall.cables[0].type.sheath.heat_capacity_j_kgk == 600.0);
}

TEST_CASE("a shift moves the temperature at which the foam that it names collapses, and not where nothing happens",
          "[uncertainty]") {
  sim::Wall wall = *read_small("").wall;
  const scenes::Unknown shift = unknown("foam", scenes::Scaled::collapse, {-20.0, 25.0}, {"test foam"});
  CHECK_FALSE(scenes::scale(wall, shift, 25.0));  // it cannot collapse
  sim::Damage damage;
  damage.collapse = sim::Collapse{120.0, 378.15, 3e5, 348.15, 0.0, 1050.0, 0.16};
  const auto before = std::make_shared<const sim::Damage>(damage);
  for (sim::Material& material : wall.materials) material.damage = before;
  CHECK(scenes::scale(wall, shift, 25.0));
  int shifted = 0;
  for (const sim::Material& material : wall.materials) {
    if (material.name != "test foam") {
      CHECK(material.damage == before);
      continue;
    }
    ++shifted;
    CHECK(material.damage->collapse->at_k == 403.15);
    CHECK(material.damage->collapse->from_k == 348.15);
    const sim::Kinetics kinetics(*material.damage);
    CHECK(kinetics.collapse_rates().at(403.15F) == Approx(1.0 / 120.0).epsilon(1e-4));
    CHECK(kinetics.collapse_rates().at(348.1F) == 0.0F);
  }
  CHECK(shifted == 1);
  CHECK(before->collapse->at_k == 378.15);
  CHECK(shift.neutral() == 0.0);
}

TEST_CASE("where the hotter end has no settled state, that is said", "[uncertainty]") {
  const Heated heated;
  const scenes::Unknown wild = unknown("foam", scenes::Scaled::conductivity, {1e-4, 1.01}, {"test foam", "test board"});
  sim::Conditions much = heated.conditions;
  much.current_a = 16.0;
  const sim::Settled settled = sim::settle(heated.small.wall, much);
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  const auto found =
      scenes::settled_uncertainty(*heated.small.scene, with_unknowns({wild}), much, settled.state->reading, 1);
  REQUIRE(found);
  CHECK(std::isinf(found->spreads[0].hottest_k));
  std::vector<scenes::Fault> faults;
  const auto text =
      scenes::Text::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml", faults);
  CHECK(scenes::spread_words(found->spreads[0], text).find("no settled state") != std::string::npos);
}

TEST_CASE("without any current the conductors' resistance is no matter, and nothing is told", "[uncertainty]") {
  Heated heated;
  heated.conditions.current_a = 0.0;
  const sim::Settled cold = sim::settle(heated.small.wall, heated.conditions);
  REQUIRE(cold.outcome == sim::SettledOutcome::settled);
  const scenes::Unknown copper = unknown("copper", scenes::Scaled::resistance, {0.9, 1.1});
  CHECK_FALSE(scenes::settled_uncertainty(*heated.small.scene, with_unknowns({copper}), heated.conditions,
                                          cold.state->reading, 1));
}

TEST_CASE("a run is uncertain at the end of each step, and more so the hotter it is", "[uncertainty]") {
  const SmallScene small = read_small(two_steps);
  scenes::PlayerOptions options;
  scenes::Player player(small.scene, small.wall, options);
  while (!player.waiting()) player.advance(600.0);
  const auto found = scenes::played_uncertainty(
      *small.scene,
      with_unknowns({unknown("foam", scenes::Scaled::conductivity, {0.8, 1.25}, {"test foam"}),
                     unknown("copper", scenes::Scaled::resistance, {0.95, 1.05}),
                     unknown("capacity", scenes::Scaled::capacity, {0.8, 1.2})}),
      options, player.step_ends());
  REQUIRE(found);
  REQUIRE(found->spreads.size() == 2);
  const auto width_k = [&](std::size_t n) { return found->spreads[n].hottest_k - found->spreads[n].coolest_k; };
  CHECK(width_k(0) > 0.01);
  CHECK(width_k(1) > 5.0 * width_k(0));
  for (std::size_t n = 0; n < 2; ++n) {
    const double computed_k = scenes::hottest_conductor_k(player.step_ends()[n].reading);
    CHECK(found->spreads[n].coolest_k < computed_k);
    CHECK(found->spreads[n].hottest_k > computed_k);
  }
}

TEST_CASE("a limit comes with its own range, and the hotter wall has the smaller one", "[uncertainty]") {
  const Heated heated;
  const double limit_k = sim::kelvin_from_celsius(40.0);
  const sim::Limit limit = sim::current_limit(heated.small.wall, heated.conditions, 0, limit_k);
  const scenes::Unknown copper = unknown("copper", scenes::Scaled::resistance, {0.9, 1.1});
  const auto found = scenes::limit_uncertainty(*heated.small.scene, with_unknowns({copper}), heated.conditions, 0,
                                               limit_k, limit.current_a, 2);
  REQUIRE(found);
  // The same heat at the same temperature: the current goes with one over the root of the resistance.
  CHECK(found->least_a == Approx(limit.current_a / std::sqrt(1.1)).epsilon(2e-3));
  CHECK(found->most_a == Approx(limit.current_a / std::sqrt(0.9)).epsilon(2e-3));
}

TEST_CASE("what is wrong with an unknown is one line with its place", "[uncertainty]") {
  const std::string good = "[[unknown]]\nname = \"a\"\nwhat = \"film\"\ntimes = [0.9, 1.1]\nsource = \"s\"\n";
  CHECK(lines_of_unknowns(good).empty());
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string changed = good;
    changed.replace(changed.find(from), from.size(), to);
    return lines_of_unknowns(changed);
  };
  CHECK(with("[0.9, 1.1]", "[1.1, 0.9]") ==
        std::vector<std::string>{"5: 'times' runs from 1.1 to 0.9, expected a range that rises and has 1 in it"});
  CHECK(with("[0.9, 1.1]", "[1.1, 1.2]").size() == 1);
  CHECK(with("times = [0.9, 1.1]\n", "").size() == 1);
  CHECK(with("\"film\"", "\"fim\"").size() == 1);
  CHECK(with("source = \"s\"\n", "").size() == 1);
  CHECK(with("\"film\"", "\"film\"\nmaterials = [\"eps\"]").size() == 1);
  CHECK(with("\"film\"", "\"collapse\"\nmaterials = [\"eps\"]") ==
        std::vector<std::string>{
            "6: [[unknown]] has no key 'times', expected one of: name, what, materials, shift_k, source"});
  CHECK(with("times = [0.9, 1.1]", "shift_k = [-1.0, 1.0]") ==
        std::vector<std::string>{
            "5: [[unknown]] has no key 'shift_k', expected one of: name, what, materials, times, source"});
  CHECK(with("\"film\"\ntimes = [0.9, 1.1]", "\"collapse\"\nmaterials = [\"eps\"]\nshift_k = [1.0, 2.0]") ==
        std::vector<std::string>{"6: 'shift_k' runs from 1 to 2, expected a range that rises and has 0 in it"});
  CHECK(with("\"film\"\ntimes = [0.9, 1.1]", "\"collapse\"\nmaterials = [\"eps\"]\nshift_k = [-1.0, 2.0]").empty());
  CHECK(with("\"film\"\ntimes = [0.9, 1.1]", "\"collapse\"\nshift_k = [-1.0, 2.0]").size() == 1);
  CHECK(with("\"film\"", "\"conductivity\"").size() == 1);
  CHECK(with("\"film\"", "\"conductivity\"\nmaterials = [\"esp\"]") ==
        std::vector<std::string>{"5: 'materials' names 'esp', expected a name in materials.toml; did you mean 'eps'?"});
}

TEST_CASE("settle, limit and run tell how far they may be off; JSON keeps to its keys", "[uncertainty]") {
  const TemporaryFolder folder;
  std::string text = small_scene(two_steps);
  text.replace(text.find("current_a = 5.0"), 15, "current_a = 6.0");
  const std::string file = folder.write("wall.toml", text).string();
  const auto answer = [](const std::vector<std::string>& words) {
    std::ostringstream out, err;
    CHECK(scenes::run_command(words, nullptr, {out, err, false}) == 0);
    CHECK(err.str().empty());
    return out.str();
  };
  for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
           {"settle", file}, {"limit", file, "--cable", "feed"}, {"run", file, "--out", folder.path() / "out"}}) {
    const std::string said = answer(words);
    INFO(said);
    CHECK(said.find("Uncertainty: ") != std::string::npos);
    CHECK(said.find("the conductors' resistance") != std::string::npos);
  }
  CHECK(content_of(folder.path() / "out" / "report.html").find("How far it may be off") != std::string::npos);
  CHECK(answer({"settle", file, "--json"}).find("ncertainty") == std::string::npos);
  CHECK(answer({"limit", file, "--cable", "feed", "--json"}).find("ncertainty") == std::string::npos);
}
