#pragma once
// Puts numbers and names into a sentence of the text catalogue: "Conductor at {celsius:.1f} °C".

#include <fmt/args.h>
#include <fmt/format.h>

#include <string>
#include <utility>

namespace warmbay::scenes {

/// pattern: a sentence with {name} or {name:format} places. args: fmt::arg("name", value)... A sentence with a place
/// that has no value is returned as it stands: a slip in a catalogue is seen on the screen and stops nothing.
template <typename... Args>
[[nodiscard]] std::string fill(const std::string& pattern, Args&&... args) {
  try {
    return fmt::format(fmt::runtime(pattern), std::forward<Args>(args)...);
  } catch (const fmt::format_error&) {
    return pattern;
  }
}

}  // namespace warmbay::scenes
