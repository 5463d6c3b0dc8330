#pragma once
// A scene from a table that is parsed already: what read_scene_text does once its text has proved to be TOML.

#include <string>

#include "scenes/file/scene_file.hpp"
#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// root: the whole file; name: what the faults call it.
[[nodiscard]] ReadScene read_scene_table(const toml::table& root, const std::string& name, const DataFiles& data);

}  // namespace warmbay::scenes
