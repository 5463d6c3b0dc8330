// Damage of voxels by themselves, against closed forms: collapse, where melt goes, what conducts afterwards.

#include "sim/damage/wall_damage.hpp"

#include <cmath>

#include "sim/limits.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double gas_constant_j_molk = 8.314462618;  // CODATA 2018
constexpr double collapses_k = 378.15;
constexpr double energy_j_mol = 3.0e5;

sim::Material thermoplastic_foam() {
  sim::Material foam = material("foam", 0.03, 40.0, 1500.0);
  sim::Damage damage;
  damage.collapse = sim::Collapse{120.0, collapses_k, energy_j_mol, 340.15, 1.8e4, 1050.0, 0.15};
  foam.damage = std::make_shared<const sim::Damage>(damage);
  return foam;
}

/// A block of foam, 7 by 7 by 7 voxels: 10 mm wide along x and y, 12 mm along z.
sim::Wall foam_block() {
  sim::Grid grid;
  grid.x_m = even_edges(0.07, 7);
  grid.y_m = even_edges(0.07, 7);
  grid.z_m = even_edges(0.084, 7);
  return block(std::move(grid), thermoplastic_foam());
}

/// A wall with its damage, all voxels as warm as asked.
struct Damaged {
  std::shared_ptr<const sim::Wall> wall;
  sim::Crew crew{1};
  sim::Conduction conduction;
  sim::WallDamage damage;
  sim::DamageState state;
  sim::HeatState heat;

  Damaged(sim::Wall described, double temperature_k)
      : wall(share(std::move(described))), conduction(wall, crew), damage(conduction, crew) {
    state.told_material.assign(wall->materials.size(), 0);
    state.told_cable.assign(wall->cables.size(), 0);
    heat.rise_k.assign(conduction.layout().size, static_cast<float>(temperature_k - sim::datum_k));
    heat.change_k.assign(conduction.layout().size, 0.0F);
    damage.look(heat.rise_k, state);
  }

  sim::DamageCell& cell_at(int i, int j, int k) {
    const std::size_t voxel = conduction.layout().at(i, j, k);
    for (sim::DamageCell& cell : state.cells)
      if (cell.voxel == voxel) return cell;
    FAIL("no cell at " << i << ", " << j << ", " << k);
    return state.cells.front();
  }
};

}  // namespace

TEST_CASE("foam collapses at its Arrhenius rate in the middle of a step, and takes up its heat once") {
  for (const double change_k : {0.0, 6.0}) {
    Damaged foam(foam_block(), collapses_k + 0.5 * change_k);
    std::fill(foam.heat.change_k.begin(), foam.heat.change_k.end(), static_cast<float>(change_k));
    foam.damage.step(foam.heat, 60.0, foam.state);
    const sim::DamageCell& cell = foam.cell_at(3, 3, 3);
    // Half a minute of two: 1 - exp(-60 / 120), whatever the temperature at the step's end.
    INFO("warmer by " << change_k << " K in the step");
    CHECK(cell.collapsed == Approx(1.0 - std::exp(-0.5)).epsilon(1e-3));
    // 18 kJ per kg that collapses, from 1500 J/(kg K): 12 K in all.
    const double colder_k = collapses_k + 0.5 * change_k - sim::datum_k - foam.heat.rise_k[cell.voxel];
    CHECK(colder_k == Approx(12.0 * cell.collapsed).margin(1e-3));
    const double whole_kg = 40.0 * 0.07 * 0.07 * 0.084;
    CHECK(foam.state.taken_up_j == Approx(1.8e4 * whole_kg * cell.collapsed).epsilon(1e-4));
  }
  // Ten kelvin colder it takes longer by exp(E / R (1 / T - 1 / T0)), and below from_k for good.
  Damaged cool(foam_block(), collapses_k - 10.0);
  cool.damage.step(cool.heat, 60.0, cool.state);
  const double slower = std::exp(energy_j_mol / gas_constant_j_molk * (1.0 / (collapses_k - 10.0) - 1.0 / collapses_k));
  CHECK(cool.cell_at(3, 3, 3).collapsed == Approx(0.5 / slower).epsilon(0.02));
  CHECK(Damaged(foam_block(), 339.0).state.cells.empty());
}

TEST_CASE("melt goes in equal parts to the nearest foam that stands, and none of it is lost") {
  Damaged foam(foam_block(), 341.0);
  const float own_kg = foam.cell_at(3, 3, 3).sound_kg;
  foam.cell_at(3, 3, 3).collapsed = 1.0F;
  std::vector<sim::Occurrence> seen;
  CHECK(foam.damage.draw_back(foam.heat.rise_k, 10.0, foam.state, seen).size() == 1);
  CHECK(foam.cell_at(3, 3, 3).state == sim::VoxelState::gone);
  CHECK(foam.cell_at(3, 3, 3).mass_kg == 0.0F);
  // Four neighbours are 10 mm away along x and y; those along z, 12 mm away, get nothing.
  for (const auto& [i, j] : {std::pair{2, 3}, {4, 3}, {3, 2}, {3, 4}})
    CHECK(foam.cell_at(i, j, 3).mass_kg == Approx(1.25 * own_kg));
  for (const int k : {2, 4}) CHECK(foam.cell_at(3, 3, k).mass_kg == own_kg);
  // The next one's plastic, with what came to it: 1.25 parts, of which its three neighbours that stand get a third
  // each.
  foam.cell_at(4, 3, 3).collapsed = 1.0F;
  CHECK(foam.damage.draw_back(foam.heat.rise_k, 20.0, foam.state, seen).size() == 1);
  for (const auto& [i, j] : {std::pair{5, 3}, {4, 2}, {4, 4}})
    CHECK(foam.cell_at(i, j, 3).mass_kg == Approx((1.0 + 1.25 / 3.0) * own_kg));
  double all_kg = 0.0;
  for (const sim::DamageCell& cell : foam.state.cells) all_kg += cell.mass_kg;
  CHECK(all_kg == Approx(7.0 * 7.0 * 7.0 * own_kg).epsilon(1e-5));
  REQUIRE(seen.size() == 1);
  CHECK(seen[0].what == sim::Happening::melt_back);
  CHECK(foam.state.void_m3 == Approx(2.0 * 0.01 * 0.01 * 0.012));
}

