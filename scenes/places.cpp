// An installed program has its files beside it (PREFIX/share/warmbay), one in the build folder uses the source tree. An
// installed one without its files must not: it would run with whatever somebody is changing there.

#include "scenes/places.hpp"

#include <cstdlib>
#include <system_error>

namespace warmbay::scenes {

namespace fs = std::filesystem;

namespace {

bool is_within(fs::path path, const fs::path& folder) {
  std::error_code trouble;
  for (; path.has_relative_path(); path = path.parent_path()) {
    if (fs::equivalent(path, folder, trouble)) return true;
  }
  return false;
}

fs::path this_program() {
  std::error_code trouble;
  return fs::read_symlink("/proc/self/exe", trouble);
}

}  // namespace

bool is_home(const fs::path& folder) {
  std::error_code trouble;
  return fs::exists(folder / "assets" / "materials.toml", trouble);
}

fs::path home_of(const fs::path& program) {
  const auto folder = program.parent_path();
  const auto installed = folder.parent_path() / "share" / "warmbay";
  for (const auto& home : {folder, installed}) {
    if (is_home(home)) return home;
  }
  return is_within(folder, WARMBAY_BUILD_DIR) ? fs::path(WARMBAY_SOURCE_DIR) : installed;
}

Places find_places() {
  const char* wanted = std::getenv("WARMBAY_HOME");
  const fs::path home = wanted && *wanted ? fs::path(wanted) : home_of(this_program());
  // Installed, the cases lie beside the scenes; in the source tree they lie with the tests.
  std::error_code trouble;
  const auto installed = home / "standards";
  const auto standards = fs::exists(installed, trouble) ? installed : home / "tests" / "standards";
  return {home / "assets", home / "shaders", home / "scenes" / "library", standards};
}

}  // namespace warmbay::scenes
