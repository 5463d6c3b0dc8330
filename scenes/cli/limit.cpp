// `warmbay limit FILE --cable NAME`: the largest steady current that keeps a cable at or below a temperature.

#include <fmt/ostream.h>
#include <fmt/ranges.h>

#include <cmath>

#include "scenes/cli/asked.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/output/json.hpp"
#include "scenes/play/conditions.hpp"
#include "scenes/read/by_name.hpp"
#include "scenes/read/printable.hpp"
#include "scenes/text/cautions.hpp"
#include "scenes/text/settled_words.hpp"
#include "scenes/uncertainty/uncertainty.hpp"

namespace warmbay::scenes {

namespace {

/// Index of the cable called `name`, or -1 with the names that there are said on err.
int find_cable(const LimitAsked& asked, const sim::Wall& wall, std::ostream& err) {
  if (const int found = index_by_name(wall.cables, asked.cable); found >= 0) return found;
  std::vector<std::string> names;
  for (const sim::Cable& cable : wall.cables) names.push_back(cable.name);
  const std::string there =
      names.empty() ? "the scene has no cables" : fmt::format("it has: {}", fmt::join(names, ", "));
  fmt::print(err, "warmbay: --cable: {} has no cable '{}'; {}\n", printable(asked.file.string()),
             printable(asked.cable), there);
  return -1;
}

}  // namespace

int limit(const LimitAsked& asked, const Streams& streams) {
  const LoadResult result = load(asked.file, streams.err);
  if (result.status != exit_done) return result.status;
  const Loaded& now = result.loaded;
  const int cable = find_cable(asked, *now.wall, streams.err);
  if (cable < 0) return exit_command_line;
  const sim::CableType& type = now.wall->cables[static_cast<std::size_t>(cable)].type;
  const double limit_k = asked.celsius ? sim::kelvin_from_celsius(*asked.celsius) : type.rated_k;

  const sim::Limit found =
      sim::current_limit(now.wall, first_conditions(*now.scene, *now.wall), cable, limit_k, asked.threads);
  if (found.outcome != sim::SettledOutcome::settled || !std::isfinite(found.current_a)) {
    fmt::print(streams.err, "{}: {}\n", printable(asked.file.string()), why_not_settled(found.outcome));
    return exit_scene_errors;
  }
  if (asked.json) {
    streams.out << limit_json(*now.wall, cable, limit_k, found);
    return exit_done;
  }
  fmt::print(streams.out, "{}: {:.2f} A keeps the hottest conductor point at {:.1f} °C", asked.cable, found.current_a,
             sim::celsius_from_kelvin(limit_k));
  fmt::print(streams.out, " ({:.0f} mm along its route)\n{} voxels, {:.2f} s\n\n", found.hottest_at_m * 1000.0,
             now.wall->grid.count(), found.seconds);
  if (const auto uncertainty = limit_uncertainty(*now.scene, *now.data, first_conditions(*now.scene, *now.wall), cable,
                                                 limit_k, found.current_a, asked.threads))
    fmt::print(streams.out, "{}\n\n", limit_words(*uncertainty, limit_k, *now.text));
  fmt::print(streams.out, "{}\n", sizing_notice(*now.text));
  return exit_done;
}

}  // namespace warmbay::scenes
