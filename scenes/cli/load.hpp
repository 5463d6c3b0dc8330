#pragma once
// A scene file made ready to play: read, checked, painted into voxels, with the texts that go with it.

#include <filesystem>
#include <iosfwd>
#include <memory>

#include "scenes/data/data_files.hpp"
#include "scenes/scene.hpp"
#include "scenes/text/text.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

struct Loaded {
  std::filesystem::path file;
  std::shared_ptr<const DataFiles> data;
  std::shared_ptr<const Text> text;
  std::shared_ptr<const Scene> scene;
  std::shared_ptr<const sim::Wall> wall;
};

/// What load() returns: `loaded` is complete when status is exit_done; otherwise the faults have been printed.
struct LoadResult {
  int status = 0;
  Loaded loaded;
};

/// Reads the program's own data and a scene file, and paints the wall. Faults go to err, one line each: those of the
/// scene give exit_scene_errors, those of the program's own files exit_machine.
[[nodiscard]] LoadResult load(const std::filesystem::path& file, std::ostream& err);

/// The program's own data and texts alone (no scene): for `check`, and for panels that list materials.
[[nodiscard]] LoadResult load_data(std::ostream& err);

/// The scene that opens when none is named.
[[nodiscard]] std::filesystem::path default_scene();

}  // namespace warmbay::scenes
