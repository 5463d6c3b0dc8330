// Paints by voxel centres. Every boundary of the scene is a grid plane (grid_lines.hpp), so a voxel is of one make and
// what is painted does not depend on the size of the voxels.

#include "scenes/paint/painter.hpp"

#include <cassert>
#include <map>

#include "scenes/paint/cable_fit.hpp"
#include "scenes/paint/grid_lines.hpp"
#include "scenes/paint/regions.hpp"
#include "scenes/read/by_name.hpp"

namespace warmbay::scenes {

namespace {

/// Voxels from `first` to before `last` along one axis.
struct Span {
  int first;
  int last;
};

/// The voxels whose centres lie between two coordinates, m.
Span span_of(const std::vector<double>& edges_m, double from_m, double to_m) {
  const auto first_centre_above = [&](double coordinate_m) {
    int i = 0;
    const int count = static_cast<int>(edges_m.size()) - 1;
    while (i < count &&
           0.5 * (edges_m[static_cast<std::size_t>(i)] + edges_m[static_cast<std::size_t>(i) + 1]) < coordinate_m) {
      ++i;
    }
    return i;
  };
  return {first_centre_above(from_m), first_centre_above(to_m)};
}

class Brush {
 public:
  Brush(const Scene& scene, const DataFiles& data, sim::Wall& wall) : scene_(scene), data_(data), wall_(wall) {}

  void paint_layers() {
    double front_m = 0.0;
    for (const auto& layer : scene_.wall.layers) {
      const double back_m = front_m + layer.thickness_m;
      fill({0.0, 0.0, front_m}, {scene_.wall.width_m, scene_.wall.height_m, back_m}, material(layer.material));
      if (layer.studs) {
        for (const auto& stud : studs_m(*layer.studs, scene_.wall.width_m)) {
          fill({stud.from_m, 0.0, front_m}, {stud.to_m, scene_.wall.height_m, back_m}, material(layer.studs->material));
        }
      }
      front_m = back_m;
    }
  }

  void paint_boxes() {
    for (const auto& box : scene_.boxes) {
      const bool outside = !box.surroundings.empty();
      fill(box.from_m, box.to_m, outside ? sim::Voxel{surroundings(box.surroundings), true} : material(box.material));
    }
  }

  /// Index into Wall::surroundings.
  [[nodiscard]] std::uint16_t surroundings(const std::string& name) const {
    const int found = index_by_name(wall_.surroundings, name);
    assert(found >= 0);
    return static_cast<std::uint16_t>(found);
  }

 private:
  /// The voxel of a material, which joins Wall::materials when it is first used.
  sim::Voxel material(const std::string& name) {
    const auto [found, fresh] = index_.try_emplace(name, static_cast<std::uint16_t>(wall_.materials.size()));
    if (fresh) wall_.materials.push_back(material_of(scene_, data_, name));
    return {found->second, false};
  }

  void fill(const sim::Vec3& from_m, const sim::Vec3& to_m, sim::Voxel voxel) {
    const auto& grid = wall_.grid;
    const auto x = span_of(grid.x_m, from_m[0], to_m[0]);
    const auto y = span_of(grid.y_m, from_m[1], to_m[1]);
    const auto z = span_of(grid.z_m, from_m[2], to_m[2]);
    for (int k = z.first; k < z.last; ++k) {
      for (int j = y.first; j < y.last; ++j) {
        for (int i = x.first; i < x.last; ++i) wall_.voxels[grid.at(i, j, k)] = voxel;
      }
    }
  }

  const Scene& scene_;
  const DataFiles& data_;
  sim::Wall& wall_;
  std::map<std::string, std::uint16_t> index_;
};

std::vector<sim::Thermocouple> thermocouples_of(const Scene& scene) {
  std::vector<sim::Thermocouple> placed;
  for (const auto& spot : scene.thermocouples) {
    const int cable = spot.on.empty() ? -1 : index_by_name(scene.cables, spot.on);
    placed.push_back({spot.name, cable, spot.on_conductor, spot.along_m, spot.at_m, spot.slips});
  }
  return placed;
}

}  // namespace

std::shared_ptr<const sim::Wall> paint(const Scene& scene, const DataFiles& data) {
  auto wall = std::make_shared<sim::Wall>();
  wall->grid = lay_grid(grid_lines(scene, data), scene.grid);
  wall->voxels.resize(wall->grid.count());
  wall->surroundings = scene.surroundings;
  Brush brush(scene, data, *wall);
  brush.paint_layers();
  brush.paint_boxes();
  for (std::size_t side = 0; side < scene.faces.size(); ++side) {
    if (!scene.faces[side].empty()) wall->faces[side] = brush.surroundings(scene.faces[side]);
  }
  for (const auto& run : scene.cables) wall->cables.push_back(fit_cable(scene, data, run));
  wall->thermocouples = thermocouples_of(scene);
  wall->damage = data.damage;
  wall->mains.voltage_v = scene.supply.voltage_v.value_or(wall->mains.voltage_v);
  wall->mains.source_ohm = data.source_ohm;
  wall->devices = data.devices;
  return wall;
}

}  // namespace warmbay::scenes
