// render -> scenes -> sim, and never the other way: the includes of every source file are looked at.

#include <filesystem>
#include <fstream>
#include <regex>
#include <string>
#include <vector>

#include "tests/tests_pch.hpp"

namespace fs = std::filesystem;

namespace {

/// "FILE includes WHAT" for every include in the C++ files of a folder that the pattern forbids.
/// but_not_in: name of a folder in it that is passed over.
std::vector<std::string> forbidden_includes(const std::string& folder, const std::regex& forbidden,
                                            const std::string& but_not_in = "") {
  static const std::regex include("^\\s*#\\s*include\\s*[<\"]([^>\"]+)[>\"]");
  std::vector<std::string> found;
  std::size_t files = 0;
  for (const auto& entry : fs::recursive_directory_iterator(fs::path(WARMBAY_SOURCE_DIR) / folder)) {
    const std::string extension = entry.path().extension().string();
    if (extension != ".cpp" && extension != ".hpp" && extension != ".h") continue;
    if (!but_not_in.empty() && entry.path().parent_path().filename() == but_not_in) continue;
    ++files;
    std::ifstream in(entry.path());
    for (std::string line; std::getline(in, line);) {
      std::smatch match;
      if (std::regex_search(line, match, include) && std::regex_search(match[1].first, match[1].second, forbidden))
        found.push_back(entry.path().filename().string() + " includes " + match[1].str());
    }
  }
  REQUIRE(files > 10);  // or the folder was not found, and the test would see nothing
  return found;
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

TEST_CASE("within scenes only the commands know of commands") {
  const std::regex commands("^scenes/cli/");
  for (const auto& found : forbidden_includes("scenes", commands, "cli")) FAIL_CHECK(found);
  CHECK_FALSE(forbidden_includes("scenes", commands).empty());  // or the pattern would see nothing
}

TEST_CASE("the arrow test sees what it looks for") {
  CHECK_FALSE(forbidden_includes("scenes", std::regex("^sim/")).empty());
  CHECK_FALSE(forbidden_includes("scenes", std::regex("^toml")).empty());
}
