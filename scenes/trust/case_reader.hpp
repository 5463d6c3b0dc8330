#pragma once
// Reads case files (NAME.case.toml) and the list of them (cases.toml) in a folder. A case with faults is not run; its
// faults say where they are, and the other cases run all the same.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/read/fault.hpp"
#include "scenes/trust/case.hpp"

namespace warmbay::scenes {

struct ReadCase {
  std::string file;           // its name in the folder
  std::optional<Case> read;   // only when there are no faults
  std::vector<Fault> faults;  // of the case, or of its scene
};

/// Every case that the folder's list names, in its order; a file that is listed but missing, and one that is there but
/// not listed, are cases with a fault. Without a sound list: the list as a case with its faults, then every case file.
/// Cases of one scene share it.
[[nodiscard]] std::vector<ReadCase> read_cases(const std::filesystem::path& folder, const DataFiles& data);

}  // namespace warmbay::scenes
