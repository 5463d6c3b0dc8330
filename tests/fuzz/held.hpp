#pragma once
// What the rules of several kinds share: faults that must name their place, and files that readers can open.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/read/fault.hpp"

namespace warmbay::fuzz {

/// Every fault is one line that a terminal can show, and says a line and a column that the text has. Faults of other
/// files than `file` are not looked at. Empty when it is so.
[[nodiscard]] std::string wrong_faults(const std::vector<scenes::Fault>& faults, std::string_view text,
                                       std::string_view file);
/// How many faults are of this file.
[[nodiscard]] std::size_t faults_of(const std::vector<scenes::Fault>& faults, std::string_view file);

/// Bytes that readers open as a file; nothing lies in any folder.
class FileInMemory {
 public:
  explicit FileInMemory(std::string_view bytes);
  ~FileInMemory();
  FileInMemory(const FileInMemory&) = delete;
  FileInMemory& operator=(const FileInMemory&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  int descriptor_;
  std::filesystem::path path_;
};

/// A folder for readers of folders; gone at the end of the program.
class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  /// Writes a file, over what was there; returns its path.
  [[nodiscard]] std::filesystem::path put(const std::string& name, std::string_view bytes) const;
  void link(const std::filesystem::path& file) const;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// The data that ship, read once.
[[nodiscard]] const scenes::DataFiles& shipped();
[[nodiscard]] const std::vector<std::string>& shipped_materials();

}  // namespace warmbay::fuzz
