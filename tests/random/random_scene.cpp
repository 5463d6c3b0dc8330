// Parts are drawn one after the other; a scene whose file has faults, or whose voxels are out of range, is thrown away.

#include "tests/random/random_scene.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <string>

#include "scenes/file/scene_file.hpp"
#include "scenes/paint/grid_lines.hpp"

namespace warmbay::tests {
namespace {

using scenes::Scene;

constexpr double smallest_voxel_m = 0.0002, largest_voxel_m = 0.1, widest_aspect = 50.0;

/// To a tenth of a millimetre, as a person would write it.
double written_m(double length_m) {
  return std::max(1.0, std::round(length_m * 1e4)) * 1e-4;
}

sim::Curve constant(double value) {
  return sim::Curve(value);
}

std::string any_material(Dice& dice, const scenes::DataFiles& data, const RandomWalls& rules, Scene& scene) {
  if (!dice.chance(rules.extreme_share)) return dice.one_of(data.materials).material.name;
  scenes::SourcedMaterial made;
  made.material.name = "made up " + std::to_string(scene.materials.size() + 1);
  made.material.conductivity_w_mk = constant(dice.log_even(0.005, 400.0));
  made.material.density_kg_m3 = dice.log_even(1.0, 8000.0);
  made.material.heat_capacity_j_kgk = dice.even(400.0, 2500.0);
  made.source = "made up for tests";
  scene.materials.push_back(made);
  return made.material.name;
}

void add_layers(Dice& dice, const scenes::DataFiles& data, const RandomWalls& rules, Scene& scene) {
  const int layers = dice.whole(1, 4);
  for (int l = 0; l < layers; ++l) {
    scenes::Layer layer;
    layer.name = "layer " + std::to_string(l + 1);
    layer.material = any_material(dice, data, rules, scene);
    layer.thickness_m = written_m(dice.log_even(0.0003, 0.1));
    if (dice.chance(0.2)) {
      const double width_m = written_m(dice.even(0.01, 0.05));
      layer.studs = scenes::Studs{any_material(dice, data, rules, scene), width_m,
                                  width_m + written_m(dice.even(0.05, 0.3)), 0.0};
    }
    scene.wall.layers.push_back(layer);
  }
}

void add_surroundings(Dice& dice, Scene& scene) {
  const int count = dice.whole(1, 3);
  for (int s = 0; s < count; ++s) {
    sim::Surroundings around;
    around.name = "around " + std::to_string(s + 1);
    around.temperature_k = sim::kelvin_from_celsius(std::round(dice.even(-40.0, 60.0)));
    around.film = dice.chance(0.6) ? sim::Film::natural : dice.chance(0.7) ? sim::Film::given : sim::Film::held;
    if (around.film == sim::Film::given) around.film_w_m2k = std::round(dice.log_even(1.0, 100.0) * 100.0) / 100.0;
    scene.surroundings.push_back(around);
  }
  for (std::string& face : scene.faces)
    if (dice.chance(0.4)) face = dice.one_of(scene.surroundings).name;
  scene.faces[static_cast<std::size_t>(dice.whole(0, 5))] = scene.surroundings.front().name;
}

void add_boxes(Dice& dice, const scenes::DataFiles& data, const RandomWalls& rules, Scene& scene) {
  const sim::Vec3 size_m = scenes::wall_size_m(scene.wall);
  const int count = dice.whole(0, 3);
  for (int b = 0; b < count; ++b) {
    scenes::Box box;
    box.name = "box " + std::to_string(b + 1);
    if (dice.chance(0.1))
      box.surroundings = dice.one_of(scene.surroundings).name;
    else if (dice.chance(0.3))
      box.material = "still air";
    else
      box.material = any_material(dice, data, rules, scene);
    for (std::size_t d = 0; d < 3; ++d) {
      const double from_m = dice.even(0.0, 0.7) * size_m[d];
      box.from_m[d] = std::round(from_m * 1e4) * 1e-4;
      box.to_m[d] = std::min(size_m[d], box.from_m[d] + written_m(dice.even(0.1, 0.6) * size_m[d]));
    }
    box.fine = dice.chance(0.3);
    scene.boxes.push_back(box);
  }
}

void add_cables(Dice& dice, const scenes::DataFiles& data, Scene& scene) {
  const sim::Vec3 size_m = scenes::wall_size_m(scene.wall);
  const int count = dice.chance(0.75) ? dice.whole(1, 2) : 0;
  for (int c = 0; c < count; ++c) {
    scenes::CableRun cable;
    cable.name = "cable " + std::to_string(c + 1);
    cable.type = dice.one_of(data.cable_types).name;
    const std::size_t along = dice.chance(0.7) ? 0 : 1, other = 1 - along;
    sim::Vec3 from_m{};
    from_m[other] = written_m(dice.even(0.2, 0.8) * size_m[other]);
    from_m[2] = written_m(dice.even(0.1, 0.9) * size_m[2]);
    sim::Vec3 to_m = from_m;
    to_m[along] = size_m[along];
    cable.route_m = {from_m, to_m};
    if (dice.chance(0.2)) {
      cable.squeeze = dice.chance(0.5) ? sim::Squeeze::staple : sim::Squeeze::pinched;
      cable.squeeze_at_m = 0.5 * size_m[along];
    }
    scene.cables.push_back(cable);
  }
}

bool within_range(const sim::Grid& grid, int most_voxels) {
  if (grid.count() > static_cast<std::size_t>(most_voxels)) return false;
  std::array<double, 3> least_m{}, most_m{};
  for (const sim::Axis axis : {sim::Axis::x, sim::Axis::y, sim::Axis::z}) {
    const std::vector<double>& edges = grid.edges_m(axis);
    double low = 1e9, high = 0.0;
    for (std::size_t n = 0; n + 1 < edges.size(); ++n) {
      low = std::min(low, edges[n + 1] - edges[n]);
      high = std::max(high, edges[n + 1] - edges[n]);
    }
    least_m[sim::index_of(axis)] = low;
    most_m[sim::index_of(axis)] = high;
  }
  const double smallest = *std::min_element(least_m.begin(), least_m.end());
  const double largest = *std::max_element(most_m.begin(), most_m.end());
  return smallest >= 0.99 * smallest_voxel_m && largest <= 1.01 * largest_voxel_m &&
         largest <= widest_aspect * smallest * 1.01;
}

Scene try_scene(Dice& dice, const scenes::DataFiles& data, const RandomWalls& rules) {
  Scene scene;
  scene.title = "A random wall";
  scene.summary = "Made up for tests.";
  scene.wall.width_m = written_m(dice.log_even(0.04, 0.6));
  scene.wall.height_m = written_m(dice.log_even(0.04, 0.6));
  add_layers(dice, data, rules, scene);
  add_surroundings(dice, scene);
  add_boxes(dice, data, rules, scene);
  add_cables(dice, data, scene);
  const double across_m = std::max(scene.wall.width_m, scene.wall.height_m);
  scene.grid.coarse_m = std::min(largest_voxel_m, across_m / dice.even(3.0, 14.0));
  scene.grid.fine_m = std::max(smallest_voxel_m, scene.grid.coarse_m / dice.log_even(1.0, 40.0));
  scene.grid.growth = dice.even(1.3, 3.0);
  if (dice.chance(0.7)) scene.wall.start_k = sim::kelvin_from_celsius(std::round(dice.even(-20.0, 50.0)));
  return scene;
}

}  // namespace

double Dice::log_even(double low, double high) {
  return std::exp(even(std::log(low), std::log(high)));
}

Scene random_scene(Dice& dice, const scenes::DataFiles& data, const RandomWalls& rules) {
  constexpr int most_tries = 5000;
  for (int n = 0; n < most_tries; ++n) {
    const Scene scene = try_scene(dice, data, rules);
    scenes::ReadScene read = scenes::read_scene_text(scenes::write_scene(scene), "random", data);
    if (!read.scene) continue;
    const auto lines = scenes::grid_lines(*read.scene, data);
    double expected = 1.0;
    for (const scenes::GridLines& along : lines) expected *= scenes::expected_edges(along, read.scene->grid);
    if (expected > 20.0 * rules.most_voxels) continue;
    if (within_range(scenes::lay_grid(lines, read.scene->grid), rules.most_voxels)) return *read.scene;
  }
  throw std::runtime_error("no valid random wall in " + std::to_string(most_tries) + " tries");
}

}  // namespace warmbay::tests
