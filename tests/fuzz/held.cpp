#include "tests/fuzz/held.hpp"

#include <fmt/format.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>

#include "scenes/read/printable.hpp"

namespace warmbay::fuzz {

namespace fs = std::filesystem;

namespace {

/// Neither a full disk nor a missing temporary folder is what is looked for here.
void need(bool so, const char* what) {
  if (so) return;
  fmt::print(stderr, "cannot go on: {}\n", what);
  std::exit(3);
}

}  // namespace

std::string wrong_faults(const std::vector<scenes::Fault>& faults, std::string_view text, std::string_view file) {
  const auto lines = 1 + std::count(text.begin(), text.end(), '\n');
  for (const scenes::Fault& fault : faults) {
    if (fault.file != file) continue;
    const std::string line = scenes::to_line(fault);
    if (fault.text.empty()) return "a fault says nothing";
    if (scenes::steering_character(line, false)) return "a fault is not one line of plain characters: " + line;
    if (fault.line < 1 || fault.column < 1) return "a fault has no place: " + line;
    if (fault.line > lines) return fmt::format("a fault is beyond the {} lines of the text: {}", lines, line);
  }
  return {};
}

std::size_t faults_of(const std::vector<scenes::Fault>& faults, std::string_view file) {
  const auto of = [&](const scenes::Fault& fault) { return fault.file == file; };
  return static_cast<std::size_t>(std::count_if(faults.begin(), faults.end(), of));
}

FileInMemory::FileInMemory(std::string_view bytes) : descriptor_(::memfd_create("input", MFD_CLOEXEC)) {
  need(descriptor_ >= 0, "no file in memory");
  const auto written = ::write(descriptor_, bytes.data(), bytes.size());
  need(written == static_cast<ssize_t>(bytes.size()), "no memory for a file");
  path_ = fmt::format("/dev/fd/{}", descriptor_);
}

FileInMemory::~FileInMemory() {
  ::close(descriptor_);
}

Folder::Folder() {
  std::string pattern = (fs::temp_directory_path() / "warmbay-fuzz-XXXXXX").string();
  need(::mkdtemp(pattern.data()) != nullptr, "no temporary folder");
  path_ = pattern;
}

Folder::~Folder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

fs::path Folder::put(const std::string& name, std::string_view bytes) const {
  std::ofstream out(path_ / name, std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  need(out.good(), "a file of the temporary folder cannot be written");
  return path_ / name;
}

void Folder::link(const fs::path& file) const {
  std::error_code trouble;
  fs::create_symlink(file, path_ / file.filename(), trouble);
  need(!trouble, "no link in the temporary folder");
}

const scenes::DataFiles& shipped() {
  static const scenes::ReadDataFiles read = [] {
    auto all = scenes::read_data_files(fs::path(WARMBAY_SOURCE_DIR) / "assets");
    need(all.faults.empty(), "the data that ship are at fault");
    return all;
  }();
  return read.data;
}

const std::vector<std::string>& shipped_materials() {
  static const std::vector<std::string> all = [] {
    std::vector<std::string> names;
    for (const auto& one : shipped().materials) names.push_back(one.material.name);
    return names;
  }();
  return all;
}

}  // namespace warmbay::fuzz
