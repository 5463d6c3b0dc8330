#pragma once
// The data and scenes that ship, for tests.

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "scenes/file/scene_file.hpp"

namespace warmbay::tests {

inline const scenes::DataFiles& shipped_data_files() {
  static const scenes::ReadDataFiles read =
      scenes::read_data_files(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets");
  return read.data;
}

inline std::vector<std::filesystem::path> shipped_scenes() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::filesystem::path(WARMBAY_SOURCE_DIR) / "scenes" / "library")) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

/// All faults, a line each.
inline std::string lines_of(const std::vector<scenes::Fault>& faults) {
  std::string lines;
  for (const auto& fault : faults) lines += to_line(fault) + "\n";
  return lines;
}

/// A text of tests/scenes/file.
inline std::filesystem::path test_scene(const std::string& name) {
  return std::filesystem::path(WARMBAY_SOURCE_DIR) / "tests" / "scenes" / "file" / name;
}

}  // namespace warmbay::tests
