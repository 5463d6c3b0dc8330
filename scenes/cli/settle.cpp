// `warmbay settle FILE`: the steady state at the supply's first step, as a table or as JSON.

#include "sim/settled.hpp"

#include <fmt/ostream.h>

#include "scenes/cli/asked.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/output/json.hpp"
#include "scenes/play/conditions.hpp"
#include "scenes/read/printable.hpp"
#include "scenes/text/cautions.hpp"
#include "scenes/text/settled_words.hpp"
#include "scenes/text/text_fill.hpp"
#include "scenes/uncertainty/uncertainty.hpp"

namespace warmbay::scenes {

namespace {

using sim::celsius_from_kelvin;

void print_cables(std::ostream& out, const sim::Wall& wall, const sim::Reading& reading) {
  if (wall.cables.empty()) return;
  fmt::print(out, "\n{:<24} {:>8} {:>11} {:>8} {:>10}  {:<6} {:>8} {:>8}\n", "cable", "A", "hottest °C", "at mm",
             "rated °C", "", "drop V", "W");
  for (std::size_t i = 0; i < wall.cables.size(); ++i) {
    const sim::CableReading& now = reading.cables[i];
    const double rated_k = wall.cables[i].type.rated_k;
    fmt::print(out, "{:<24} {:>8.1f} {:>11.1f} {:>8.0f} {:>10.0f}  {:<6} {:>8.3f} {:>8.2f}\n", wall.cables[i].name,
               now.current_a, celsius_from_kelvin(now.hottest_k), now.hottest_at_m * 1000.0,
               celsius_from_kelvin(rated_k), now.hottest_k > rated_k ? "over" : "within", now.drop_v, now.power_w);
  }
}

void print_table(std::ostream& out, const StateOutput& state) {
  const sim::Wall& wall = state.wall;
  const sim::Reading& reading = state.reading;
  fmt::print(out, "{}\nsettled: {} voxels, {:.2f} s, heat balance {:.0e}\n", state.title, wall.grid.count(),
             state.seconds, state.balance);
  print_cables(out, wall, reading);
  if (!wall.thermocouples.empty()) fmt::print(out, "\n{:<24} {:>8}\n", "thermocouple", "°C");
  for (std::size_t i = 0; i < wall.thermocouples.size(); ++i)
    fmt::print(out, "{:<24} {:>8.1f}\n", wall.thermocouples[i].name, celsius_from_kelvin(reading.thermocouple_k[i]));
  if (!wall.surroundings.empty())
    fmt::print(out, "\n{:<24} {:>8} {:>20} {:>20}\n", "surroundings", "heat W", "coldest surface °C",
               "hottest surface °C");
  for (std::size_t i = 0; i < wall.surroundings.size(); ++i) {
    const sim::SurroundingsReading& now = reading.surroundings[i];
    if (now.area_m2 > 0.0)
      fmt::print(out, "{:<24} {:>8.2f} {:>20.1f} {:>20.1f}\n", wall.surroundings[i].name, now.heat_w,
                 celsius_from_kelvin(now.coldest_surface_k), celsius_from_kelvin(now.hottest_surface_k));
    else
      fmt::print(out, "{:<24} {:>8} {:>20}\n", wall.surroundings[i].name, "-", "touches no surface");
  }
}

/// A line per cable.
void print_uncertainty(std::ostream& out, const sim::Wall& wall, const Uncertainty& uncertainty, const Text& text) {
  fmt::print(out, "\n");
  for (std::size_t i = 0; i < wall.cables.size(); ++i)
    fmt::print(out, "{}\n",
               fill(text("uncertainty.line"), fmt::arg("cable", wall.cables[i].name),
                    fmt::arg("spread", spread_words(uncertainty.spreads[i], text)),
                    fmt::arg("unknowns", unknowns_words(uncertainty, text))));
}

}  // namespace

int settle(const SettleAsked& asked, const Streams& streams) {
  const LoadResult result = load(asked.file, streams.err);
  if (result.status != exit_done) return result.status;
  const Loaded& now = result.loaded;
  const sim::Conditions conditions = first_conditions(*now.scene, *now.wall);
  const sim::Settled settled = sim::settle(now.wall, conditions, asked.threads);
  if (settled.outcome != sim::SettledOutcome::settled || !all_finite(settled.state->reading)) {
    fmt::print(streams.err, "{}: {}\n", printable(asked.file.string()), why_not_settled(settled.outcome));
    return exit_scene_errors;
  }
  const StateOutput state{now.scene->title,       *now.wall,       conditions,
                          settled.state->reading, settled.seconds, settled.balance};
  if (asked.json) {
    streams.out << state_json(state);
    return exit_done;
  }
  print_table(streams.out, state);
  const auto uncertainty =
      settled_uncertainty(*now.scene, *now.data, conditions, settled.state->reading, asked.threads);
  if (uncertainty) print_uncertainty(streams.out, *now.wall, *uncertainty, *now.text);
  fmt::print(streams.out, "\n{}\n", sizing_notice(*now.text));
  return exit_done;
}

}  // namespace warmbay::scenes
