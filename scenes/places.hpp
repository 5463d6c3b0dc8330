#pragma once
// Where the program's own files lie: beside an installed program, or, for one that runs from the build folder, in the
// source tree it was built from.

#include <filesystem>

namespace warmbay::scenes {

struct Places {
  std::filesystem::path assets;  // materials.toml, cables.toml, text/, fonts/
  std::filesystem::path shaders;
  std::filesystem::path scenes;     // the scenes that ship
  std::filesystem::path standards;  // the published cases that `trust` runs
};

/// The folder that holds them all, for a program at this path: its own folder, or share/warmbay of the prefix whose bin
/// it is in. The source tree only when the program lies in the build folder.
[[nodiscard]] std::filesystem::path home_of(const std::filesystem::path& program);

/// The folders that go with this program. WARMBAY_HOME, when set, wins.
[[nodiscard]] Places find_places();

/// The folder holds the program's own files.
[[nodiscard]] bool is_home(const std::filesystem::path& folder);

}  // namespace warmbay::scenes
