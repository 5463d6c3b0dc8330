#pragma once
// What every file that people write has to bear: for each kind of input one function that reads the bytes as the
// program does and says which rule does not hold. The fuzzer (target.cpp) and an ordinary test (tests/scenes) share
// them.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace warmbay::fuzz {

/// A kind of input. broken: the rule that does not hold for these bytes, in one line; empty when all do.
struct Input {
  std::string_view name;
  std::string (*broken)(std::string_view bytes);
  std::string_view seeds;   // a folder of the project whose files are good inputs
  std::string_view ending;  // of those files' names
};

[[nodiscard]] const std::vector<Input>& inputs();
/// nullptr when there is none of that name.
[[nodiscard]] const Input* input(std::string_view name);

/// The files of the project that are inputs of this kind, then those of tests/fuzz/corpus/NAME; sorted.
[[nodiscard]] std::vector<std::filesystem::path> files_of(const Input& input);

/// The content of a file; empty when it cannot be read.
[[nodiscard]] std::string bytes_of(const std::filesystem::path& file);

// The rules of each kind.
[[nodiscard]] std::string broken_scene(std::string_view bytes);
[[nodiscard]] std::string broken_materials(std::string_view bytes);
[[nodiscard]] std::string broken_cables(std::string_view bytes);
[[nodiscard]] std::string broken_damage(std::string_view bytes);
[[nodiscard]] std::string broken_devices(std::string_view bytes);
[[nodiscard]] std::string broken_unknowns(std::string_view bytes);
[[nodiscard]] std::string broken_case(std::string_view bytes);
[[nodiscard]] std::string broken_text(std::string_view bytes);
[[nodiscard]] std::string broken_palette(std::string_view bytes);
[[nodiscard]] std::string broken_depth(std::string_view bytes);

}  // namespace warmbay::fuzz
