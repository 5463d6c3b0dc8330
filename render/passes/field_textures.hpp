#pragma once
// A snapshot as textures: temperatures, the map from metres to voxels, and the colours. Shared by the passes
// that colour something by temperature; shaders/field.glsl is its other half.

#include <memory>
#include <vector>

#include "render/card/shared_field.hpp"
#include "render/gl/program.hpp"
#include "render/gl/texture.hpp"
#include "render/palette.hpp"
#include "render/view_state.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

class FieldTextures {
 public:
  FieldTextures() : places_(3) {}
  void set_palette(const Palette& palette);
  /// Uploads what is new: everything for another wall, only the temperatures for another snapshot of the same one.
  /// field: the snapshot's temperatures where they are on this card already, or nullptr; then nothing is uploaded.
  void store(const std::shared_ptr<const sim::Snapshot>& snapshot,
             const std::shared_ptr<const card::SharedField>& field = nullptr);
  /// After the commands that read what bind() has bound.
  void drawn() const;
  /// Binds the textures to units 0 to 4 and sets the uniforms of shaders/field.glsl. program: in use.
  void bind(const gl::Program& program, const TemperatureRange& range) const;
  /// The unit that the place texture of an axis (0 to 2) is bound to.
  [[nodiscard]] static constexpr int place_unit(int axis) { return 1 + axis; }

 private:
  void store_wall(const sim::Wall& wall);

  /// A voxel of surroundings beside the wall shows the mean of the wall's voxels around it, so that the air's
  /// temperature does not bleed into the wall's surface between the two centres.
  struct Filled {
    std::size_t voxel;
    std::size_t first;  // into sources_
    std::size_t count;
  };
  std::vector<Filled> filled_;
  std::vector<std::size_t> sources_;
  std::vector<float> values_k_;

  std::shared_ptr<const sim::Wall> wall_;
  glm::vec3 size_m_{1.0F};
  gl::Texture temperature_;
  std::shared_ptr<const card::SharedField> shared_;  // instead of it
  std::vector<gl::Texture> places_;                  // x, y, z
  gl::Texture palette_;
  int palette_entries_ = 2;
};

/// Sets the uniforms of a pass that colours what lies in planes of one axis by the field: the plane's axes, and the
/// units of the place textures across it. program: in use.
void set_plane(const gl::Program& program, sim::Axis normal);

}  // namespace warmbay::render
