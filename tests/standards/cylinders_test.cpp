// Round things in a grid of boxes: shape factors, the line source, the heated core. A held cylinder is a staircase of
// voxels of surroundings cut out of the wall; a line source is a cable so thin that only its heat matters.

#include <cmath>
#include <numbers>

#include "sim/cross_section.hpp"
#include "tests/support/closed_forms.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double hot_c = 60.0, cold_c = 20.0;

/// Voxels across the radius of a staircase cylinder. Its equivalent radius is uncertain by about a quarter of a voxel,
/// so S is by 1 / (4 * 20 * ln(w/D)) or 0.5 to 1 %: the tolerance of the shape factors below.
constexpr int across_square = 44;  // over 2.2 radii
constexpr double shape_tolerance = 0.01;

/// S of the wall's hot cylinder (surroundings 0), per metre.
double shape_of(sim::Wall wall, double conductivity_w_mk) {
  const double length_m = wall.grid.x_m.back();
  const sim::Reading reading = settled_reading(share(std::move(wall)));
  return -reading.surroundings[0].heat_w / (conductivity_w_mk * (hot_c - cold_c) * length_m);
}

/// A wall along x with a hot cylinder of the given radius cut out round (y, z).
void cut_cylinder(sim::Wall& wall, double y_m, double z_m, double radius_m) {
  const int hot = add_held(wall, "cylinder", sim::kelvin_from_celsius(hot_c));
  cut_away(wall, hot, [=](const sim::Vec3& at) { return std::hypot(at[1] - y_m, at[2] - z_m) < radius_m; });
}

}  // namespace

TEST_CASE("a hot cylinder in a square bar loses heat as its shape factor says (Incropera & DeWitt table 4.1)") {
  const double radius_m = 0.01;
  for (const double ratio : {4.0, 10.0}) {
    const double half_m = ratio * radius_m;  // w = ratio * D
    const auto edges = edges_around(half_m, 2.2 * radius_m, across_square, 1.15, 0.004);
    sim::Wall wall = block({even_edges(0.01, 1), edges, edges}, material("foam", 0.035, 20.0, 1450.0));
    cut_cylinder(wall, half_m, half_m, radius_m);
    const int cold = add_held(wall, "faces", sim::kelvin_from_celsius(cold_c));
    for (const auto side : {sim::Side::bottom, sim::Side::top, sim::Side::room, sim::Side::far}) {
      expose(wall, side, cold);
    }
    INFO("w/D " << ratio);
    CHECK(shape_of(wall, 0.035) == Approx(shape_cylinder_in_square(ratio)).epsilon(shape_tolerance));
  }
}

TEST_CASE("a hot cylinder midway between two planes loses heat as its shape factor says (Incropera table 4.1)") {
  const double radius_m = 0.01, z_m = 0.04;  // z/D = 2
  const double far_m = 0.4;                  // ten times z: the field has fallen to e^(-10 pi / 2)
  const auto y = edges_around(far_m, 2.2 * radius_m, across_square, 1.15, 0.02),
             z = edges_around(z_m, 2.2 * radius_m, across_square, 1.15, 0.004);
  sim::Wall wall = block({even_edges(0.01, 1), y, z}, material("foam", 0.035, 20.0, 1450.0));
  cut_cylinder(wall, far_m, z_m, radius_m);
  const int cold = add_held(wall, "planes", sim::kelvin_from_celsius(cold_c));
  expose(wall, sim::Side::room, cold);
  expose(wall, sim::Side::far, cold);
  CHECK(shape_of(wall, 0.035) == Approx(shape_cylinder_between_planes(2.0)).epsilon(shape_tolerance));
}

TEST_CASE("a buried hot cylinder loses heat as its shape factor says (Incropera & DeWitt table 4.1)") {
  const double radius_m = 0.01, depth_m = 0.03, far_m = 1.2;  // z/D = 1.5; cutting the ground at 1.2 m costs (z/far)^2
  const auto y = edges_around(far_m, 2.2 * radius_m, across_square, 1.15, 0.05);
  auto z = edges_around(depth_m, 2.2 * radius_m, across_square, 1.15, 0.004);
  for (double size = 0.004; z.back() < far_m; size = std::min(1.15 * size, 0.05)) z.push_back(z.back() + size);
  sim::Wall wall = block({even_edges(0.01, 1), y, z}, material("ground", 0.5, 1500.0, 1000.0));
  cut_cylinder(wall, far_m, depth_m, radius_m);
  const int cold = add_held(wall, "surface", sim::kelvin_from_celsius(cold_c));
  expose(wall, sim::Side::room, cold);
  CHECK(shape_of(wall, 0.5) == Approx(shape_buried_cylinder(1.5)).epsilon(shape_tolerance));
}

