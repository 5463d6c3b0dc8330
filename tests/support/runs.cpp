#include "tests/support/runs.hpp"

#include <cmath>
#include <stdexcept>
#include <string>

namespace warmbay::tests {

sim::Bench bench_at(std::shared_ptr<const sim::Wall> wall, double start_c, double step_s, int threads) {
  sim::BenchOptions options;
  options.threads = threads;
  options.step_s = options.longest_step_s = step_s;
  options.start_k = sim::kelvin_from_celsius(start_c);
  return sim::Bench(std::move(wall), options);
}

sim::Reading read_at(sim::Bench& bench, double time_s) {
  bench.set_segment_end(time_s);
  bench.advance_to(time_s);
  if (std::abs(bench.time_s() - time_s) > 1e-6) {
    throw std::logic_error("the bench stopped at " + std::to_string(bench.time_s()) + " s instead of at " +
                           std::to_string(time_s) + " s");
  }
  return bench.reading();
}

double celsius(const sim::Reading& reading, int n) {
  return sim::celsius_from_kelvin(reading.thermocouple_k.at(static_cast<std::size_t>(n)));
}

sim::Conditions with_current(const sim::Wall& wall, double current_a) {
  sim::Conditions conditions = sim::initial_conditions(wall);
  conditions.current_a = current_a;
  return conditions;
}

sim::Reading settled_reading(const std::shared_ptr<const sim::Wall>& wall, double current_a) {
  const sim::Settled settled = sim::settle(wall, with_current(*wall, current_a));
  if (settled.outcome != sim::SettledOutcome::settled) throw std::runtime_error("the wall did not settle");
  if (settled.balance > 1e-5) throw std::runtime_error("settled with a balance of " + std::to_string(settled.balance));
  return settled.state->reading;
}

sim::HeatState even_heat(const sim::Conduction& conduction, double rise_k) {
  sim::HeatState state;
  state.rise_k.assign(conduction.layout().size, static_cast<float>(rise_k));
  for (const sim::CopperLine& line : conduction.copper().lines)
    state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), rise_k);
  return state;
}

}  // namespace warmbay::tests
