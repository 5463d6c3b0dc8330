#pragma once
// Reads and writes scene files (format 1). A file with faults yields no scene: what was open before stays open.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/read/fault.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

struct ReadScene {
  std::optional<Scene> scene;  // only when there are no faults
  std::vector<Fault> faults;   // all of the file's, in the order of its lines
};

[[nodiscard]] ReadScene read_scene(const std::filesystem::path& file, const DataFiles& data);
/// text: the file's content; name: what the faults call it.
[[nodiscard]] ReadScene read_scene_text(std::string_view text, const std::string& name, const DataFiles& data);

/// The scene as a file of format 1; reading it gives an equal scene.
[[nodiscard]] std::string write_scene(const Scene& scene);

}  // namespace warmbay::scenes
