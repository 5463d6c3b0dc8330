// What ISO 10211:2017 asks beyond the numbers of its cases (those: trust_test.cpp): enough subdivisions. And what this
// program does better than it asks.

#include <array>
#include <string>
#include <utility>

#include "tests/standards/case_file.hpp"
#include "tests/support/closed_forms.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

TEST_CASE("ISO 10211 case 1: 28 points of a square column within 0.02 K of the Fourier series") {
  // A fifth of the standard's tolerance, on 10 mm voxels.
  const SolvedCase solved = solve_case(read_case("tests/standards/iso10211-case1.toml"));
  for (int y = 7; y >= 1; --y) {
    for (int x = 1; x <= 4; ++x) {
      std::string name("x");
      name.append(std::to_string(x)).append(" y").append(std::to_string(y));
      INFO(name);
      CHECK(solved.celsius(name) == Approx(square_column_c(x, y)).margin(0.02));
    }
  }
}

TEST_CASE("ISO 10211 case 3: the coldest surfaces are found without being told where they are") {
  // The readings of the surroundings are means over voxel faces: the coldest face's middle lies 5 mm from the corner
  // both ways, where the surface is a little warmer.
  const SolvedCase solved = solve_case(read_case("tests/standards/iso10211-case3.toml"));
  const double alpha_c = sim::celsius_from_kelvin(solved.side("alpha").coldest_surface_k);
  const double beta_c = sim::celsius_from_kelvin(solved.side("beta").coldest_surface_k);
  CHECK(alpha_c > solved.celsius("coldest in alpha"));
  CHECK(beta_c > solved.celsius("coldest in beta"));
  CHECK(alpha_c == Approx(11.32).margin(0.3));
  CHECK(beta_c == Approx(11.11).margin(0.3));
}

TEST_CASE("ISO 10211: twice the subdivisions change the heat flow by less than 1 % in every case") {
  const std::array<std::pair<std::string, std::string>, 3> cases{{{"2", "cold"}, {"3", "gamma"}, {"4", "cold"}}};
  for (const auto& [number, side] : cases) {
    scenes::Scene scene = read_case("tests/standards/iso10211-case" + number + ".toml");
    const double fine_w = solve_case(scene).heat_w(side);
    scene.grid.coarse_m *= 2.0;
    scene.grid.fine_m *= 2.0;
    INFO("case " << number);
    CHECK(solve_case(scene).heat_w(side) == Approx(fine_w).epsilon(0.01));
  }
}
