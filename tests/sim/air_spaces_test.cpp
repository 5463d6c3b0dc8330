// What faces round a space of air exchange through its nodes, at temperatures that are given, against closed forms.

#include "sim/air_spaces.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sim/conduction.hpp"
#include "sim/film.hpp"
#include "sim/radiant_views.hpp"
#include "sim/stepper.hpp"
#include "tests/support/air_walls.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

constexpr double sigma_w_m2k4 = 5.670374419e-8;  // CODATA 2018

/// A wall's air spaces at temperatures that a function of the padded index gives.
struct Heated {
  template <class Kelvin>
  Heated(sim::Wall wall, const Kelvin& kelvin) : crew(1), conduction(share(std::move(wall)), crew) {
    const sim::Layout& layout = conduction.layout();
    rise_k.assign(layout.size, 0.0F);
    for (std::size_t v = 0; v < layout.size; ++v)
      if (conduction.is_solid(v)) rise_k[v] = static_cast<float>(kelvin(conduction, v) - sim::datum_k);
    conduction.refresh(rise_k);
  }
  [[nodiscard]] const sim::AirSpaces& air() const { return conduction.air(); }
  /// Heat from the cables of one slab to its node (0: radiant), W.
  [[nodiscard]] double from_cable_w(std::size_t slab, int node) const {
    const std::vector<float>& g = node == 0 ? air().radiant_w_k() : air().convective_w_k();
    const sim::AirSlab& of = air().slabs()[slab];
    double through = 0.0, into = 0.0, cable = 0.0, cable_into = 0.0;
    for (std::size_t f = of.first_face; f < of.last_face; ++f) {
      const double t = rise_k[air().faces()[f].voxel];
      through += g[f], into += g[f] * t;
      if (conduction.sheath_of(air().faces()[f].voxel)) cable += g[f], cable_into += g[f] * t;
    }
    return cable_into - cable * into / through;
  }

  sim::Crew crew;
  sim::Conduction conduction;
  sim::Field rise_k;
};

auto cable_and_wall(double cable_k, double wall_k) {
  return [=](const sim::Conduction& of, std::size_t v) { return of.sheath_of(v) ? cable_k : wall_k; };
}

Annulus ring(double radius_m, double emissivity) {
  Annulus of;
  of.radius_m = radius_m;
  of.emissivity = emissivity;
  of.edges_m = even_edges(2.4 * radius_m, static_cast<int>(2.4 * radius_m / 1e-3));
  for (double& edge : of.edges_m) edge -= 1.2 * radius_m;
  return of;
}

/// A channel of width_m (z) by height_m (y) in metal round (0, 0), a cable of 8 mm in its middle along x.
sim::Wall channel(double width_m, double height_m, double cell_m = 1e-3) {
  Annulus of;
  const int cells = static_cast<int>(std::lround((std::max(width_m, height_m) + 0.02) / cell_m));
  of.edges_m = even_edges(cells * cell_m, cells);
  for (double& edge : of.edges_m) edge -= 0.5 * cells * cell_m;
  of.radius_m = 0.0;
  sim::Wall wall = annulus(of);
  paint_where(wall, still_air(),
              [&](const sim::Vec3& at) { return std::abs(at[1]) < 0.5 * height_m && std::abs(at[2]) < 0.5 * width_m; });
  return wall;
}

}  // namespace

TEST_CASE("a cable in a round hole radiates as two grey surfaces do, across 10 K and across 180 K") {
  // Incropera 13.3: q = A1 sigma (T1^4 - T2^4) / (1/e1 + (1 - e2)/e2 A1/A2). 1 %: the hole's outline, and what is left
  // of the rounds. With 4 sigma Tm^3 at the mean over all surfaces the hot cable would give 30 % too little.
  for (const double emissivity : {0.9, 0.3})
    for (const double apart_k : {10.0, 180.0})
      for (const double radius_m : {0.010, 0.020}) {
        const Heated of(annulus(ring(radius_m, emissivity)), cable_and_wall(300.0 + apart_k, 300.0));
        REQUIRE(of.air().slabs().size() == 2);
        const double length_m = of.air().slabs()[0].length_m, inner_m2 = std::numbers::pi * 0.008 * length_m;
        const double outer_m2 = 2.0 * std::numbers::pi * radius_m * length_m;
        const double exact_w = inner_m2 * sigma_w_m2k4 * (std::pow(300.0 + apart_k, 4) - std::pow(300.0, 4)) /
                               (1.0 / emissivity + (1.0 - emissivity) / emissivity * inner_m2 / outer_m2);
        INFO("emissivity " << emissivity << ", " << apart_k << " K, hole of " << radius_m << " m");
        CHECK(of.from_cable_w(0, 0) == Approx(exact_w).epsilon(0.01));
      }
}

