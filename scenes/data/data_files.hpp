#pragma once
// The data that ships in assets/: materials.toml, cables.toml, devices.toml, what heat does to it all, damage.toml, and
// how far all of it may be off, unknowns.toml.

#include <filesystem>
#include <optional>
#include <vector>

#include "scenes/data/unknown.hpp"
#include "scenes/places.hpp"
#include "scenes/read/fault.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

struct DataFiles {
  std::vector<SourcedMaterial> materials;
  std::vector<SourcedCableType> cable_types;
  sim::DamageRules damage;  // what it does to each material is in the material
  std::vector<sim::Device> devices;
  double source_ohm = 0.0;  // of the mains, up to the beginning of the cable
  std::vector<Unknown> unknowns;
};

struct ReadDataFiles {
  DataFiles data;
  std::vector<Fault> faults;  // empty: all is well
};

/// A fault that names the folder when the program's own files are not in it; else nothing.
[[nodiscard]] std::optional<Fault> what_is_missing(const Places& places);

/// Reads those five files in a folder.
[[nodiscard]] ReadDataFiles read_data_files(const std::filesystem::path& assets);

/// The material of a scene by name: the scene's own first, then the shipped ones; nullptr when neither has it.
[[nodiscard]] const SourcedMaterial* find_material(const Scene& scene, const DataFiles& data, std::string_view name);
/// That material as it goes into a wall. A scene's own one that shares its name with a shipped one takes over what heat
/// does to that; under a new name heat does nothing to it but warm it. There must be such a material.
[[nodiscard]] sim::Material material_of(const Scene& scene, const DataFiles& data, std::string_view name);
[[nodiscard]] const SourcedCableType* find_cable_type(const Scene& scene, const DataFiles& data, std::string_view name);

}  // namespace warmbay::scenes
