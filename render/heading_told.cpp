// What may be said of where the wall is heading.

#include "render/heading_told.hpp"

#include <algorithm>
#include <limits>

#include "render/failures.hpp"

namespace warmbay::render {

namespace {

bool no_current(const sim::Snapshot& snapshot) {
  const std::vector<double> live_m = live_lengths_m(snapshot);
  return !live_m.empty() && std::all_of(live_m.begin(), live_m.end(), [](double m) { return m <= 0.0; });
}

void lower(double& lowest_k, const std::shared_ptr<const sim::Damage>& damage) {
  if (!damage) return;
  if (damage->softens_k) lowest_k = std::min(lowest_k, *damage->softens_k);
  if (damage->collapse) lowest_k = std::min(lowest_k, damage->collapse->from_k);
}

}  // namespace

double gives_way_from_k(const sim::Wall& wall) {
  double lowest_k = std::numeric_limits<double>::infinity();
  for (const sim::Cable& cable : wall.cables) {
    lower(lowest_k, cable.type.insulation.damage);
    lower(lowest_k, cable.type.sheath.damage);
  }
  for (const sim::Material& material : wall.materials) lower(lowest_k, material.damage);
  return lowest_k;
}

bool heading_matters(const sim::Snapshot& snapshot) {
  return !no_current(snapshot) && failures_of(snapshot).empty();
}

HeadingTold told(const HeatNow& now, const std::optional<Heading>& heading) {
  if (now.ended) return HeadingTold::ended;
  if (!now.snapshot) return HeadingTold::nothing;
  if (no_current(*now.snapshot)) return HeadingTold::no_current;
  if (!failures_of(*now.snapshot).empty()) return HeadingTold::shorted;
  if (!heading) return HeadingTold::nothing;
  switch (heading->outcome) {
    case sim::SettledOutcome::settled:
      return heading->hottest_k >= gives_way_from_k(*now.snapshot->wall) ? HeadingTold::gives_way
                                                                         : HeadingTold::settles;
    case sim::SettledOutcome::runaway:
      return HeadingTold::never;
    default:
      return HeadingTold::unknown;
  }
}

}  // namespace warmbay::render
