// Files that are too much: refused at once, with the place, before anything that takes time or memory.

#include "scenes/read/input_limits.hpp"

#include <fmt/format.h>

#include "scenes/cli/commands.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
namespace limits = scenes::input_limits;

namespace {

std::string times(std::size_t count, const std::string& text) {
  std::string all;
  for (std::size_t n = 0; n < count; ++n) all += text;
  return all;
}

/// The faults of the small scene with more tables at its end, and how many lines it has without them.
std::vector<scenes::Fault> faults_with(const std::string& more) {
  return scenes::read_scene_text(tests::small_scene(more), "s.toml", scenes::DataFiles{}).faults;
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

/// An empty table of a kind, as it is written.
std::string table_of(const limits::Most& most) {
  return fmt::format("[[{}]]\n", most.key);
}

}  // namespace

TEST_CASE("one table too many of a kind is the only fault, at its place") {
  for (const auto& most : limits::scene) {
    // The layers belong to [wall], which may not be opened again: the scene is changed where they stand.
    if (most.key == "wall.layer") continue;
    const auto there = count_of(tests::small_scene(""), table_of(most));
    const auto lines = count_of(tests::small_scene(""), "\n");
    const auto faults = faults_with(times(most.count - there + 1, table_of(most)));
    INFO(tests::lines_of(faults).substr(0, 300));
    REQUIRE(faults.size() == 1);
    CHECK(scenes::to_line(faults[0]) == fmt::format("s.toml:{}:1: [[{}]] is there {} times, expected at most {}",
                                                    lines + most.count - there + 1, most.key, most.count + 1,
                                                    most.count));
  }
}

TEST_CASE("as many tables of a kind as are allowed are not too many") {
  for (const auto& most : limits::scene) {
    if (most.key == "wall.layer") continue;
    const auto there = count_of(tests::small_scene(""), table_of(most));
    const auto faults = faults_with(times(most.count - there, table_of(most)));
    CHECK(tests::lines_of(faults).find("expected at most") == std::string::npos);
  }
}

TEST_CASE("too many layers, corners, studs and points are told") {
  std::string text = tests::small_scene("");
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string changed = text;
    const auto at = changed.find(from);
    REQUIRE(at != std::string::npos);
    changed.replace(at, from.size(), to);
    return tests::lines_of(scenes::read_scene_text(changed, "s.toml", scenes::DataFiles{}).faults);
  };
  const auto holds = [](const std::string& lines, const std::string& part) {
    INFO(lines.substr(0, 400));
    CHECK(count_of(lines, "\n") == 1);
    CHECK(lines.find(part) != std::string::npos);
  };
  holds(with("[[wall.layer]]", times(51, "[[wall.layer]]\n")), "[[wall.layer]] is there 52 times, expected at most 50");
  holds(with("[[0.0, 48.0, 30.0], [", fmt::format("[{}[", times(1000, "[0.0, 48.0, 30.0], "))),
        "have 1001 corners together, expected at most 1000 in a scene");
  holds(with("thickness_mm = 36.0",
             "thickness_mm = 36.0\nstuds = { material = \"test board\", width_mm = 0.5, spacing_mm = 0.5 }"),
        "'spacing_mm' is 0.5");
  text = tests::small_scene("");
  std::string wide = text;
  wide.replace(wide.find("width_mm = 120.0"), 16, "width_mm = 90000.0");
  text = wide;
  holds(with("thickness_mm = 36.0",
             "thickness_mm = 36.0\nstuds = { material = \"test board\", width_mm = 1.0, spacing_mm = 1.0 }"),
        "'spacing_mm' is 1, which makes 90000 studs, expected at most 200");
  text = tests::small_scene("");
  std::string points;
  for (int n = 0; n <= 1000; ++n) points += fmt::format("[{}.0, 0.2], ", n);
  holds(with("conductivity_w_mk = 0.2", fmt::format("conductivity_w_mk = [{}]", points)),
        "'conductivity_w_mk' has 1001 points, expected at most 1000");
  holds(with("cautions = []", fmt::format("cautions = [{}]", times(1001, "\"a\", "))), "'cautions' has 1001 entries");
}

TEST_CASE("of many faults fifty are printed and the others counted in one last line") {
  const tests::TemporaryFolder folder;
  const auto file = folder.write("s.toml", tests::small_scene(times(100, "[[step]]\n")));
  std::ostringstream out;
  std::ostringstream err;
  CHECK(scenes::run_command({"check", file.string()}, nullptr, {out, err, false}) == scenes::exit_scene_errors);
  const std::string told = err.str();
  CHECK(count_of(told, "has no 'hold_min'") == limits::faults_told);
  CHECK(count_of(told, "\n") == limits::faults_told + 1);
  CHECK(told.ends_with(fmt::format("\n{}: 50 more faults are not shown\n", file.string())));
}

TEST_CASE("the limits are those that the README states") {
  const std::string readme = tests::content_of(std::filesystem::path(WARMBAY_SOURCE_DIR) / "README.md");
  for (const auto& most : limits::scene) {
    INFO(most.key);
    CHECK(readme.find(fmt::format("{} `[[{}]]`", most.count, most.key)) != std::string::npos);
  }
  CHECK(readme.find(fmt::format("with {} studs each", limits::studs)) != std::string::npos);
  CHECK(readme.find(fmt::format("with {} corners together", limits::corners)) != std::string::npos);
  CHECK(readme.find(fmt::format("{} deep", limits::depth)) != std::string::npos);
  CHECK(readme.find(fmt::format("{} entries", limits::entries)) != std::string::npos);
  CHECK(readme.find(fmt::format("{} MiB in all", limits::file_bytes >> 20)) != std::string::npos);
  CHECK(readme.find(fmt::format("the first {}\nare printed", limits::faults_told)) != std::string::npos);
}
