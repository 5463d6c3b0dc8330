#pragma once
// The settled field: where the wall is heading under fixed conditions, non-linear terms included.

#include <memory>
#include <optional>
#include <string>

#include "sim/snapshot.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

enum class SettledOutcome {
  settled,
  runaway,    // no settled state: the copper's resistance grows faster than the wall carries heat away
  no_outlet,  // no surface exchanges heat with any surroundings
  stalled,    // iterations used up (limits.hpp) before the balance was reached
};

struct Settled {
  SettledOutcome outcome = SettledOutcome::settled;
  std::shared_ptr<const Snapshot>
      state;             // with outcome settled: readings at time_s = infinity are meaningless, 0 is stored
  double balance = 0.0;  // |sources - heat out| / max(|sources|, largest |heat_w|)
  double seconds = 0.0;  // wall clock
  int iterations = 0;    // of the inner solver, all outer rounds together
};

/// Solves div(k grad T) + q = 0 with the copper, at fixed conditions. threads 0: one per core. guess: a snapshot of the
/// same wall to start from, damaged as it is there (nullptr: cold start of a sound wall). Latent heat and
/// decomposition play no part in a settled field; what is dried, drawn back or shorted stays so.
[[nodiscard]] Settled settle(const std::shared_ptr<const Wall>& wall, const Conditions& conditions, int threads = 0,
                             const Snapshot* guess = nullptr);

struct Limit {
  SettledOutcome outcome = SettledOutcome::settled;
  double current_a = 0.0;
  double hottest_at_m = 0.0;
  double seconds = 0.0;
};

/// Largest steady current, A, that keeps the hottest conductor point of cable `cable` at or below limit_k.
/// 0 A when the wall is hotter than that without any current.
[[nodiscard]] Limit current_limit(const std::shared_ptr<const Wall>& wall, const Conditions& conditions, int cable,
                                  double limit_k, int threads = 0);

}  // namespace warmbay::sim
