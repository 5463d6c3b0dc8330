#include "tests/support/walls.hpp"

#include <algorithm>
#include <utility>

namespace warmbay::tests {
namespace {

template <typename Visit>
void each_voxel(const sim::Grid& grid, Visit visit) {
  for (int k = 0; k < grid.nz(); ++k) {
    for (int j = 0; j < grid.ny(); ++j) {
      for (int i = 0; i < grid.nx(); ++i) {
        visit(grid.at(i, j, k), sim::Vec3{0.5 * (grid.x_m[i] + grid.x_m[i + 1]), 0.5 * (grid.y_m[j] + grid.y_m[j + 1]),
                                          0.5 * (grid.z_m[k] + grid.z_m[k + 1])});
      }
    }
  }
}

int add_surroundings(sim::Wall& wall, const std::string& name, double temperature_k, sim::Film film,
                     double film_w_m2k) {
  wall.surroundings.push_back({name, temperature_k, film, film_w_m2k});
  return static_cast<int>(wall.surroundings.size()) - 1;
}

/// Sizes of voxels that grow away from a fine zone until they fill length_m, scaled to fit it exactly.
std::vector<double> growing_sizes(double length_m, double first_m, double growth, double coarse_m) {
  std::vector<double> sizes;
  double filled = 0.0;
  for (double size = first_m; filled < length_m - 1e-12; size = std::min(size * growth, coarse_m)) {
    sizes.push_back(size);
    filled += size;
  }
  for (double& size : sizes) size *= length_m / filled;
  return sizes;
}

}  // namespace

std::vector<double> even_edges(double length_m, int n) {
  std::vector<double> edges;
  for (int i = 0; i <= n; ++i) edges.push_back(length_m * i / n);
  return edges;
}

sim::Material material(const std::string& name, double conductivity_w_mk, double density_kg_m3,
                       double heat_capacity_j_kgk) {
  sim::Material made;
  made.name = name;
  made.conductivity_w_mk = conductivity_w_mk;
  made.density_kg_m3 = density_kg_m3;
  made.heat_capacity_j_kgk = heat_capacity_j_kgk;
  return made;
}

sim::Wall block(sim::Grid grid, const sim::Material& filling) {
  sim::Wall wall;
  wall.grid = std::move(grid);
  wall.materials.push_back(filling);
  wall.voxels.assign(wall.grid.count(), sim::Voxel{});
  return wall;
}

int paint_box(sim::Wall& wall, const sim::Vec3& from_m, const sim::Vec3& to_m, const sim::Material& filling) {
  wall.materials.push_back(filling);
  const auto index = static_cast<std::uint16_t>(wall.materials.size() - 1);
  each_voxel(wall.grid, [&](std::size_t at, const sim::Vec3& centre) {
    bool inside = true;
    for (int a = 0; a < 3; ++a) inside = inside && centre[a] > from_m[a] && centre[a] < to_m[a];
    if (inside) wall.voxels[at] = {index, false};
  });
  return index;
}

void cut_away(sim::Wall& wall, int index, const std::function<bool(const sim::Vec3&)>& inside) {
  each_voxel(wall.grid, [&](std::size_t at, const sim::Vec3& centre) {
    if (inside(centre)) wall.voxels[at] = {static_cast<std::uint16_t>(index), true};
  });
}

int add_film(sim::Wall& wall, const std::string& name, double temperature_k, double film_w_m2k) {
  return add_surroundings(wall, name, temperature_k, sim::Film::given, film_w_m2k);
}
int add_held(sim::Wall& wall, const std::string& name, double temperature_k) {
  return add_surroundings(wall, name, temperature_k, sim::Film::held, 0.0);
}
int add_natural(sim::Wall& wall, const std::string& name, double temperature_k) {
  return add_surroundings(wall, name, temperature_k, sim::Film::natural, 0.0);
}

void expose(sim::Wall& wall, sim::Side side, int surroundings) {
  wall.faces[static_cast<std::size_t>(side)] = surroundings;
}

int add_spot(sim::Wall& wall, const sim::Vec3& at_m) {
  sim::Thermocouple spot;
  spot.name = "spot " + std::to_string(wall.thermocouples.size());
  spot.at_m = at_m;
  wall.thermocouples.push_back(spot);
  return static_cast<int>(wall.thermocouples.size()) - 1;
}

int add_cable_spot(sim::Wall& wall, int cable, double along_m, bool on_conductor) {
  const int index = add_spot(wall, {});
  wall.thermocouples.back().cable = cable;
  wall.thermocouples.back().along_m = along_m;
  wall.thermocouples.back().on_conductor = on_conductor;
  return index;
}

sim::CableType round_type(const RoundCable& cable) {
  sim::CableType type;
  type.name = "round";
  type.loaded = 2;
  type.conductor_m2 = cable.conductor_m2;
  type.earth_m2 = cable.earth_m2;
  type.resistance_20_ohm_m = cable.resistance_20_ohm_m;
  type.core_m = cable.core_m;
  type.width_m = cable.sheath_m;
  type.thickness_m = cable.sheath_m;
  type.insulation = cable.plastic;
  type.sheath = cable.plastic;
  type.rated_k = sim::kelvin_from_celsius(70.0);
  return type;
}

int add_cable(sim::Wall& wall, const std::string& name, const sim::CableType& type, std::vector<sim::Vec3> route_m) {
  sim::Cable cable{name, type, std::move(route_m), {}};
  for (std::size_t leg = 0; leg + 1 < cable.route_m.size(); ++leg) {
    const bool along_z = cable.route_m[leg][2] != cable.route_m[leg + 1][2];
    cable.flat.push_back(along_z ? sim::Axis::y : sim::Axis::z);
  }
  wall.cables.push_back(std::move(cable));
  return static_cast<int>(wall.cables.size()) - 1;
}

std::vector<double> edges_around(double half_m, double square_m, int across, double growth, double coarse_m) {
  const double fine_m = square_m / across;
  const auto sizes = growing_sizes(half_m - 0.5 * square_m, fine_m * growth, growth, coarse_m);
  std::vector<double> edges;
  for (int i = 0; i <= across; ++i) edges.push_back(half_m - 0.5 * square_m + fine_m * i);
  for (const double size : sizes) edges.push_back(edges.back() + size);
  std::vector<double> before{edges.front()};
  for (const double size : sizes) before.push_back(before.back() - size);
  before.back() = 0.0;
  edges.back() = 2.0 * half_m;
  edges.insert(edges.begin(), before.rbegin(), before.rend() - 1);
  return edges;
}

sim::Wall channel_wall(double coarse_m, double fine_m) {
  constexpr double board_m = 0.0127, depth_m = 0.0727, width_m = 0.4, height_m = 0.2;
  constexpr double y_m = 0.1, z_m = 0.0427;              // the cable's axis
  constexpr double half_y_m = 0.0085, half_z_m = 0.006;  // of the channel
  const sim::GridRules rules{coarse_m, fine_m, 1.25};
  const sim::Interval fine_y{y_m - half_y_m, y_m + half_y_m}, fine_z{z_m - half_z_m, z_m + half_z_m};
  sim::Grid grid;
  grid.x_m = even_edges(width_m, static_cast<int>(width_m / coarse_m));
  grid.y_m = sim::graded_edges({0.0, fine_y.from_m, fine_y.to_m, height_m}, {fine_y}, rules);
  grid.z_m = sim::graded_edges({0.0, board_m, fine_z.from_m, fine_z.to_m, depth_m}, {fine_z}, rules);

  sim::Material foam = material("foam", 0.035, 25.0, 1450.0);
  foam.conductivity_w_mk = sim::Curve({283.15, 353.15}, {0.033, 0.042});
  sim::Wall wall = block(std::move(grid), foam);
  paint_box(wall, {0, 0, 0}, {width_m, height_m, board_m}, material("gypsum board", 0.16, 640.0, 1100.0));
  paint_box(wall, {0, fine_y.from_m, fine_z.from_m}, {width_m, fine_y.to_m, fine_z.to_m},
            material("still air", 0.03, 1.2, 1008.0));
  expose(wall, sim::Side::room, add_natural(wall, "room", sim::kelvin_from_celsius(24.0)));
  expose(wall, sim::Side::far, add_natural(wall, "outside", sim::kelvin_from_celsius(30.0)));

  RoundCable cable;
  cable.conductor_m2 = 2.081e-6;
  cable.earth_m2 = 2.081e-6;
  cable.resistance_20_ohm_m = 8.286e-3;
  cable.core_m = 2.6e-3;
  cable.plastic = material("pvc", 0.17, 1390.0, 900.0);
  sim::CableType type = round_type(cable);
  type.name = "flat";
  type.width_m = 0.010;
  type.thickness_m = 0.0045;
  add_cable(wall, "feed", type, {{0.0, y_m, z_m}, {width_m, y_m, z_m}});
  add_cable_spot(wall, 0, 0.5 * width_m, true);
  add_cable_spot(wall, 0, 0.5 * width_m, false);
  add_spot(wall, {0.5 * width_m, y_m, 0.0});
  add_spot(wall, {0.5 * width_m, y_m, depth_m});
  return wall;
}

sim::Wall frail_wall(double coarse_m, double fine_m) {
  using Kind = sim::Process::Kind;
  sim::Damage foam;
  foam.softens_k = sim::kelvin_from_celsius(85.0);
  foam.collapse =
      sim::Collapse{110.0, sim::kelvin_from_celsius(105.0), 3.0e5, sim::kelvin_from_celsius(75.0), 1.8e4, 1050.0, 0.16};
  foam.processes = {
      {"pyrolysis", Kind::arrhenius, 1.2e16, 2.47e5, sim::kelvin_from_celsius(250.0), 0.0, 1.0, 1.0e6, 0.18, false}};
  sim::Damage board;
  board.processes = {{"water", Kind::band, 0.0, 0.0, sim::kelvin_from_celsius(40.0), sim::kelvin_from_celsius(60.0),
                      0.15, 4.0e5, 0.0, false}};
  board.changed_conductivity_w_mk = sim::Curve(0.12);
  board.changed_by = 0;
  sim::Damage plastic;
  plastic.softens_k = sim::kelvin_from_celsius(80.0);
  plastic.processes = {
      {"fume", Kind::arrhenius, 4.0e7, 1.0e5, sim::kelvin_from_celsius(100.0), 0.0, 0.3, 7.5e4, 1.0, false},
      {"acid", Kind::arrhenius, 2.5e11, 1.5e5, sim::kelvin_from_celsius(160.0), 0.0, 0.27, 1.7e5, 0.05, true}};
  plastic.creep = sim::Creep{300.0, sim::kelvin_from_celsius(215.0), 9.0, 13.0, 170.0};
  sim::Wall wall = channel_wall(coarse_m, fine_m);
  for (sim::Material& of : wall.materials) {
    if (of.name == "foam") of.damage = std::make_shared<const sim::Damage>(foam);
    if (of.name == "gypsum board") of.damage = std::make_shared<const sim::Damage>(board);
    of.air_space = of.name == "still air";
  }
  sim::CableType& type = wall.cables[0].type;
  type.insulation.damage = type.sheath.damage = std::make_shared<const sim::Damage>(plastic);
  wall.thermocouples[1].slips = true;
  wall.damage.smoke = {3e-7, 4400.0, 30.0, 3.0, 8.0, 0.15};
  wall.damage.instruments = {2.0, 1e-4, 0.1};
  wall.damage.staple_m = 0.01;
  wall.damage.melting_copper_k = 1357.77;
  return wall;
}

std::shared_ptr<const sim::Wall> share(sim::Wall wall) {
  return std::make_shared<const sim::Wall>(std::move(wall));
}

}  // namespace warmbay::tests
