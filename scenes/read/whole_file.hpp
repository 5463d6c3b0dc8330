#pragma once
// Reading a file to its end, or not at all.

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "scenes/read/fault.hpp"

namespace warmbay::scenes {

/// What a fault expects where a file of assets/ should be.
inline constexpr std::string_view shipped_data_file = "a data file that ships with the program";

/// The content of a regular file, or of a descriptor that is open already (/dev/stdin, /dev/fd/N). Nothing, and one
/// fault with the system's reason, when it cannot be read to its end, is something else (a folder, a device, a pipe
/// with a name) or is larger than input_limits::file_bytes.
/// expected: what the fault says should be there, such as "a scene file".
[[nodiscard]] std::optional<std::string> read_whole_file(const std::filesystem::path& file, std::string_view expected,
                                                         std::vector<Fault>& faults);

}  // namespace warmbay::scenes
