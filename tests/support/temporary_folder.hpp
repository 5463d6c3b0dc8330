#pragma once
// Files for a test, in a folder that no other test that runs meanwhile shares.

#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "tests/tests_pch.hpp"

namespace warmbay::tests {

/// A folder of its own under the system's temporary folder.
class TemporaryFolder {
 public:
  TemporaryFolder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "warmbay-test-XXXXXX").string();
    REQUIRE(::mkdtemp(pattern.data()) != nullptr);
    path_ = pattern;
  }
  ~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;

  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  /// Writes a file into it; returns its path.
  [[nodiscard]] std::filesystem::path write(const std::string& name, const std::string& content) const {
    std::ofstream(path_ / name) << content;
    return path_ / name;
  }

 private:
  std::filesystem::path path_;
};

}  // namespace warmbay::tests
