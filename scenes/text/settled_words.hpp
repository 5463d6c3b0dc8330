#pragma once
// Why a wall has no settled state, for the commands and for the published cases.

#include <string>

#include "sim/settled.hpp"

namespace warmbay::scenes {

/// Why there is no settled state, as a sentence; outcome: not `settled`.
[[nodiscard]] std::string why_not_settled(sim::SettledOutcome outcome);

}  // namespace warmbay::scenes
