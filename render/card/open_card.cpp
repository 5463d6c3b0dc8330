// Contexts and factories for the heat on a graphics card.

#include "render/card/open_card.hpp"

#include <chrono>
#include <stdexcept>

#include "render/card/heat_card.hpp"
#include "render/gl/quality.hpp"
#include "scenes/places.hpp"

namespace warmbay::render::card {
namespace {

std::unique_ptr<HeatCard> make(const gl::HeadlessGl& display, const std::filesystem::path& shaders,
                               const std::shared_ptr<FieldPool>& shared, const sim::EngineParts& parts,
                               std::string& error) {
  std::unique_ptr<gl::HeadlessGl> context = display.another(error);
  return context ? HeatCard::make(parts, std::move(context), shaders, error, shared) : nullptr;
}

/// Seconds that a step takes, at its best of a few. The wall is cold and its conductances are not worked out: a step
/// costs the same whatever the numbers are.
template <class Step>
double seconds_a_step(const Step& step) {
  using Clock = std::chrono::steady_clock;
  constexpr int steps = 5;
  double best_s = 1e9;
  for (int n = 0; n < steps; ++n) {
    const Clock::time_point start = Clock::now();
    step();
    best_s = std::min(best_s, std::chrono::duration<double>(Clock::now() - start).count());
  }
  return best_s;
}

sim::HeatState cold_state(const sim::Conduction& wall) {
  sim::HeatState state;
  state.rise_k.assign(wall.layout().size, 0.0F);
  for (const sim::CopperLine& line : wall.copper().lines)
    state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 0.0);
  return state;
}

bool is_faster(HeatCard& card, const sim::EngineParts& parts) {
  constexpr double step_s = 1.0;
  const sim::Feed none = sim::steady_feed(parts.conduction.copper(), 0.0);
  sim::HeatState state = cold_state(parts.conduction);
  card.take_over(state, {});
  const double card_s = seconds_a_step([&] { static_cast<void>(card.step(state, step_s, none, {})); });
  // Beside the bench's own wall, so that a bench on the processor never knows of the trial.
  const sim::Conduction beside(parts.conduction.shared_wall(), parts.crew);
  sim::Stepper stepper(beside, parts.crew);
  state = cold_state(beside);
  return card_s < seconds_a_step([&] { stepper.step(state, step_s, none); });
}

}  // namespace

sim::EngineFactory on_card(std::shared_ptr<const gl::HeadlessGl> display, const std::filesystem::path& shaders,
                           std::shared_ptr<FieldPool> shared) {
  return [display = std::move(display), shaders,
          shared = std::move(shared)](const sim::EngineParts& parts) -> std::unique_ptr<sim::HeatEngine> {
    std::string error;
    std::unique_ptr<HeatCard> card = make(*display, shaders, shared, parts, error);
    if (!card) throw std::runtime_error(error);
    return card;
  };
}

sim::EngineFactory on_the_faster(std::shared_ptr<const gl::HeadlessGl> display, const std::filesystem::path& shaders,
                                 std::shared_ptr<FieldPool> shared) {
  return [display = std::move(display), shaders,
          shared = std::move(shared)](const sim::EngineParts& parts) -> std::unique_ptr<sim::HeatEngine> {
    std::string error;
    std::unique_ptr<HeatCard> card = make(*display, shaders, shared, parts, error);
    if (!card || gl::quality_of(card->name()).tier == gl::Tier::software || !is_faster(*card, parts)) return nullptr;
    return card;
  };
}

namespace {

sim::EngineFactory chosen(scenes::Backend backend, bool software, std::shared_ptr<const gl::HeadlessGl> display,
                          std::shared_ptr<FieldPool> shared) {
  const std::filesystem::path shaders = scenes::find_places().shaders;
  if (backend == scenes::Backend::gpu) return on_card(std::move(display), shaders, std::move(shared));
  return software ? sim::EngineFactory{} : on_the_faster(std::move(display), shaders, std::move(shared));
}

}  // namespace

sim::EngineFactory engine_for(scenes::Backend backend, std::string& why_not) {
  if (backend == scenes::Backend::cpu) return {};
  std::shared_ptr<const gl::HeadlessGl> display = gl::HeadlessGl::open(why_not);
  if (!display) return {};
  const bool software = gl::current_quality().tier == gl::Tier::software;
  display->leave();
  return chosen(backend, software, std::move(display), nullptr);
}

sim::EngineFactory engine_beside_drawing(scenes::Backend backend, std::string& why_not) {
  if (backend == scenes::Backend::cpu) return {};
  std::shared_ptr<const gl::HeadlessGl> display = gl::HeadlessGl::beside_current(why_not);
  if (!display) return {};
  const bool software = gl::current_quality().tier == gl::Tier::software;
  return chosen(backend, software, std::move(display), std::make_shared<FieldPool>());
}

}  // namespace warmbay::render::card
