// Looks at the sizes of arrays only; what is wrong with their content is for the readers.

#include "scenes/file/scene_counts.hpp"

#include <fmt/format.h>

#include "scenes/read/input_limits.hpp"

namespace warmbay::scenes {

namespace {

void check_tables(const toml::table& root, const input_limits::Most& most, Faults& faults) {
  const auto* tables = root.at_path(most.key).as_array();
  if (!tables || tables->size() <= most.count) return;
  faults.add(mark_of(tables->get(most.count)->source()),
             fmt::format("[[{}]] is there {} times, expected at most {}", most.key, tables->size(), most.count));
}

void check_corners(const toml::table& root, Faults& faults) {
  const auto* cables = root["cable"].as_array();
  if (!cables) return;
  std::size_t corners = 0;
  for (const auto& cable : *cables) {
    const auto* table = cable.as_table();
    const auto* route = table ? (*table)["route_mm"].as_array() : nullptr;
    if (!route) continue;
    corners += route->size();
    if (corners <= input_limits::corners) continue;
    faults.add(mark_of(route->source()), fmt::format("the routes of the cables up to here have {} corners together, "
                                                     "expected at most {} in a scene",
                                                     corners, input_limits::corners));
    return;
  }
}

void check_steps(const toml::table& root, Faults& faults) {
  const auto* steps = root["step"].as_array();
  if (!steps) return;
  for (const auto& step : *steps) {
    const auto* table = step.as_table();
    const auto* changed = table ? (*table)["surroundings"].as_table() : nullptr;
    if (!changed || changed->size() <= input_limits::entries) continue;
    faults.add(mark_of(changed->source()), fmt::format("'surroundings' has {} entries, expected at most {}",
                                                       changed->size(), input_limits::entries));
  }
}

}  // namespace

void check_counts(const toml::table& root, Faults& faults) {
  for (const auto& most : input_limits::scene) check_tables(root, most, faults);
  check_corners(root, faults);
  check_steps(root, faults);
}

}  // namespace warmbay::scenes