TEST_CASE("sides that hardly conduct radiate at their surfaces' temperature, not at their voxels'") {
  // As above with foam round the hole: each surface lies between its voxel and the node. Every face by itself:
  // (T_voxel - T_surface) / R = eps' sigma (T_surface^4 - T_node^4). 1 %: what two rounds leave across 180 K.
  sim::Wall wall = annulus(ring(0.012, 0.9));
  wall.materials[0].conductivity_w_mk = 0.03;
  const Heated of(std::move(wall), cable_and_wall(480.0, 300.0));
  const sim::AirSlab& slab = of.air().slabs()[0];
  double through = 0.0, into = 0.0;
  for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
    through += of.air().radiant_w_k()[f];
    into += of.air().radiant_w_k()[f] * (sim::datum_k + of.rise_k[of.air().faces()[f].voxel]);
  }
  const double node_k = into / through;
  double sides_w = 0.0, expected_w = 0.0;
  for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
    const sim::AirFace& face = of.air().faces()[f];
    const sim::AirGroup& group = of.air().groups()[static_cast<std::size_t>(face.group)];
    if (group.cable >= 0) continue;
    const double voxel_k = sim::datum_k + of.rise_k[face.voxel];
    sides_w += of.air().radiant_w_k()[f] * (node_k - voxel_k);
    const double emits = sigma_w_m2k4 / (1.0 / group.view + 0.1 / 0.9), half_m2k_w = face.half_m / 0.03;
    double low_k = voxel_k, high_k = node_k;
    for (int halving = 0; halving < 60; ++halving) {
      const double middle_k = 0.5 * (low_k + high_k);
      const bool below = emits * (std::pow(node_k, 4) - std::pow(middle_k, 4)) > (middle_k - voxel_k) / half_m2k_w;
      (below ? low_k : high_k) = middle_k;
    }
    expected_w += face.area_m2 * (low_k - voxel_k) / half_m2k_w;
  }
  CHECK(sides_w == Approx(expected_w).epsilon(0.01));
}

TEST_CASE("three flat sides see each other as crossed strings say, two parallel ones wholly (Hottel)") {
  // Exchange area of a pair in the star: A1 F1 A2 F2 / sum of A F; of a triangle: (A1 + A2 - A3) / 2.
  for (const std::array<double, 3>& area :
       {std::array{3.0, 4.0, 5.0}, {1.0, 1.0, 1.0}, {2.0, 7.0, 8.0}, {1.0, 9.0, 9.0}}) {
    const std::vector<double> view = sim::radiant_views({{area[0]}, {area[1]}, {area[2]}});
    double sum = 0.0;
    for (int n = 0; n < 3; ++n) sum += area[n] * view[n];
    for (int n = 0; n < 3; ++n) {
      const int m = (n + 1) % 3, other = (n + 2) % 3;
      CHECK(area[n] * view[n] * area[m] * view[m] / sum ==
            Approx(0.5 * (area[n] + area[m] - area[other])).epsilon(1e-6));
    }
  }
  CHECK(sim::radiant_views({{2.0}, {2.0}}) == std::vector<double>{2.0, 2.0});
  const std::vector<double> ring_view = sim::radiant_views({{1.0}, {4.0}});  // the outer one sees itself
  CHECK(ring_view[0] == Approx(1.0).epsilon(1e-5));
  CHECK(ring_view[1] > 1e5);
  const std::vector<double> mirrored = sim::radiant_views({{1.0, 2.0}, {3.0}, {2.5}});  // counted twice: as two
  const std::vector<double> both = sim::radiant_views({{1.0}, {1.0}, {3.0}, {2.5}});
  CHECK(mirrored[0] == Approx(both[0]).epsilon(1e-9));
  CHECK(mirrored[1] == Approx(both[2]).epsilon(1e-9));
}

