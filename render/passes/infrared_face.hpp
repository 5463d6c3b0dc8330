#pragma once
// A face of the wall as an infrared camera would show it: flat, with nothing drawn on it. The camera sees radiance;
// told another emissivity than the surface's, it shows another temperature than the surface's (sim/infrared.hpp).

#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "render/gl/program.hpp"
#include "render/gl/texture.hpp"
#include "render/gl/vertex_array.hpp"
#include "render/passes/field_textures.hpp"
#include "render/view_state.hpp"
#include "sim/snapshot.hpp"

namespace warmbay::render {

/// The surface of a face, column by column of its voxels: nx * ny of them, x fastest.
struct FaceSurface {
  std::vector<float> surface_k;  // 0 where there is no wall behind
  std::vector<int> material;     // index into Wall::materials, or -1
};
/// Each temperature is carried from the two outermost voxels of its column on to the surface when both are of one
/// material.
[[nodiscard]] FaceSurface face_surface(const sim::Snapshot& snapshot, ViewMode face);
/// What a camera with view.infrared shows of them, K; 0 where there is no wall behind.
[[nodiscard]] std::vector<float> shown_temperatures(const sim::Snapshot& snapshot, const ViewState& view,
                                                    const FaceSurface& surface);
/// What the camera is told of what the surface mirrors, K.
[[nodiscard]] double reflected_k(const sim::Snapshot& snapshot, const ViewState& view);

/// Where the face lies in the view, pixels from the view's upper left corner.
struct FaceFrame {
  double left_px;
  double top_px;
  double px_per_m;
};
[[nodiscard]] FaceFrame face_frame(const sim::Wall& wall, const ViewSize& size);

/// A place of the view as x and y on the wall, m (or the reverse); nothing beside the face.
[[nodiscard]] std::optional<glm::dvec2> face_point(const sim::Wall& wall, ViewMode face, double x_px, double y_px,
                                                   const ViewSize& size);
[[nodiscard]] ScreenPoint face_place(const sim::Wall& wall, ViewMode face, const sim::Vec3& point_m,
                                     const ViewSize& size);

class InfraredFace {
 public:
  explicit InfraredFace(const std::filesystem::path& shaders);
  void draw(const std::shared_ptr<const sim::Snapshot>& snapshot, const FieldTextures& field, const ViewState& view,
            const ViewSize& size);
  [[nodiscard]] gl::Program& program() { return program_; }

 private:
  gl::Program program_;
  gl::VertexArray square_;
  gl::Texture surface_;
};

}  // namespace warmbay::render
