// Damage of cables by themselves: which capacity and heat a voxel keeps that several cables share, and how fast
// insulation between conductors gives way.

#include "sim/damage/cable_damage.hpp"

#include <cmath>

#include "sim/bench.hpp"
#include "sim/damage/creep.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// The frail wall with a second cable of the same make in the place of the first.
struct Twins {
  std::shared_ptr<const sim::Wall> wall;
  sim::Crew crew{1};
  sim::Conduction conduction;
  sim::CablesDamage damage;
  sim::DamageState state;

  Twins() : wall(shared_wall()), conduction(wall, crew), damage(conduction) {
    state.cables = damage.sound();
    state.told_material.assign(wall->materials.size(), 0);
    state.told_cable.assign(wall->cables.size(), 0);
  }

  static std::shared_ptr<const sim::Wall> shared_wall() {
    sim::Wall wall = frail_wall();
    sim::Cable other = wall.cables[0];
    other.name = "other";
    wall.cables.push_back(other);
    return share(std::move(wall));
  }

  [[nodiscard]] const sim::CopperLine& line(std::size_t n) const { return conduction.copper().lines[n]; }

  /// Of a voxel in the middle of both, J/K, once the state says that these shares of the fume have left the cables.
  [[nodiscard]] float capacity_j_k(float fume_of_first, float fume_of_second) {
    for (std::size_t n = 0; n < state.cables[0].insulation.size(); ++n)
      for (const auto plastics : {&sim::CableDamage::insulation, &sim::CableDamage::sheath}) {
        (state.cables[0].*plastics)[n].extent[0] = fume_of_first;
        (state.cables[1].*plastics)[n].extent[0] = fume_of_second;
      }
    damage.adopt(state);
    return conduction.capacity()[middle_voxel()];
  }

  [[nodiscard]] std::size_t middle_voxel() const { return line(0).links[line(0).links.size() / 2].voxel; }

  /// Heat in the sheaths' voxels above the datum, J.
  [[nodiscard]] double stored_j(const sim::HeatState& heat) const {
    double sum_j = 0.0;
    for (const sim::SheathLink& link : line(0).links)
      sum_j += static_cast<double>(conduction.capacity()[link.voxel]) * heat.rise_k[link.voxel];
    return sum_j;
  }

  /// The sheaths at sheath_k above the datum, the conductors of both cables at their own.
  [[nodiscard]] sim::HeatState heated(float sheath_k, double first_k, double second_k) const {
    sim::HeatState heat;
    heat.rise_k.assign(conduction.layout().size, sheath_k);
    for (const double conductor_k : {first_k, second_k})
      heat.copper_rise_k.emplace_back(static_cast<std::size_t>(line(0).nodes()), conductor_k);
    return heat;
  }
};

}  // namespace

TEST_CASE("where two cables lie in one voxel, what has left either of them is missing, in whatever order they come") {
  Twins twins;
  REQUIRE(twins.line(0).links.size() == twins.line(1).links.size());
  REQUIRE(twins.line(0).links.front().voxel == twins.line(1).links.front().voxel);
  const sim::CrossSection& section = twins.line(0).section;
  const double sound_j_k = twins.capacity_j_k(0.0F, 0.0F);
  // 0.3 of the plastics can leave as fume; 900 J/(kg K). Two equal cables: each counts for half of the voxel.
  const double fume_share =
      0.3 * 900.0 * (section.insulation_kg_m + section.sheath_kg_m) / section.sheath_capacity_j_mk;
  CHECK(twins.capacity_j_k(1.0F, 0.0F) == Approx(sound_j_k * (1.0 - 0.5 * fume_share)).epsilon(1e-5));
  CHECK(twins.capacity_j_k(0.0F, 1.0F) == twins.capacity_j_k(1.0F, 0.0F));
  CHECK(twins.capacity_j_k(1.0F, 1.0F) == Approx(sound_j_k * (1.0 - fume_share)).epsilon(1e-5));
  const float mixed_j_k = twins.capacity_j_k(0.25F, 0.7F);
  CHECK(mixed_j_k == Approx(sound_j_k * (1.0 - 0.475 * fume_share)).epsilon(1e-5));
  CHECK(twins.capacity_j_k(0.7F, 0.25F) == mixed_j_k);
}