TEST_CASE("moving air leaves a cable as in a ring of the hole's hydraulic diameter (Raithby & Hollands 1975)") {
  struct Hole {
    sim::Wall wall;
    double outer_m;  // 4 A / P by hand
    double epsilon;  // of the outline
  };
  std::vector<Hole> holes;
  holes.push_back({annulus(ring(0.03, 0.9)), 0.06, 0.02});
  holes.push_back({channel(0.06, 0.06), 0.06, 0.01});
  holes.push_back({channel(0.09, 0.05), 4.0 * 0.09 * 0.05 / 0.28, 0.01});
  for (Hole& hole : holes) {
    const Heated of(std::move(hole.wall), cable_and_wall(350.0, 310.0));
    // As in film_test.cpp, air at 330 K by Incropera table A.4: k 0.02852, nu 18.9e-6, Pr 0.703.
    const double ri = 0.004, ro = 0.5 * hole.outer_m;
    const double long_m =
        2.0 * std::pow(std::log(ro / ri), 4.0 / 3.0) / std::pow(std::pow(ri, -0.6) + std::pow(ro, -0.6), 5.0 / 3.0);
    const double ra = 9.81 * 40.0 / 330.0 * std::pow(long_m, 3) * 0.703 / (18.9e-6 * 18.9e-6);
    const double times = 0.386 * std::pow(0.703 / (0.861 + 0.703) * ra, 0.25);
    const double extra_w_mk = 2.0 * std::numbers::pi * 0.02852 * (times - 1.0) / std::log(ro / ri);
    INFO("hole of " << hole.outer_m << " m, Nu " << times);
    REQUIRE(times > 1.3);
    // 3 %: two tables of air, raised by what still air takes off again (Nu - 1).
    CHECK(of.from_cable_w(0, 1) / of.air().slabs()[0].length_m / 40.0 ==
          Approx(extra_w_mk).epsilon(0.03 + hole.epsilon));
  }
}

TEST_CASE("the plume meets what lies above a cable: nineteen times what the floor gets (Kuehn & Goldstein 1976)") {
  const Heated of(channel(0.06, 0.06), cable_and_wall(350.0, 310.0));
  double ceiling = 0.0, floor = 0.0, side = 0.0;  // W/(m2 K), of faces away from the corners
  for (std::size_t f = 0; f < of.air().faces().size(); ++f) {
    const sim::AirFace& face = of.air().faces()[f];
    const sim::AirGroup& group = of.air().groups()[static_cast<std::size_t>(face.group)];
    const auto [i, j, k] = of.conduction.layout().place(face.voxel);
    if (group.cable >= 0 || (j < 12 || j > 68 ? k < 20 || k > 60 : j < 20 || j > 60)) continue;
    const double by_area = of.air().convective_w_k()[f] / face.area_m2;
    const bool level = group.normal == sim::Axis::y;
    (level ? j > 40 ? ceiling : floor : side) = by_area;
  }
  CHECK(ceiling / floor == Approx(19.0).epsilon(0.01));  // 1.9 of the mean above, 0.1 below, 1 beside
  CHECK(ceiling / side == Approx(1.9).epsilon(0.01));
}

TEST_CASE("beside a cable, too, air moves between a space's upright sides (ElSherbiny, Raithby & Hollands 1982)") {
  // The cable, floor and ceiling have the mean temperature of both sides: nothing moves round the cable. 50 mm by 90 mm
  // and 30 K, air at 315 K by Incropera table A.4: k 0.02741, nu 17.40e-6, Pr 0.705. Ra = 2.72e5; of the three formulas
  // the one for a low cavity gives most.
  const Heated of(channel(0.05, 0.09), [](const sim::Conduction& conduction, std::size_t v) {
    const int k = conduction.layout().place(v)[2], far = conduction.layout().nz - 1 - k;
    return k < 30 ? 300.0 : far < 30 ? 330.0 : 315.0;  // cells of 1 mm, 110 of them: 30 on either side of the channel
  });
  double through = 0.0, into = 0.0, warm = 0.0, warm_m2 = 0.0;
  for (std::size_t f = 0; f < of.air().faces().size(); ++f) {
    const sim::AirFace& face = of.air().faces()[f];
    const double g = of.air().convective_w_k()[f], t = sim::datum_k + of.rise_k[face.voxel];
    through += g, into += g * t;
    if (t > 320.0) warm += g, warm_m2 += face.area_m2;
  }
  REQUIRE(warm_m2 == Approx(0.09 * 0.04).epsilon(1e-3));
  const double ra = 9.81 * 30.0 / 315.0 * std::pow(0.05, 3) * 0.705 / (17.40e-6 * 17.40e-6);
  const double times = 0.242 * std::pow(ra * 0.05 / 0.09, 0.272);
  // 3 %: two tables of air.
  CHECK(warm * (330.0 - into / through) == Approx((times - 1.0) * 0.02741 / 0.05 * warm_m2 * 30.0).epsilon(0.03));
}

