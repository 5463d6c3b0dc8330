// Contexts and factories for the heat on a graphics card.

#include "render/card/open_card.hpp"

#include <stdexcept>

#include "render/card/heat_card.hpp"

namespace warmbay::render::card {

std::shared_ptr<Context> open_headless(std::string& error) {
  std::unique_ptr<gl::HeadlessGl> gl = gl::HeadlessGl::open(error);
  return gl ? std::make_shared<HeadlessContext>(std::move(gl)) : nullptr;
}

sim::EngineFactory on_card(std::shared_ptr<Context> context, const std::filesystem::path& shaders) {
  return [context = std::move(context), shaders](const sim::EngineParts& parts) -> std::unique_ptr<sim::HeatEngine> {
    std::string error;
    std::unique_ptr<HeatCard> card = HeatCard::make(parts, context, shaders, error);
    if (!card) throw std::runtime_error(error);
    return card;
  };
}

}  // namespace warmbay::render::card
