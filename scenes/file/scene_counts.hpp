#pragma once
// How much a scene holds, looked at before anything is done with it.

#include "scenes/read/toml_reader.hpp"

namespace warmbay::scenes {

/// Notes what a scene has too much of (input_limits.hpp), where the first one too many stands.
void check_counts(const toml::table& root, Faults& faults);

}  // namespace warmbay::scenes
