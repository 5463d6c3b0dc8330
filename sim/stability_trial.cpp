#include "sim/stability_trial.hpp"

#include <limits>
#include <random>

#include "sim/limits.hpp"

namespace warmbay::sim {

double longest_stable_step_s(const Conduction& wall, double wanted_s,
                             const std::function<void(HeatState&, double, int)>& run) {
  const Layout& layout = wall.layout();
  auto random_state = [&] {
    std::minstd_rand random(1);  // NOLINT: the same trial every time
    auto next = [&] { return static_cast<float>(random()) / static_cast<float>(std::minstd_rand::max()) - 0.5F; };
    HeatState state;
    state.rise_k.assign(layout.size, 0.0F);
    for (std::size_t v = 0; v < layout.size; ++v)
      if (wall.is_solid(v)) state.rise_k[v] = next();
    for (const CopperLine& line : wall.copper().lines) {
      state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()));
      for (double& rise_k : state.copper_rise_k.back()) rise_k = next();
    }
    return state;
  };
  auto heat_norm = [&](const HeatState& state) {
    double sum = 0.0;
    for (std::size_t v = 0; v < layout.size; ++v)
      if (wall.is_solid(v)) sum += static_cast<double>(wall.capacity()[v]) * state.rise_k[v] * state.rise_k[v];
    return sum;
  };
  constexpr int most_halvings = 24;
  double step_s = wanted_s;
  for (int halving = 0; halving < most_halvings; ++halving, step_s *= 0.5) {
    HeatState state = random_state();
    double before = std::numeric_limits<double>::infinity();
    bool grows = false;
    for (const int part : {4, 4, 2}) {  // most that grow show it early
      run(state, step_s, limits::stability_trial_steps / part);
      const double now = heat_norm(state);
      grows = !(now <= before);  // true for NaN
      if (grows) break;
      before = now;
    }
    if (!grows) return step_s;
  }
  return step_s;
}

}  // namespace warmbay::sim
