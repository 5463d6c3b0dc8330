// render -> scenes -> sim, and never the other way; within scenes, only to rooms that come earlier. The includes of
// every source file are looked at.

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "tests/tests_pch.hpp"

namespace fs = std::filesystem;

namespace {

/// The rooms of scenes, lowest first: a file may include what lies in its own room or in an earlier one. What lies in
/// scenes itself (place 0) is lower than every room.
const std::vector<std::string> rooms{"",     "read",   "data",   "paint",       "file",  "text",
                                     "play", "output", "report", "uncertainty", "trust", "cli"};

/// The place in `rooms` of the room that a path such as "scenes/read/fault.hpp" lies in; rooms.size() for a room that
/// is not there.
std::size_t place_of(const std::string& path) {
  const fs::path folder = fs::path(path).parent_path();
  const std::string room = folder == "scenes" ? "" : folder.lexically_relative("scenes").string();
  return static_cast<std::size_t>(std::find(rooms.begin(), rooms.end(), room) - rooms.begin());
}

/// The file may include the other one. Both: paths from the root of the tree.
bool points_down(const std::string& file, const std::string& included) {
  const std::size_t from = place_of(file), to = place_of(included);
  return from < rooms.size() && to < rooms.size() && to <= from;
}

/// Calls use(FILE, INCLUDED), paths from the root of the tree, for every include in the C++ files of a folder.
template <typename Use>
void for_each_include(const std::string& folder, Use use) {
  static const std::regex include("^\\s*#\\s*include\\s*[<\"]([^>\"]+)[>\"]");
  const fs::path root(WARMBAY_SOURCE_DIR);
  std::size_t files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
    const std::string extension = entry.path().extension().string();
    if (extension != ".cpp" && extension != ".hpp" && extension != ".h") continue;
    ++files;
    std::ifstream in(entry.path());
    for (std::string line; std::getline(in, line);) {
      std::smatch match;
      if (std::regex_search(line, match, include)) use(entry.path().lexically_relative(root).string(), match[1].str());
    }
  }
  REQUIRE(files > 10);  // or the folder was not found, and the test would see nothing
}

/// "FILE includes WHAT" for every include in the C++ files of a folder that the pattern forbids.
std::vector<std::string> forbidden_includes(const std::string& folder, const std::regex& forbidden) {
  std::vector<std::string> found;
  for_each_include(folder, [&](const std::string& file, const std::string& included) {
    if (std::regex_search(included, forbidden)) found.push_back(file + " includes " + included);
  });
  return found;
}

using Arrows = std::map<std::string, std::set<std::string>>;

/// Which parts of sim include which: a part is a header and its source. settled.hpp is how sim/settled_solver shows
/// itself to others: one part.
Arrows arrows_in_sim() {
  const auto part_of = [](const std::string& file) {
    const std::string part = fs::path(file).replace_extension().string();
    return part == "sim/settled_solver" ? std::string("sim/settled") : part;
  };
  Arrows arrows;
  for_each_include("sim", [&](const std::string& file, const std::string& included) {
    if (included.rfind("sim/", 0) == 0 && part_of(file) != part_of(included))
      arrows[part_of(file)].insert(part_of(included));
  });
  return arrows;
}

/// Everything that a part includes, directly or not.
std::set<std::string> leans_on(const Arrows& arrows, const std::string& part) {
  std::set<std::string> all;
  std::vector<std::string> waiting{part};
  while (!waiting.empty()) {
    const auto from = arrows.find(waiting.back());
    waiting.pop_back();
    if (from == arrows.end()) continue;
    for (const std::string& next : from->second)
      if (all.insert(next).second) waiting.push_back(next);
  }
  return all;
}

}  // namespace

TEST_CASE("sim knows no file format, no scene and no window") {
  const std::regex forbidden(
      "^(scenes|render)/|^SDL|^GL/|^EGL/|^glad/|imgui|^toml|^CLI/|^nlohmann/|^fmt/|^spdlog/|^cairo|^glm/|^stb");
  CHECK(forbidden_includes("sim", forbidden) == std::vector<std::string>{});
}

TEST_CASE("scenes knows no window") {
  const std::regex forbidden("^render/|^SDL|^GL/|^EGL/|^glad/|imgui|^glm/");
  CHECK(forbidden_includes("scenes", forbidden) == std::vector<std::string>{});
}

TEST_CASE("within scenes no room includes one that comes after it") {
  std::size_t between_rooms = 0;
  for_each_include("scenes", [&](const std::string& file, const std::string& included) {
    if (included.rfind("scenes/", 0) != 0) return;
    if (place_of(file) != place_of(included)) ++between_rooms;
    if (!points_down(file, included)) FAIL_CHECK(file << " includes " << included);
  });
  CHECK(between_rooms > 100);  // or the rooms were not told apart
}

TEST_CASE("no two parts of sim lean on each other") {
  const Arrows arrows = arrows_in_sim();
  for (const auto& [part, of] : arrows)
    if (leans_on(arrows, part).count(part) > 0) FAIL_CHECK(part << " includes what includes it");
  CHECK(leans_on(arrows, "sim/conduction").count("sim/air_spaces") == 1);  // or the arrows were not seen
  CHECK(leans_on({{"a", {"b"}}, {"b", {"c"}}, {"c", {"a"}}}, "a").count("a") == 1);
}

TEST_CASE("the rooms' order is what the test holds the arrows to") {
  CHECK(points_down("scenes/play/player.cpp", "scenes/play/watch.hpp"));
  CHECK(points_down("scenes/play/player.cpp", "scenes/text/text.hpp"));
  CHECK(points_down("scenes/read/fault.cpp", "scenes/scene.hpp"));
  CHECK_FALSE(points_down("scenes/text/text.cpp", "scenes/play/player.hpp"));
  CHECK_FALSE(points_down("scenes/scene.hpp", "scenes/read/fault.hpp"));
  CHECK_FALSE(points_down("scenes/trust/page.cpp", "scenes/cli/commands.hpp"));
  CHECK_FALSE(points_down("scenes/no-such-room/page.cpp", "scenes/scene.hpp"));
  CHECK_FALSE(points_down("scenes/cli/run.cpp", "scenes/no-such-room/page.hpp"));
}

TEST_CASE("the arrow test sees what it looks for") {
  CHECK_FALSE(forbidden_includes("scenes", std::regex("^sim/")).empty());
  CHECK_FALSE(forbidden_includes("scenes", std::regex("^toml")).empty());
}
