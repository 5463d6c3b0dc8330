#pragma once
// What programs that were killed outright (SIGKILL, a power cut) have left of the files that they were writing.

#include <filesystem>

namespace warmbay::scenes {

/// Removes the parts of files (output/unfinished.hpp) in a folder that no process of their number writes any more and
/// that have not changed for a minute. The minute is for folders that several machines or containers share: their
/// processes are not seen from here, but they write on. What cannot be removed stays; nothing is said of it.
void remove_stale_parts(const std::filesystem::path& folder);

}  // namespace warmbay::scenes
