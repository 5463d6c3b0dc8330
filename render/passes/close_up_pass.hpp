#pragma once
// Draws a close-up: the wall as it is seen on a cut across a cable, flat, without the cable itself.

#include <array>
#include <filesystem>
#include <memory>
#include <optional>

#include "render/passes/damage_pass.hpp"
#include "render/passes/line_pass.hpp"
#include "render/passes/wall_pass.hpp"

namespace warmbay::render {

class CloseUpPass {
 public:
  explicit CloseUpPass(const std::filesystem::path& shaders)
      : wall_(shaders), damage_(shaders), lines_(shaders), rims_(shaders) {}
  /// Makes the shapes anew where another wall, other states or another place ask for it. shown: of NarrowAir.
  void store(const std::shared_ptr<const sim::Wall>& wall, const std::vector<sim::VoxelState>& shown,
             const CloseUp& close_up);
  /// Into a square of that size: its viewport is set, its depth cleared.
  void draw(const FieldTextures& field, const ViewState& view, const ViewSize& size) const;
  [[nodiscard]] std::array<gl::Program*, 4> programs() {
    return {&wall_.program(), &damage_.program(), &lines_.program(), &rims_.program()};
  }

 private:
  WallPass wall_;
  DamagePass damage_;
  LinePass lines_;
  LinePass rims_;
  Eye eye_;
  std::shared_ptr<const sim::Wall> of_;
  std::optional<CloseUp> close_up_;
  WallShape shape_;
  std::vector<sim::VoxelState> shown_;
};

/// Square on the cut, no perspective.
[[nodiscard]] Eye eye_of(const CloseUp& close_up);

}  // namespace warmbay::render
