#pragma once
// Reads assets/damage.toml: what heat does to each material, how smoke is seen, how instruments on a cable behave.

#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "scenes/read/fault.hpp"
#include "sim/damage/rules.hpp"

namespace warmbay::scenes {

struct DamageFile {
  sim::DamageRules rules;
  std::map<std::string, std::shared_ptr<const sim::Damage>> of_material;  // several may share one
};

/// materials: the names that the file may use. Its faults, each with its place, are added to `faults`.
[[nodiscard]] DamageFile read_damage_file(const std::filesystem::path& file, const std::vector<std::string>& materials,
                                          std::vector<Fault>& faults);

}  // namespace warmbay::scenes
