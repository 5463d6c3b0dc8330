// A scene text is read or refused with places; one that is read is the same when it is written and read again, and
// what it paints is a wall.

#include <fmt/format.h>

#include "scenes/file/scene_file.hpp"
#include "scenes/paint/grid_lines.hpp"
#include "scenes/paint/painter.hpp"
#include "tests/fuzz/held.hpp"
#include "tests/fuzz/inputs.hpp"

namespace warmbay::fuzz {

namespace {

constexpr double voxels_to_paint = 2e4;  // a wall of more takes longer than a thousand texts

std::string wrong_when_written(const scenes::Scene& scene) {
  const std::string written = scenes::write_scene(scene);
  const auto again = scenes::read_scene_text(written, "written", shipped());
  if (!again.faults.empty()) return "what was written is refused: " + scenes::to_line(again.faults.front());
  if (*again.scene != scene) return "what was written reads as another scene";
  if (scenes::write_scene(*again.scene) != written) return "what was written is written differently the next time";
  return {};
}

std::string wrong_when_painted(const scenes::Scene& scene) {
  double voxels = 1.0;
  for (const auto& lines : scenes::grid_lines(scene, shipped())) voxels *= scenes::expected_edges(lines, scene.grid);
  if (voxels > voxels_to_paint) return {};
  const auto wall = scenes::paint(scene, shipped());
  const sim::Grid& grid = wall->grid;
  for (const auto* edges : {&grid.x_m, &grid.y_m, &grid.z_m})
    for (std::size_t n = 1; n < edges->size(); ++n)
      if (!((*edges)[n] > (*edges)[n - 1])) return fmt::format("edge {} of the painted grid does not rise", n);
  return wall->voxels.size() == grid.count() ? "" : "the painted wall has not one voxel per cell";
}

}  // namespace

std::string broken_scene(std::string_view bytes) {
  const auto read = scenes::read_scene_text(bytes, "input", shipped());
  if (read.scene.has_value() != read.faults.empty()) return "neither a scene nor a fault, or both";
  if (!read.scene) return wrong_faults(read.faults, bytes, "input");
  std::string wrong = wrong_when_written(*read.scene);
  return wrong.empty() ? wrong_when_painted(*read.scene) : wrong;
}

}  // namespace warmbay::fuzz
