#pragma once
// How far the conductor's temperature may lie from what was computed, because of what nobody knows exactly.
//
// Every unknown that the wall has is varied alone, on a coarser grid; the three that move the temperatures most are
// then set to those ends of their ranges that make the conductor hotter, all at once, and to the others. What that
// changes is added to what was computed on the scene's own grid.

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/output/spread.hpp"
#include "scenes/play/player.hpp"
#include "scenes/scene.hpp"
#include "scenes/text/text.hpp"
#include "sim/settled.hpp"

namespace warmbay::scenes {

/// Temperatures, K, of a wall that has been varied; nothing when there are none (no settled state). Called by several
/// threads at once.
using Probe = std::function<std::optional<std::vector<double>>(const std::shared_ptr<const sim::Wall>& wall)>;

/// computed_k: what the probe's temperatures are on the scene's own grid. Nothing when no unknown plays a part, or the
/// coarser wall gives no temperatures.
[[nodiscard]] std::optional<Uncertainty> uncertainty_of(const Scene& scene, const DataFiles& data, const Probe& probe,
                                                        const std::vector<double>& computed_k, int threads);

/// Of the hottest conductor point of every cable of a settled field. Nothing for a scene without cables.
[[nodiscard]] std::optional<Uncertainty> settled_uncertainty(const Scene& scene, const DataFiles& data,
                                                             const sim::Conditions& conditions,
                                                             const sim::Reading& computed, int threads);

/// Of the hottest conductor point of all at the end of every step that was played, as run by the steps' own times.
[[nodiscard]] std::optional<Uncertainty> played_uncertainty(const Scene& scene, const DataFiles& data,
                                                            const PlayerOptions& options,
                                                            const std::vector<StepEnd>& step_ends);

/// Of a cable at its current limit, and of that limit.
struct LimitUncertainty {
  Uncertainty at_limit;  // one spread: of the hottest conductor point at current_a
  double least_a = 0.0;  // the limits of the hotter and the cooler wall
  double most_a = 0.0;
};
[[nodiscard]] std::optional<LimitUncertainty> limit_uncertainty(const Scene& scene, const DataFiles& data,
                                                                const sim::Conditions& conditions, int cable,
                                                                double limit_k, double current_a, int threads);

/// The sentence about the hottest of the step ends; about a limit.
[[nodiscard]] std::string hottest_step_words(const Uncertainty& uncertainty, const std::vector<StepEnd>& step_ends,
                                             const Text& text);
[[nodiscard]] std::string limit_words(const LimitUncertainty& uncertainty, double limit_k, const Text& text);

}  // namespace warmbay::scenes