TEST_CASE("an upright side of two materials counts with its mean temperature, whichever of them lies above") {
  const auto side_w_k = [](bool upside_down) {
    sim::Wall wall = channel(0.05, 0.09);
    for (const int sign : {-1, 1}) {
      sim::Material lining = material("lining", 200.0, 2700.0, 900.0);
      lining.emissivity = sign > 0 ? 0.3 : 0.6;
      paint_where(wall, lining, [&](const sim::Vec3& at) {
        return std::abs(at[2]) > 0.025 && (upside_down ? -at[1] : at[1]) * sign > 0.0;
      });
    }
    const Heated of(std::move(wall), [&](const sim::Conduction& conduction, std::size_t v) {
      const auto [i, j, k] = conduction.layout().place(v);
      const double up = (upside_down ? -1.0 : 1.0) * (j - 0.5 * (conduction.layout().ny - 1));
      return conduction.sheath_of(v) ? 340.0 : 300.0 + (k > 40 ? 30.0 : 0.0) + (up > 0.0 ? 15.0 : 0.0);
    });
    std::array<double, 2> sum{};
    for (std::size_t f = 0; f < of.air().faces().size(); ++f) {
      const sim::AirGroup& group = of.air().groups()[static_cast<std::size_t>(of.air().faces()[f].group)];
      if (group.cable < 0 && group.normal == sim::Axis::z) sum[group.looks_up] += of.air().convective_w_k()[f];
    }
    return sum;
  };
  const std::array<double, 2> one = side_w_k(false), other = side_w_k(true);
  for (const int way : {0, 1}) CHECK(one[way] == Approx(other[way]).epsilon(1e-5));  // float couplings
}

TEST_CASE("a space with more materials round it than anyone would count exchanges heat as with one") {
  const auto couplings = [](bool many) {
    sim::Wall wall = channel(0.05, 0.05);
    for (int n = 0; n < 60; ++n) {
      sim::Material stripe = material("stripe", 200.0, 2700.0, 900.0);
      stripe.emissivity = many ? 0.9 - 1e-8 * n : 0.9;
      paint_where(wall, stripe, [&](const sim::Vec3& at) {
        const bool outside = std::abs(at[1]) > 0.025 || std::abs(at[2]) > 0.025;
        return outside && static_cast<int>((at[1] + 0.035) / 1e-3) % 60 == n;
      });
    }
    const Heated of(std::move(wall), [](const sim::Conduction& conduction, std::size_t v) {
      return conduction.sheath_of(v) ? 350.0 : 300.0 + conduction.layout().place(v)[2];
    });
    return std::pair{of.air().radiant_w_k(), of.air().convective_w_k()};
  };
  const auto one = couplings(false), many = couplings(true);
  REQUIRE(one.first.size() == many.first.size());
  for (std::size_t f = 0; f < one.first.size(); ++f) {
    CHECK(many.first[f] == Approx(one.first[f]).epsilon(1e-5));
    CHECK(many.second[f] == Approx(one.second[f]).epsilon(1e-5));
  }
}

TEST_CASE("a step moves heat across air spaces and neither makes nor loses any") {
  // Nothing leaves; warm voxels at random, so that every face has something to give. 1e-6 of what moves: float sums.
  sim::Wall wall = channel(0.016, 0.016, 2e-3);
  for (int& face : wall.faces) face = -1;
  wall.materials[0] = material("light", 0.02, 100.0, 1000.0);  // warms as fast as radiation lets it
  for (sim::Material& of : wall.materials)
    if (of.air_space) of.density_kg_m3 = 100.0;  // too heavy for ballast, whose heat would not be accounted for
  Heated of(std::move(wall), [](const sim::Conduction& conduction, std::size_t v) {
    if (conduction.sheath_of(v)) return 340.0;  // alike: it conducts so well that float sums would show
    return 280.0 + static_cast<double>(v * 2654435761U % 1000U) / 10.0;
  });
  sim::HeatState state;
  state.rise_k = of.rise_k;
  for (const sim::CopperLine& line : of.conduction.copper().lines)
    state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 30.0);
  const sim::HeatState before = state;
  sim::Stepper stepper(of.conduction, of.crew);
  static_cast<void>(stepper.step(state, 20.0, sim::steady_feed(of.conduction.copper(), 0.0)));
  double kept_j = 0.0, moved_j = 0.0;
  const auto add = [&](double j_k, double from_k, double to_k) {
    kept_j += j_k * (to_k - from_k);
    moved_j += std::abs(j_k * (to_k - from_k));
  };
  for (std::size_t v = 0; v < state.rise_k.size(); ++v)
    if (of.conduction.is_solid(v)) add(of.conduction.capacity()[v], before.rise_k[v], state.rise_k[v]);
  for (std::size_t l = 0; l < state.copper_rise_k.size(); ++l)
    for (std::size_t n = 0; n < state.copper_rise_k[l].size(); ++n)
      add(of.conduction.copper().lines[l].capacity_j_k[n], before.copper_rise_k[l][n], state.copper_rise_k[l][n]);
  INFO(kept_j << " J of " << moved_j);
  CHECK(moved_j > 1.0);
  CHECK(std::abs(kept_j) < 1e-6 * moved_j);
}