TEST_CASE("a voxel that two cables share gives both their heat, and its books close") {
  Twins one, other;
  sim::HeatState first = one.heated(230.0F, 250.0, 260.0), swapped = other.heated(230.0F, 260.0, 250.0);
  std::vector<sim::Occurrence> seen;
  const double before_j = one.stored_j(first);
  one.damage.step(first, 5.0, 5.0, one.state, seen);
  other.damage.step(swapped, 5.0, 5.0, other.state, seen);
  REQUIRE(one.state.taken_up_j > 0.0);
  REQUIRE(one.state.with_gas_j > 0.0);
  // Floats of about 250 K are good to 1e-5 K, so the sheaths' heat to 1e-5 of what is left in them.
  CHECK(before_j - one.stored_j(first) ==
        Approx(one.state.taken_up_j + one.state.with_gas_j).margin(2e-5 / 230.0 * before_j));
  CHECK(first.rise_k == swapped.rise_k);
  CHECK(one.conduction.capacity() == other.conduction.capacity());
}

TEST_CASE("one cable alone in its voxels loses what has left it, as share of its own plastics") {
  // The heat capacity of plastics and earth: 900 J/(kg K) of what is left, 3.45e6 J/(m3 K) of 2.081 mm2 of copper.
  const auto wall = share(frail_wall());
  sim::Crew crew(1);
  sim::Conduction conduction(wall, crew);
  sim::CablesDamage damage(conduction);
  sim::DamageState state;
  state.cables = damage.sound();
  const sim::CopperLine& line = conduction.copper().lines[0];
  const double whole_kg_m = line.section.insulation_kg_m + line.section.sheath_kg_m;
  CHECK(damage.plastics_kg(state) == Approx(whole_kg_m * 0.4).epsilon(1e-9));
  for (auto* plastics : {&state.cables[0].insulation, &state.cables[0].sheath})
    for (sim::PlasticDamage& plastic : *plastics) plastic.extent = {1.0F, 1.0F, 0.0F};
  damage.adopt(state);
  CHECK(damage.plastics_kg(state) == Approx(0.43 * whole_kg_m * 0.4).epsilon(1e-6));
  double capacity_j_k = 0.0;
  for (const sim::SheathLink& link : line.links) capacity_j_k += conduction.capacity()[link.voxel];
  CHECK(capacity_j_k == Approx((0.43 * whole_kg_m * 900.0 + 3.45e6 * 2.081e-6) * 0.4).epsilon(1e-3));
}

TEST_CASE("insulation wears nothing where its compound does not yield, and above by the rate there less") {
  sim::Creep creep{300.0, 488.15, 9.0, 13.0, 170.0, sim::Curve({343.15, 363.15}, {353.15, 363.15})};
  for (const double rated_k : {343.15, 353.15, 363.15}) {
    const double yields_k = creep.yields_k.at(rated_k);
    CHECK(yields_k == Approx(353.15 + 0.5 * (rated_k - 343.15)));
    for (const double pressure : {1.0, 13.0, 170.0}) {
      CHECK(sim::wear_1_s(creep, pressure, yields_k, yields_k) == 0.0);
      CHECK(sim::wear_1_s(creep, pressure, yields_k, yields_k - 50.0) == 0.0);
      // Nine kelvin above: twice the rate where it yields, less that rate.
      const double there_1_s = pressure / 300.0 * std::exp2((yields_k - 488.15) / 9.0);
      CHECK(sim::wear_1_s(creep, pressure, yields_k, yields_k + 9.0) == Approx(there_1_s));
      CHECK(sim::wear_1_s(creep, pressure, yields_k, yields_k + 18.0) == Approx(3.0 * there_1_s));
    }
  }
  CHECK(sim::pressure_of(creep, sim::Squeeze::none) == 1.0);
  CHECK(sim::pressure_of(creep, sim::Squeeze::staple) == 13.0);
  CHECK(sim::pressure_of(creep, sim::Squeeze::pinched) == 170.0);
}

