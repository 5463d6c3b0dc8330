#pragma once
// The outcome as a table for a terminal, under 120 columns.

#include <iosfwd>

#include "scenes/text/text.hpp"
#include "scenes/trust/runner.hpp"

namespace warmbay::scenes {

/// Case by case: what it is, where its numbers come from, how sure they are; then its checks. At the end everything
/// that is outside its tolerance once more, and the counts.
void print_trust_table(std::ostream& out, const TrustResult& result, const Text& text);

}  // namespace warmbay::scenes