TEST_CASE("a thin cable warms foam round it as a line source does (Carslaw & Jaeger 10.4)") {
  // So weak a current that the copper's resistance stays put (0.1 K: 0.04 %); the equation is linear, so the rises are
  // scaled up to the tabulated 4 W/m.
  const double ohm_m = 0.01, scale = 4000.0, current_a = std::sqrt(4.0 / scale / (2.0 * ohm_m));
  const sim::Material foam = material("foam", 0.035, 20.0, 1450.0);
  const double half_m = 0.7, square_m = 0.002;
  const auto edges = edges_around(half_m, square_m, 2, 1.06, 0.03);
  sim::Wall wall = block({even_edges(0.05, 2), edges, edges}, foam);
  RoundCable cable;
  cable.conductor_m2 = 1e-9;  // no heat capacity to speak of
  cable.resistance_20_ohm_m = ohm_m;
  cable.core_m = 0.9e-3;
  cable.sheath_m = square_m;
  cable.plastic = foam;  // the cable's own plastics are more of the same foam
  add_cable(wall, "line", round_type(cable), {{0.0, half_m, half_m}, {0.05, half_m, half_m}});
  const int at_10 = add_spot(wall, {0.025, half_m, half_m + 0.010}),
            at_50 = add_spot(wall, {0.025, half_m + 0.05, half_m});

  const auto shared = share(wall);
  sim::Bench bench = bench_at(shared, 20.0, 2.0);
  bench.set_conditions(with_current(*shared, current_a));
  const auto scaled_rise = [&](const sim::Reading& reading, int spot) {
    return scale * (reading.thermocouple_k[spot] - sim::datum_k);
  };
  const sim::Reading after_900 = read_at(bench, 900.0);
  CHECK(after_900.power_w / 0.05 * scale == Approx(4.0).epsilon(1e-3));
  CHECK(scaled_rise(after_900, at_10) == Approx(29.25940506).epsilon(0.005));
  CHECK(scaled_rise(after_900, at_50) == Approx(4.343975891).epsilon(0.01));  // on the steep flank of E1
  const sim::Reading after_3600 = read_at(bench, 3600.0);
  CHECK(scaled_rise(after_3600, at_50) == Approx(13.64741002).epsilon(0.005));
}

TEST_CASE("a cable in foam follows a heated core with heat capacity and contact resistance (Carslaw & Jaeger 13.7)") {
  // The copper is the core (60 J/(m K)), the cable's plastics are the contact (0.6 m K/W), the foam begins at the
  // sheath's surface, 3.6 mm from the axis. The plastics' own heat capacity lies at the sheath's surface, in the twin
  // as in the solver. Weak current and scaling as for the line source.
  const sim::Material foam = material("foam", 0.035, 20.0, 1450.0);
  const double half_m = 0.7, radius_m = 0.0036, scale = 4000.0, ohm_m = 0.01;
  RoundCable cable;
  cable.conductor_m2 = 60.0 / (2.0 * sim::copper_capacity_j_m3k);
  cable.resistance_20_ohm_m = ohm_m;
  cable.core_m = 3.5e-3;
  cable.sheath_m = 2.0 * radius_m;
  cable.plastic = material("contact", 1.0, 1390.0, 900.0);
  cable.plastic.conductivity_w_mk = 1.0 / (0.6 * sim::cross_section(round_type(cable)).coupling_w_mk);
  const HeatedCore twin{
      radius_m, 60.0, 0.6, 0.035, 0.035 / (20.0 * 1450.0), sim::cross_section(round_type(cable)).sheath_capacity_j_mk};

  for (const int across : {6, 12, 24}) {
    const auto edges = edges_around(half_m, 2.0 * radius_m, across, 1.15, 0.05);
    sim::Wall wall = block({even_edges(0.05, 1), edges, edges}, foam);
    add_cable(wall, "core", round_type(cable), {{0.0, half_m, half_m}, {0.05, half_m, half_m}});
    const auto shared = share(std::move(wall));
    sim::Bench bench = bench_at(shared, 20.0, 2.0);
    bench.set_conditions(with_current(*shared, std::sqrt(4.0 / scale / (2.0 * ohm_m))));
    for (const double time_s : {60.0, 300.0, 900.0, 1500.0, 3600.0}) {
      INFO(across << " voxels across the sheath, after " << time_s << " s");
      const double rise_k = scale * (read_at(bench, time_s).cables[0].hottest_k - sim::datum_k);
      // The staircase of six voxels stands for the circle within 2 %; so must every finer one.
      CHECK(rise_k == Approx(heated_core_rise_k(twin, 4.0, time_s)).epsilon(0.02));
    }
  }
}
