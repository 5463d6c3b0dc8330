#pragma once
// The data that ships in assets/: materials.toml and cables.toml (devices.toml when supplies can trip).

#include <filesystem>
#include <vector>

#include "scenes/fault.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

struct DataFiles {
  std::vector<SourcedMaterial> materials;
  std::vector<SourcedCableType> cable_types;
};

struct ReadDataFiles {
  DataFiles data;
  std::vector<Fault> faults;  // empty: all is well
};

/// Reads materials.toml and cables.toml in a folder.
[[nodiscard]] ReadDataFiles read_data_files(const std::filesystem::path& assets);

/// The material of a scene by name: the scene's own first, then the shipped ones; nullptr when neither has it.
[[nodiscard]] const SourcedMaterial* find_material(const Scene& scene, const DataFiles& data, std::string_view name);
[[nodiscard]] const SourcedCableType* find_cable_type(const Scene& scene, const DataFiles& data, std::string_view name);

}  // namespace warmbay::scenes