TEST_CASE("melt makes foam conduct better by two thirds of the plastic that has come to it") {
  // Glicksman, in Hilyard & Cunningham (1994): of plastic that lies about at random two thirds lie along the heat's
  // way.
  Damaged foam(foam_block(), 341.0);
  const std::size_t voxel = foam.conduction.layout().at(4, 3, 3);
  CHECK(foam.conduction.conductivity_w_mk(voxel, sim::Axis::x, 48.0F) == Approx(0.03).epsilon(1e-4));
  // Enough melt for a fifth of the voxel: four times that comes from a neighbour that hands it on to four.
  foam.cell_at(3, 3, 3).mass_kg = static_cast<float>(4.0 * 0.2 * 1050.0 * 0.01 * 0.01 * 0.012);
  foam.cell_at(3, 3, 3).collapsed = 1.0F;
  std::vector<sim::Occurrence> seen;
  (void)foam.damage.draw_back(foam.heat.rise_k, 10.0, foam.state, seen);
  CHECK(foam.cell_at(4, 3, 3).state == sim::VoxelState::melt);
  CHECK(foam.cell_at(4, 3, 3).level == 4);  // of five per cent each
  foam.conduction.refresh_all(foam.heat.rise_k);
  CHECK(foam.conduction.conductivity_w_mk(voxel, sim::Axis::x, 48.0F) ==
        Approx(0.03 + 2.0 / 3.0 * 0.2 * 0.15).epsilon(1e-3));
}

TEST_CASE("a board that has given off its water conducts as the dried one, on its way there by its share") {
  for (const double share : {0.75, 1.0}) {
    sim::Material board = material("board", 0.25, 900.0, 1000.0);
    sim::Damage damage;
    damage.processes = {{"water", sim::Process::Kind::band, 0.0, 0.0, 340.0, 350.0, 0.1, 0.0, 0.0, false}};
    damage.changed_conductivity_w_mk = sim::Curve(0.12);
    damage.changed_by = 0;
    board.damage = std::make_shared<const sim::Damage>(damage);
    sim::Wall wall = foam_block();
    wall.materials[0] = board;
    Damaged dried(std::move(wall), 340.0 + 10.0 * share);
    dried.damage.step(dried.heat, 10.0, dried.state);
    const sim::DamageCell& cell = dried.cell_at(3, 3, 3);
    INFO("dried by " << share);
    CHECK(cell.extent[0] == Approx(share).epsilon(1e-3));
    CHECK(cell.state == sim::VoxelState::dried);
    dried.conduction.refresh_all(dried.heat.rise_k);
    CHECK(dried.conduction.conductivity_w_mk(cell.voxel, sim::Axis::y, 50.0F) ==
          Approx((1.0 - share) * 0.25 + share * 0.12).epsilon(1e-3));
    // A tenth of it is water that has left, or three quarters of that.
    CHECK(dried.conduction.capacity()[cell.voxel] ==
          Approx((1.0 - 0.1 * share) * 900.0 * 1000.0 * 0.01 * 0.01 * 0.012).epsilon(1e-4));
  }
}

TEST_CASE("the cross-section of the void beside a cable is that of the slab that a place on the cable lies in") {
  sim::Wall wall = frail_wall();
  Damaged foam(std::move(wall), 360.0);
  const sim::CopperLine& line = foam.conduction.copper().lines[0];
  const std::size_t here = line.links[static_cast<std::size_t>(line.first_link[4])].voxel;
  CHECK(foam.damage.void_across_m2(foam.state, here) == 0.0);
  const auto slab_of = [&](std::size_t voxel) { return foam.conduction.layout().place(voxel)[0]; };
  const double slab_m = foam.wall->grid.x_m[static_cast<std::size_t>(slab_of(here)) + 1] -
                        foam.wall->grid.x_m[static_cast<std::size_t>(slab_of(here))];
  double expected_m2 = 0.0;
  int gone = 0;
  for (sim::DamageCell& cell : foam.state.cells) {
    if (foam.wall->materials[cell.material].name != "foam" || ++gone % 5 != 0) continue;
    cell.state = sim::VoxelState::gone;
    if (slab_of(cell.voxel) == slab_of(here)) expected_m2 += foam.conduction.volume_m3(cell.voxel) / slab_m;
  }
  REQUIRE(expected_m2 > 0.0);
  CHECK(foam.damage.void_across_m2(foam.state, here) == Approx(expected_m2).epsilon(1e-9));
}
