#pragma once
// Opens a graphics card for the heat, and decides whether it is worth it.

#include <filesystem>
#include <memory>
#include <string>

#include "render/card/context.hpp"
#include "sim/heat_engine.hpp"

namespace warmbay::render::card {

/// A context without a display. nullptr: there is none, and `error` says why in one line.
[[nodiscard]] std::shared_ptr<Context> open_headless(std::string& error);

/// An engine on the context for every wall; throws std::runtime_error with one line when a wall cannot be had.
[[nodiscard]] sim::EngineFactory on_card(std::shared_ptr<Context> context, const std::filesystem::path& shaders);

}  // namespace warmbay::render::card
