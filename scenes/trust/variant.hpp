#pragma once
// A scene with some keys of its file changed before it is read, so that all of a scene's own checks apply to the change
// as well. Tables of many sizes, and studies of what an unknown does, need one scene file only.

#include <toml++/toml.h>

#include <filesystem>
#include <string>
#include <string_view>

#include "scenes/file/scene_file.hpp"
#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// with: what stands instead, by path: names of keys with dots between; of tables under [[key]], the one with that
/// `name` (a step: with that `title`), as in "wall.layer.cavity.thickness_mm" or "cable_type.flat 2x2.5+1.5.core_mm".
/// The last key of a path is replaced or added (with its table, where that is one of the root's).
/// The scene as changed; nothing with faults of the file as it stands (in the result) or of the changes (in of_with,
/// each at its place in the file that `with` comes from).
[[nodiscard]] ReadScene read_varied_scene(const std::filesystem::path& file, const toml::table& with,
                                          const DataFiles& data, Faults& of_with);
/// text: the file's content; name: what the faults call it.
[[nodiscard]] ReadScene read_varied_scene_text(std::string_view text, const std::string& name, const toml::table& with,
                                               const DataFiles& data, Faults& of_with);

/// `with` and then `more`, which wins where both have the same path.
[[nodiscard]] toml::table with_both(const toml::table& with, const toml::table& more);
/// The changes on one line, the same for equal changes.
[[nodiscard]] std::string variant_words(const toml::table& with);

}  // namespace warmbay::scenes
