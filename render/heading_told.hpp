#pragma once
// What may be said of where the wall is heading: nothing that a failure, an open device or the end of the model makes
// meaningless.

#include <optional>

#include "render/heat_thread.hpp"
#include "sim/settled.hpp"

namespace warmbay::render {

/// Where the experiment is heading under the present conditions, its present damage included.
struct Heading {
  sim::SettledOutcome outcome = sim::SettledOutcome::settled;
  double hottest_k = 0.0;
};

enum class HeadingTold {
  nothing,     // not known (yet)
  settles,     // near Heading::hottest_k
  gives_way,   // it would, but so hot that something gives way first
  never,       // no settled state: it gets ever hotter
  unknown,     // the solver did not get there
  ended,       // the model has ended
  no_current,  // the device or a conductor is open: the wall cools
  shorted,     // what a short does next is not a matter of settling
};
[[nodiscard]] HeadingTold told(const HeatNow& now, const std::optional<Heading>& heading);
/// Whether solving for it is worth anything now.
[[nodiscard]] bool heading_matters(const sim::Snapshot& snapshot);

/// The lowest temperature at which something of a cable or of a foam in the wall begins to give way, K; infinity:
/// nothing.
[[nodiscard]] double gives_way_from_k(const sim::Wall& wall);

}  // namespace warmbay::render
