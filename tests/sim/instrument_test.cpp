// What instruments read off a field that is known point by point.

#include "sim/instrument.hpp"

#include <cmath>

#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

struct Read {
  std::shared_ptr<const sim::Wall> wall;
  sim::Crew crew{1};
  sim::Conduction conduction;
  sim::Field rise_k;

  explicit Read(sim::Wall described) : wall(share(std::move(described))), conduction(wall, crew) {
    rise_k.assign(conduction.layout().size, 0.0F);
    conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, rise_k);
  }

  /// Sets every voxel by its middle.
  template <class Value>
  void fill(const Value& value) {
    const sim::Grid& grid = wall->grid;
    for (int k = 0; k < grid.nz(); ++k)
      for (int j = 0; j < grid.ny(); ++j)
        for (int i = 0; i < grid.nx(); ++i) {
          const auto middle = [](const std::vector<double>& edges, int n) {
            return 0.5 * (edges[static_cast<std::size_t>(n)] + edges[static_cast<std::size_t>(n) + 1]);
          };
          rise_k[conduction.layout().at(i, j, k)] =
              static_cast<float>(value(sim::Vec3{middle(grid.x_m, i), middle(grid.y_m, j), middle(grid.z_m, k)}));
        }
  }
};

}  // namespace

TEST_CASE("a thermocouple between two materials reads what one flow through both makes of their boundary") {
  // Two layers of 40 mm, k 0.2 and 0.05 W/(m K), 30 K and 10 K on their far sides by films of 10 W/(m2 K): one
  // dimension, R = 0.1 + 0.2 + 0.8 + 0.1 = 1.2 m2K/W, 16.6667 W/m2.
  sim::Grid grid;
  grid.x_m = grid.y_m = even_edges(0.02, 2);
  grid.z_m = even_edges(0.08, 4);
  sim::Wall wall = block(std::move(grid), material("board", 0.2, 900.0, 1000.0));
  paint_box(wall, {0.0, 0.0, 0.04}, {0.02, 0.02, 0.08}, material("foam", 0.05, 30.0, 1450.0));
  expose(wall, sim::Side::room, add_film(wall, "room", sim::datum_k + 30.0, 10.0));
  expose(wall, sim::Side::far, add_film(wall, "outside", sim::datum_k + 10.0, 10.0));
  Read read(std::move(wall));
  const double flow_w_m2 = 20.0 / 1.2;
  const auto exact_k = [&](double z_m) {
    const double r = z_m < 0.04 ? 0.1 + z_m / 0.2 : 0.3 + (z_m - 0.04) / 0.05;
    return 30.0 - flow_w_m2 * r;
  };
  read.fill([&](const sim::Vec3& at_m) { return exact_k(at_m[2]); });
  read.conduction.refresh_all(read.rise_k);
  // On the boundary, on both faces, in the middle of a voxel and between. Floats near 20 K: 1e-5 K.
  for (const double z_m : {0.0, 0.004, 0.01, 0.02, 0.033, 0.04, 0.042, 0.05, 0.06, 0.071, 0.08}) {
    INFO("at a depth of " << z_m << " m");
    CHECK(sim::point_rise_k(read.conduction, read.rise_k, {0.011, 0.009, z_m}) == Approx(exact_k(z_m)).margin(2e-5));
  }
}

TEST_CASE("a reading on a cable lies between its nodes, and its sheath's is the mean by area") {
  Read read(channel_wall());
  const sim::CopperLine& line = read.conduction.copper().lines[0];
  const auto value = [](std::size_t node) { return 10.0 + static_cast<double>(node * node); };
  for (const std::size_t n : {0UL, 5UL, 11UL}) {
    const double from_m = line.along_m[n], to_m = line.along_m[n + 1];
    CHECK(sim::along_line(line, value, from_m) == Approx(value(n)));
    CHECK(sim::along_line(line, value, from_m + 0.25 * (to_m - from_m)) ==
          Approx(0.75 * value(n) + 0.25 * value(n + 1)));
  }
  CHECK(sim::along_line(line, value, -1.0) == value(0));
  CHECK(sim::along_line(line, value, 9.0) == value(line.along_m.size() - 1));
  CHECK(sim::nearest_node(line, 0.6 * line.along_m[7] + 0.4 * line.along_m[8]) == 7);
  CHECK(sim::nearest_node(line, 0.4 * line.along_m[7] + 0.6 * line.along_m[8]) == 8);
  // A field that rises along z by 1000 K/m about the cable's axis: the sheath lies evenly on both sides of it.
  read.fill([&](const sim::Vec3& at_m) { return 20.0 + 1000.0 * (at_m[2] - read.wall->cables[0].route_m[0][2]); });
  CHECK(sim::sheath_rise_k(line, read.rise_k, 3) == Approx(20.0).margin(1e-3));
  // By area: the shares of voxels of different size are those of their cross-sections.
  double area_m2 = 0.0, weighted = 0.0;
  for (int l = line.first_link[3]; l < line.first_link[4]; ++l) {
    const sim::SheathLink& link = line.links[static_cast<std::size_t>(l)];
    const auto ijk = read.conduction.layout().place(link.voxel);
    read.rise_k[link.voxel] = static_cast<float>(ijk[1] * ijk[1] + ijk[2]);
    const double across_m2 = read.conduction.volume_m3(link.voxel);
    area_m2 += across_m2;
    weighted += across_m2 * read.rise_k[link.voxel];
  }
  CHECK(sim::sheath_rise_k(line, read.rise_k, 3) == Approx(weighted / area_m2).epsilon(1e-6));
}

TEST_CASE("a slipped thermocouple reads its share of the far side of the air, the rest of the sheath") {
  sim::Wall wall = channel_wall();
  for (sim::Material& of : wall.materials) of.air_space = of.name == "still air";
  Read read(std::move(wall));
  read.fill([](const sim::Vec3&) { return 30.0; });
  sim::HeatState heat;
  heat.rise_k = read.rise_k;
  const sim::CopperLine& line = read.conduction.copper().lines[0];
  for (const sim::SheathLink& link : line.links) heat.rise_k[link.voxel] = 80.0F;
  heat.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 95.0);
  sim::Thermocouple spot = read.wall->thermocouples[1];
  REQUIRE(spot.cable == 0);
  REQUIRE_FALSE(spot.on_conductor);
  CHECK(sim::junction_rise_k(read.conduction, heat, spot, 0.0) == Approx(80.0).epsilon(1e-6));
  CHECK(sim::junction_rise_k(read.conduction, heat, spot, 0.1) == Approx(0.9 * 80.0 + 0.1 * 30.0).epsilon(1e-6));
  spot.on_conductor = true;
  CHECK(sim::junction_rise_k(read.conduction, heat, spot, 0.0) == Approx(95.0).epsilon(1e-6));
}
