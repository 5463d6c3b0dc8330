// What stands on a page in place of render/card: WebGL 2 has no compute shaders, so the processor works the heat out.

#include "render/card/open_card.hpp"

namespace warmbay::render::card {

SharedField::~SharedField() = default;
void SharedField::drawn() const {}

sim::EngineFactory engine_for(scenes::Backend backend, std::string& why_not) {
  if (backend == scenes::Backend::gpu)
    why_not = "a page cannot use the graphics card for the heat: WebGL has no compute shaders";
  return {};
}

sim::EngineFactory engine_beside_drawing(scenes::Backend backend, std::string& why_not) {
  return engine_for(backend, why_not);
}

}  // namespace warmbay::render::card
