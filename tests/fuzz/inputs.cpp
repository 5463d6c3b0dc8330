// The kinds of input, and where good ones lie: the files that ship are their own seeds.

#include "tests/fuzz/inputs.hpp"

#include <algorithm>
#include <fstream>
#include <sstream>

namespace warmbay::fuzz {

const std::vector<Input>& inputs() {
  static const std::vector<Input> all{{"scene", broken_scene, "scenes/library", ".toml"},
                                      {"materials", broken_materials, "assets", "materials.toml"},
                                      {"cables", broken_cables, "assets", "cables.toml"},
                                      {"damage", broken_damage, "assets", "damage.toml"},
                                      {"devices", broken_devices, "assets", "devices.toml"},
                                      {"unknowns", broken_unknowns, "assets", "unknowns.toml"},
                                      {"case", broken_case, "tests/standards", ".case.toml"},
                                      {"text", broken_text, "assets/text", ".toml"},
                                      {"palette", broken_palette, "assets/palettes", ".toml"},
                                      {"depth", broken_depth, "tests/scenes/file", ".toml"}};
  return all;
}

const Input* input(std::string_view name) {
  const auto named = [&](const Input& one) { return one.name == name; };
  const auto found = std::find_if(inputs().begin(), inputs().end(), named);
  return found == inputs().end() ? nullptr : &*found;
}

namespace {

/// Sorted, so that a test names the same file first on every machine.
std::vector<std::filesystem::path> files_in(const std::filesystem::path& folder, std::string_view ending) {
  std::vector<std::filesystem::path> files;
  std::error_code none;
  for (const auto& entry : std::filesystem::directory_iterator(folder, none))
    if (entry.path().filename().string().ends_with(ending)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

std::vector<std::filesystem::path> files_of(const Input& input) {
  const std::filesystem::path home = WARMBAY_SOURCE_DIR;
  auto files = files_in(home / input.seeds, input.ending);
  const auto found = files_in(home / "tests" / "fuzz" / "corpus" / input.name, "");
  files.insert(files.end(), found.begin(), found.end());
  return files;
}

std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream all;
  all << in.rdbuf();
  return all.str();
}

}  // namespace warmbay::fuzz
