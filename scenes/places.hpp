#pragma once
// Where the program's own files lie: beside an installed program, else in the source tree it was built from.

#include <filesystem>

namespace warmbay::scenes {

struct Places {
  std::filesystem::path assets;  // materials.toml, cables.toml, text/, fonts/
  std::filesystem::path shaders;
  std::filesystem::path scenes;     // the scenes that ship
  std::filesystem::path standards;  // the published cases that `trust` runs
};

/// The folders that go with this program. WARMBAY_HOME, when set, wins.
[[nodiscard]] Places find_places();

}  // namespace warmbay::scenes
