#pragma once
// Tests that this machine cannot run. They are told as skipped, never as passed.

#include <string>

namespace warmbay::tests {

/// The exit status of a test program of which nothing failed and something was skipped; ctest knows it.
inline constexpr int exit_skipped = 77;

/// Says why the test that runs now stops here. Return from it then: a check that fails all the same counts.
void skip(const std::string& why);

}  // namespace warmbay::tests
