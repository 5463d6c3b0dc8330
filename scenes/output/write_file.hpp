#pragma once
// Files that are whole or not there: written beside their place, then renamed into it. Several programs may write into
// one folder; of files of one name the last one stays.

#include <filesystem>
#include <optional>
#include <string_view>

#include "scenes/read/fault.hpp"

namespace warmbay::scenes {

/// Writes bytes to path; what was there before stays until the new file is whole. On failure nothing is left behind,
/// and the fault names the path and the system's reason. Nor is anything left when SIGINT, SIGTERM or SIGHUP ends the
/// program meanwhile (output/unfinished.hpp).
[[nodiscard]] std::optional<Fault> write_file(const std::filesystem::path& path, std::string_view bytes);

/// Makes a folder (and those above it) if it is missing, and makes sure that files can be written into it.
/// Removes what programs that were killed outright have left there (output/stale_parts.hpp).
[[nodiscard]] std::optional<Fault> make_folder(const std::filesystem::path& folder);

}  // namespace warmbay::scenes
