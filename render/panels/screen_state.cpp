// Questions about predictions.

#include "render/panels/screen_state.hpp"

#include <algorithm>

namespace warmbay::render {

const Prediction* prediction_of(const ScreenState& state, int step) {
  const auto found = std::find_if(state.predictions.begin(), state.predictions.end(),
                                  [step](const Prediction& p) { return p.step == step; });
  return found == state.predictions.end() ? nullptr : &*found;
}

bool must_ask(const ScreenState& state, const scenes::Scene& scene, int step) {
  if (step < 0 || step >= static_cast<int>(scene.steps.size())) return false;
  return scene.steps[static_cast<std::size_t>(step)].ask.has_value() && prediction_of(state, step) == nullptr;
}

}  // namespace warmbay::render
