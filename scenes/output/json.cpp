// Readings (SI) to the JSON objects of the contract (°C, mm).

#include "scenes/output/json.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace warmbay::scenes {

namespace {

using Json = nlohmann::ordered_json;

Json object_of(const StateOutput& state) {
  const sim::Reading& reading = state.reading;
  Json json = {{"title", state.title},
               {"voxels", state.wall.grid.count()},
               {"seconds", state.seconds},
               {"balance", state.balance}};
  Json thermocouples = Json::object();
  for (std::size_t i = 0; i < state.wall.thermocouples.size(); ++i)
    thermocouples[state.wall.thermocouples[i].name] = sim::celsius_from_kelvin(reading.thermocouple_k[i]);
  Json cables = Json::object();
  for (std::size_t i = 0; i < state.wall.cables.size(); ++i) {
    const sim::CableReading& cable = reading.cables[i];
    cables[state.wall.cables[i].name] = {{"current_a", cable.current_a},
                                         {"hottest_c", sim::celsius_from_kelvin(cable.hottest_k)},
                                         {"hottest_at_mm", cable.hottest_at_m * 1000.0},
                                         {"drop_v", cable.drop_v},
                                         {"power_w", cable.power_w}};
  }
  Json surroundings = Json::object();
  for (std::size_t i = 0; i < state.wall.surroundings.size(); ++i) {
    const sim::Surroundings& of = state.wall.surroundings[i];
    const sim::SurroundingsReading& now = reading.surroundings[i];
    // Surroundings that no surface touches have no hottest surface: their own temperature stands for it.
    const bool touched = now.area_m2 > 0.0;
    const double own_k = state.conditions.surroundings_k[i];
    const double hottest_k = touched ? now.hottest_surface_k : own_k;
    const double coldest_k = touched ? now.coldest_surface_k : own_k;
    surroundings[of.name] = {{"heat_w", touched ? now.heat_w : 0.0},
                             {"hottest_surface_c", sim::celsius_from_kelvin(hottest_k)},
                             {"coldest_surface_c", sim::celsius_from_kelvin(coldest_k)}};
  }
  json["thermocouples"] = std::move(thermocouples);
  json["cables"] = std::move(cables);
  json["surroundings"] = std::move(surroundings);
  return json;
}

}  // namespace

double heat_balance(const sim::Reading& reading) {
  double out_w = 0.0;
  double largest_w = std::abs(reading.power_w);
  for (const sim::SurroundingsReading& surroundings : reading.surroundings) {
    out_w += surroundings.heat_w;
    largest_w = std::max(largest_w, std::abs(surroundings.heat_w));
  }
  return largest_w > 0.0 ? std::abs(reading.power_w - out_w) / largest_w : 0.0;
}

bool all_finite(const sim::Reading& reading) {
  const auto finite = [](double value) { return std::isfinite(value); };
  bool all = finite(reading.current_a) && finite(reading.voltage_v) && finite(reading.power_w);
  all = all && std::all_of(reading.thermocouple_k.begin(), reading.thermocouple_k.end(), finite);
  for (const sim::CableReading& cable : reading.cables)
    all = all && finite(cable.hottest_k) && finite(cable.hottest_at_m) && finite(cable.drop_v) && finite(cable.power_w);
  for (const sim::SurroundingsReading& now : reading.surroundings)
    all = all && (now.area_m2 <= 0.0 ||
                  (finite(now.heat_w) && finite(now.hottest_surface_k) && finite(now.coldest_surface_k)));
  return all;
}

std::string state_json(const StateOutput& state) {
  return object_of(state).dump() + "\n";
}

std::string run_json(const StateOutput& state, const RunOutput& run) {
  Json json = object_of(state);
  json["simulated_s"] = run.simulated_s;
  json["wall_clock_s"] = run.wall_clock_s;
  json["mended_steps"] = state.reading.mended_steps;
  json["energy"] = {{"generated_j", run.energy.generated_j},
                    {"stored_j", run.energy.stored_j},
                    {"left_j", run.energy.left_j},
                    {"taken_up_j", run.energy.taken_up_j},
                    {"with_gas_j", run.energy.with_gas_j}};
  Json events = Json::array();
  for (const Event& e : run.events)
    events.push_back(
        {{"time_s", e.time_s}, {"event", e.event}, {"where", e.where}, {"value", e.value}, {"text", e.text}});
  json["events"] = std::move(events);
  return json.dump(2) + "\n";
}

std::string limit_json(const sim::Wall& wall, int cable, double limit_k, const sim::Limit& limit) {
  const Json json = {{"cable", wall.cables[static_cast<std::size_t>(cable)].name},
                     {"limit_c", sim::celsius_from_kelvin(limit_k)},
                     {"current_a", limit.current_a},
                     {"hottest_at_mm", limit.hottest_at_m * 1000.0},
                     {"voxels", wall.grid.count()},
                     {"seconds", limit.seconds}};
  return json.dump() + "\n";
}

}  // namespace warmbay::scenes