TEST_CASE(
    "on a bench a pinched cable at its rating does not wear, and 10 K hotter does, as far as the staple presses") {
  sim::Wall frail = frail_wall();
  for (sim::Material& of : frail.materials) of.damage.reset();
  sim::Damage plastic = *frail.cables[0].type.insulation.damage;
  plastic.creep->yields_k = sim::Curve({333.15, 343.15}, {343.15, 353.15});
  frail.cables[0].type.insulation.damage = std::make_shared<const sim::Damage>(plastic);
  frail.cables[0].type.rated_k = 343.15;
  frail.cables[0].squeeze = sim::Squeeze::pinched;
  frail.cables[0].squeeze_at_m = 0.2;
  const auto wall = share(std::move(frail));
  const auto worn_after = [&](double celsius) {
    sim::Bench bench = bench_at(wall, celsius, 1.0);
    bench.step();
    return bench.save().damage.cables[0].worn;
  };
  for (const double worn : worn_after(70.0)) CHECK(worn == 0.0);
  for (const double worn : worn_after(79.9)) CHECK(worn == 0.0);
  const std::vector<double> hot = worn_after(90.0);
  double least = hot[0], most = hot[0];
  std::size_t pressed = 0;
  for (const double worn : hot) {
    least = std::min(least, worn);
    most = std::max(most, worn);
    pressed += worn > 10.0 * hot[0] ? 1 : 0;
  }
  CHECK(least > 0.0);
  CHECK(most == Approx(170.0 * least).epsilon(0.01));
  // 10 mm are pressed, and of the nodes of 12.5 mm those that reach into them: one or two.
  CHECK(pressed >= 1);
  CHECK(pressed <= 2);
}

TEST_CASE("insulation fumes as hot as halfway between conductor and sheath") {
  // Fume of the frail wall: 4e7 1/s, 100 kJ/mol; first order over 20 s at 150 C.
  Twins twins;
  sim::HeatState heat = twins.heated(static_cast<float>(373.15 - 0.5 - sim::datum_k), 473.65 - sim::datum_k, 0.0);
  std::vector<sim::Occurrence> seen;
  twins.damage.step(heat, 20.0, 20.0, twins.state, seen);
  const double rate_1_s = 4e7 * std::exp(-1e5 / (8.314462618 * 423.15));
  CHECK(twins.state.cables[0].insulation[5].extent[0] == Approx(1.0 - std::exp(-20.0 * rate_1_s)).epsilon(0.01));
  CHECK(twins.state.cables[0].sheath[5].extent[0] == 0.0F);  // half a kelvin below where fuming begins
  CHECK(twins.state.cables[1].insulation[5].extent[0] == 0.0F);
}

TEST_CASE("a second short counts only where current still flows, and a single conductor never shorts") {
  Twins twins;
  std::vector<sim::Occurrence> seen;
  sim::CableDamage& cable = twins.state.cables[0];
  const auto wear_out = [&](std::size_t node) {
    cable.worn[node] = 1.5;
    sim::HeatState cold = twins.heated(0.0F, 0.0, 0.0);
    twins.damage.step(cold, 1.0, 1.0, twins.state, seen);
    return cable.short_node;
  };
  CHECK(wear_out(12) == 12);
  CHECK(wear_out(20) == 12);
  CHECK(wear_out(3) == 3);
  CHECK(seen.size() == 2);
  CHECK(seen[0].what == sim::Happening::short_circuit);

  sim::Wall single = frail_wall();
  single.cables[0].type.loaded = 1;
  sim::Crew crew(1);
  sim::Conduction conduction(share(std::move(single)), crew);
  sim::CablesDamage damage(conduction);
  sim::DamageState state;
  state.cables = damage.sound();
  state.told_cable.assign(1, 0);
  sim::HeatState hot;
  hot.rise_k.assign(conduction.layout().size, 20.0F);
  hot.copper_rise_k.emplace_back(state.cables[0].worn.size(), 280.0);
  damage.step(hot, 3600.0, 3600.0, state, seen);
  CHECK(state.cables[0].short_node == -1);
  CHECK(state.cables[0].worn[0] == 0.0);
}
