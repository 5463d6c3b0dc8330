#pragma once
// `warmbay play`: the window, or with --shot one picture of it.

#include "scenes/cli/commands.hpp"

namespace warmbay::render {

/// Returns an exit status (scenes/cli/commands.hpp); what is wrong goes to standard error, one line each.
[[nodiscard]] int play(const scenes::PlayArguments& arguments);

}  // namespace warmbay::render
