#pragma once
// Opens a graphics card for the heat, and decides whether it is worth it.

#include <filesystem>
#include <memory>
#include <string>

#include "render/card/shared_field.hpp"
#include "render/gl/headless_gl.hpp"
#include "scenes/cli/commands.hpp"
#include "sim/heat_engine.hpp"

namespace warmbay::render::card {

/// Engines on the card, each with a context of its own beside `display`'s, so that each may live on its own thread. The
/// factory throws std::runtime_error with one line when a wall cannot be had. shared: of a drawing whose objects
/// `display` shares; nullptr: of none.
[[nodiscard]] sim::EngineFactory on_card(std::shared_ptr<const gl::HeadlessGl> display,
                                         const std::filesystem::path& shaders,
                                         std::shared_ptr<FieldPool> shared = nullptr);

/// The same where a short trial on the wall is faster than the processor's; the processor (nullptr) for all others,
/// without a trial where OpenGL itself is only software.
[[nodiscard]] sim::EngineFactory on_the_faster(std::shared_ptr<const gl::HeadlessGl> display,
                                               const std::filesystem::path& shaders,
                                               std::shared_ptr<FieldPool> shared = nullptr);

/// What a command line asks for. Empty: the processor; then, if a card was asked for by name, `why_not` has one line.
/// No context is current on the calling thread afterwards.
[[nodiscard]] sim::EngineFactory engine_for(scenes::Backend backend, std::string& why_not);
/// The same beside a drawing whose context is current on the calling thread, and stays so: what these engines compute,
/// it draws without a round trip. Empty too, with one line in `why_not`, where the context is none of EGL's.
[[nodiscard]] sim::EngineFactory engine_beside_drawing(scenes::Backend backend, std::string& why_not);

}  // namespace warmbay::render::card
