// The made-up wall of the view's tests.

#include "tests/render/view_wall.hpp"

#include <algorithm>
#include <cmath>

#include "sim/damage/state.hpp"

namespace warmbay::render::test {

namespace {

constexpr double width_m = 1.2;
constexpr double height_m = 0.8;
constexpr double board_m = 0.0127;
constexpr double depth_m = 0.1143;
constexpr double stud_m = 0.038;
constexpr double stud_every_m = (width_m - stud_m) / 3.0;

sim::Material material(const std::string& name, double density) {
  sim::Material m;
  m.name = name;
  m.conductivity_w_mk = sim::Curve(0.1);
  m.density_kg_m3 = density;
  m.heat_capacity_j_kgk = 1000.0;
  return m;
}

enum : std::uint16_t { gypsum = 0, wood, air, cellulose, foam, sheathing };

std::uint16_t material_at(const sim::Vec3& p) {
  if (p[2] < board_m) return gypsum;
  if (p[2] > depth_m - board_m) return sheathing;
  const double in_bay_m = std::fmod(p[0], stud_every_m);
  if (in_bay_m < stud_m) return wood;
  const int bay = static_cast<int>(p[0] / stud_every_m);
  if (bay == 0) return air;
  if (bay == 1) return cellulose;
  const bool channel = std::abs(p[1] - cable_y_m) < 0.008 && std::abs(p[2] - cable_z_m) < 0.008;
  return channel ? air : foam;
}

sim::Vec3 centre(const sim::Grid& grid, int i, int j, int k) {
  const auto middle = [](const std::vector<double>& edges, int n) {
    return 0.5 * (edges[static_cast<std::size_t>(n)] + edges[static_cast<std::size_t>(n) + 1]);
  };
  return {middle(grid.x_m, i), middle(grid.y_m, j), middle(grid.z_m, k)};
}

sim::Cable cable() {
  sim::CableType type;
  type.name = "flat two-core with earth";
  type.loaded = 2;
  type.conductor_m2 = 2.08e-6;
  type.earth_m2 = 2.08e-6;
  type.core_m = 0.0028;
  type.width_m = 0.0100;
  type.thickness_m = 0.0048;
  sim::Cable c;
  c.name = "feed";
  c.type = type;
  c.route_m = {{0.0, cable_y_m, cable_z_m}, {width_m, cable_y_m, cable_z_m}};
  c.flat = {sim::Axis::z};
  return c;
}

std::shared_ptr<sim::Wall> build() {
  auto wall = std::make_shared<sim::Wall>();
  const sim::GridRules rules;
  std::vector<double> x{0.0, width_m};
  for (int s = 0; s < 4; ++s) x.insert(x.end(), {s * stud_every_m, s * stud_every_m + stud_m});
  wall->grid.x_m = sim::graded_edges(x, {}, rules);
  wall->grid.y_m = sim::graded_edges({0.0, cable_y_m - 0.008, cable_y_m + 0.008, 0.6, height_m},
                                     {{cable_y_m - 0.008, cable_y_m + 0.008}}, rules);
  wall->grid.z_m =
      sim::graded_edges({0.0, board_m, cable_z_m - 0.008, 0.06, cable_z_m + 0.008, depth_m - board_m, depth_m},
                        {{cable_z_m - 0.008, cable_z_m + 0.008}}, rules);
  wall->materials = {material("gypsum board", 800.0),
                     material("softwood", 450.0),
                     material("still air", 1.2),
                     material("loose cellulose", 45.0),
                     material("extruded polystyrene", 32.0),
                     material("OSB", 650.0)};
  wall->materials[air].air_space = true;
  wall->surroundings = {{"room", sim::kelvin_from_celsius(5.0)}};
  wall->faces[static_cast<std::size_t>(sim::Side::room)] = 0;
  wall->faces[static_cast<std::size_t>(sim::Side::far)] = 0;
  wall->cables = {cable()};
  wall->voxels.resize(wall->grid.count());
  for (int k = 0; k < wall->grid.nz(); ++k) {
    for (int j = 0; j < wall->grid.ny(); ++j) {
      for (int i = 0; i < wall->grid.nx(); ++i) {
        wall->voxels[wall->grid.at(i, j, k)] = {material_at(centre(wall->grid, i, j, k)), false};
      }
    }
  }
  return wall;
}

std::shared_ptr<const sim::Snapshot> filled(const std::shared_ptr<const sim::Wall>& wall,
                                            double (*at)(const sim::Vec3&, double), double all_k) {
  auto snapshot = std::make_shared<sim::Snapshot>();
  snapshot->wall = wall;
  snapshot->conditions = sim::initial_conditions(*wall);
  snapshot->temperature_k.resize(wall->grid.count());
  for (int k = 0; k < wall->grid.nz(); ++k) {
    for (int j = 0; j < wall->grid.ny(); ++j) {
      for (int i = 0; i < wall->grid.nx(); ++i) {
        const std::size_t n = wall->grid.at(i, j, k);
        snapshot->temperature_k[n] = static_cast<float>(
            wall->voxels[n].outside ? sim::kelvin_from_celsius(5.0) : at(centre(wall->grid, i, j, k), all_k));
      }
    }
  }
  sim::CableLine line;
  for (int i = 0; i <= 120; ++i) {
    const double along_m = width_m * i / 120.0;
    const double sheath_k = at({along_m, cable_y_m, cable_z_m}, all_k);
    line.along_m.push_back(static_cast<float>(along_m));
    line.sheath_k.push_back(static_cast<float>(sheath_k));
    line.conductor_k.push_back(static_cast<float>(sheath_k + 0.12 * (sheath_k - 293.15)));
  }
  snapshot->lines.push_back(line);
  return snapshot;
}

}  // namespace

double formula_k(const sim::Vec3& p) {
  // Smooth steps from bay to bay, as wide as the spread of heat along copper.
  const auto bell = [&](double middle_m, double height_k, double spread_m) {
    const double along = std::abs(p[0] - middle_m) / (0.5 * stud_every_m);
    const double weight = 1.0 / (1.0 + std::pow(along, 6.0));
    const double away_m = std::hypot(p[1] - cable_y_m, 1.6 * (p[2] - cable_z_m));
    return weight * height_k * std::exp(-away_m / spread_m);
  };
  const double start = 0.5 * stud_m;
  return sim::kelvin_from_celsius(24.0 - 6.0 * p[2] / depth_m) + bell(start + 0.5 * stud_every_m, 18.0, 0.09) +
         bell(start + 1.5 * stud_every_m, 42.0, 0.06) + bell(start + 2.5 * stud_every_m, 74.0, 0.045);
}

std::shared_ptr<const sim::Wall> three_bays() {
  return build();
}

std::shared_ptr<const sim::Wall> three_bays_with_recess() {
  auto wall = build();
  for (int k = 0; k < wall->grid.nz(); ++k) {
    for (int j = 0; j < wall->grid.ny(); ++j) {
      for (int i = 0; i < wall->grid.nx(); ++i) {
        const sim::Vec3 p = centre(wall->grid, i, j, k);
        if (p[0] > 2.0 * stud_every_m && p[1] > 0.6 && p[2] < 0.06) wall->voxels[wall->grid.at(i, j, k)] = {0, true};
      }
    }
  }
  return wall;
}

std::shared_ptr<const sim::Snapshot> warm(const std::shared_ptr<const sim::Wall>& wall) {
  return filled(
      wall, [](const sim::Vec3& p, double) { return formula_k(p); }, 0.0);
}

std::shared_ptr<const sim::Snapshot> even(const std::shared_ptr<const sim::Wall>& wall, double all_k) {
  return filled(
      wall, [](const sim::Vec3&, double k) { return k; }, all_k);
}

std::shared_ptr<const sim::Snapshot> damaged(const std::shared_ptr<const sim::Wall>& wall, double short_at_m) {
  auto snapshot = std::make_shared<sim::Snapshot>(*warm(wall));
  snapshot->states.assign(wall->grid.count(), sim::VoxelState::sound);
  for (int k = 0; k < wall->grid.nz(); ++k) {
    for (int j = 0; j < wall->grid.ny(); ++j) {
      for (int i = 0; i < wall->grid.nx(); ++i) {
        const sim::Vec3 p = centre(wall->grid, i, j, k);
        const double away_m = std::hypot(p[1] - cable_y_m, p[2] - cable_z_m);
        const std::size_t n = wall->grid.at(i, j, k);
        const sim::Voxel& voxel = wall->voxels[n];
        if (voxel.outside) continue;
        if (voxel.index == foam && away_m < void_m) {
          snapshot->states[n] = sim::VoxelState::gone;
          snapshot->reading.void_m3 +=
              (wall->grid.x_m[static_cast<std::size_t>(i) + 1] - wall->grid.x_m[static_cast<std::size_t>(i)]) *
              (wall->grid.y_m[static_cast<std::size_t>(j) + 1] - wall->grid.y_m[static_cast<std::size_t>(j)]) *
              (wall->grid.z_m[static_cast<std::size_t>(k) + 1] - wall->grid.z_m[static_cast<std::size_t>(k)]);
        }
        if (voxel.index == foam && away_m >= void_m && away_m < void_m + melt_m)
          snapshot->states[n] = sim::VoxelState::melt;
        if (voxel.index == wood && away_m < void_m) snapshot->states[n] = sim::VoxelState::charred;
      }
    }
  }
  auto damage = std::make_shared<sim::DamageState>();
  damage->cables.resize(1);
  damage->cables[0].worn.assign(snapshot->lines[0].along_m.size(), 0.0);
  if (short_at_m >= 0.0) damage->cables[0].short_node = static_cast<int>(std::lround(short_at_m / width_m * 120.0));
  snapshot->damage = damage;
  snapshot->reading.cables.resize(1);
  snapshot->reading.cables[0].hottest_at_m = 1.0;
  return snapshot;
}

}  // namespace warmbay::render::test
