// An installed program has its files beside it (PREFIX/share/warmbay), a built one in the source tree.

#include "scenes/places.hpp"

#include <cstdlib>
#include <system_error>

namespace warmbay::scenes {

namespace fs = std::filesystem;

namespace {

bool is_home(const fs::path& folder) {
  std::error_code trouble;
  return fs::exists(folder / "assets" / "materials.toml", trouble);
}

/// Where an installed program looks: its own folder, then share/warmbay of the prefix whose bin it is in.
fs::path beside_program() {
  std::error_code trouble;
  const auto program = fs::read_symlink("/proc/self/exe", trouble);
  if (trouble) return {};
  const auto folder = program.parent_path();
  for (const auto& home : {folder, folder.parent_path() / "share" / "warmbay"}) {
    if (is_home(home)) return home;
  }
  return {};
}

}  // namespace

Places find_places() {
  fs::path home;
  if (const char* wanted = std::getenv("WARMBAY_HOME"); wanted && *wanted) {
    home = wanted;
  } else {
    home = beside_program();
    if (home.empty()) home = WARMBAY_SOURCE_DIR;
  }
  // Installed, the cases lie beside the scenes; in the source tree they lie with the tests.
  std::error_code trouble;
  const auto installed = home / "standards";
  const auto standards = fs::exists(installed, trouble) ? installed : home / "tests" / "standards";
  return {home / "assets", home / "shaders", home / "scenes" / "library", standards};
}

}  // namespace warmbay::scenes
