// The same wall solved by a general-purpose library: a matrix assembled here, apart from the solver's own code, and
// factorised by Eigen (sparse LDL^T, double precision). Same finite volumes, so the two must agree to float rounding.

#include <Eigen/SparseCholesky>
#include <cmath>
#include <random>
#include <vector>

#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// Sizes of a voxel, m.
sim::Vec3 size_of(const sim::Grid& grid, const std::array<int, 3>& at) {
  return {grid.x_m[at[0] + 1] - grid.x_m[at[0]], grid.y_m[at[1] + 1] - grid.y_m[at[1]],
          grid.z_m[at[2] + 1] - grid.z_m[at[2]]};
}

double conductivity(const sim::Wall& wall, std::size_t voxel) {
  return wall.materials[wall.voxels[voxel].index].conductivity_w_mk.value[0];
}

/// Conductance per area from the middle of a voxel to surroundings across half of its thickness.
double to_outside(const sim::Surroundings& outside, double half_m, double conductivity_w_mk) {
  const double film = outside.film == sim::Film::held ? 0.0 : 1.0 / outside.film_w_m2k;
  return 1.0 / (half_m / conductivity_w_mk + film);
}

/// Temperatures of every solid voxel, K (others 0), from a direct solve. Constant conductivities and films, no cable.
std::vector<double> direct_solve(const sim::Wall& wall) {
  const sim::Grid& grid = wall.grid;
  const auto n = static_cast<Eigen::Index>(grid.count());
  std::vector<Eigen::Triplet<double>> entries;
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
  const std::array<int, 3> counts{grid.nx(), grid.ny(), grid.nz()};
  for (int k = 0; k < counts[2]; ++k) {
    for (int j = 0; j < counts[1]; ++j) {
      for (int i = 0; i < counts[0]; ++i) {
        const std::array<int, 3> here{i, j, k};
        const std::size_t voxel = grid.at(i, j, k);
        const auto row = static_cast<Eigen::Index>(voxel);
        if (wall.voxels[voxel].outside) {
          entries.emplace_back(row, row, 1.0);
          continue;
        }
        const sim::Vec3 size = size_of(grid, here);
        for (int axis = 0; axis < 3; ++axis) {
          const double area_m2 = size[0] * size[1] * size[2] / size[axis];
          for (const int way : {-1, 1}) {
            std::array<int, 3> there = here;
            there[axis] += way;
            int outside = -1;
            if (there[axis] < 0 || there[axis] >= counts[axis]) {
              outside = wall.faces[static_cast<std::size_t>(2 * axis + (way > 0 ? 1 : 0))];
              if (outside < 0) continue;
            } else if (wall.voxels[grid.at(there[0], there[1], there[2])].outside) {
              outside = wall.voxels[grid.at(there[0], there[1], there[2])].index;
            }
            if (outside >= 0) {
              const sim::Surroundings& beyond = wall.surroundings[static_cast<std::size_t>(outside)];
              const double g = area_m2 * to_outside(beyond, 0.5 * size[axis], conductivity(wall, voxel));
              entries.emplace_back(row, row, g);
              right[row] += g * (beyond.temperature_k - sim::datum_k);
              continue;
            }
            const std::size_t other = grid.at(there[0], there[1], there[2]);
            const double g = area_m2 / (0.5 * size[axis] / conductivity(wall, voxel) +
                                        0.5 * size_of(grid, there)[axis] / conductivity(wall, other));
            entries.emplace_back(row, row, g);
            entries.emplace_back(row, static_cast<Eigen::Index>(other), -g);
          }
        }
      }
    }
  }
  Eigen::SparseMatrix<double> matrix(n, n);
  matrix.setFromTriplets(entries.begin(), entries.end());
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factors(matrix);
  REQUIRE(factors.info() == Eigen::Success);
  const Eigen::VectorXd rise = factors.solve(right);
  std::vector<double> temperature_k;
  for (Eigen::Index row = 0; row < n; ++row) {
    temperature_k.push_back(wall.voxels[static_cast<std::size_t>(row)].outside ? 0.0 : sim::datum_k + rise[row]);
  }
  return temperature_k;
}

/// A wall of everything: unlike voxels, contrasts of 10^4, a recess, films and held surfaces on four sides.
sim::Wall mixture() {
  const sim::GridRules rules{0.02, 0.004, 1.3};
  const sim::Interval fine{0.05, 0.07};
  const auto edges = sim::graded_edges({0.0, 0.05, 0.07, 0.20}, {fine}, rules);
  sim::Wall wall = block({edges, edges, edges}, material("foam", 0.03, 20.0, 1450.0));
  wall.materials.push_back(material("board", 0.25, 900.0, 1000.0));
  std::mt19937 random(5);  // NOLINT: the same wall every time
  for (sim::Voxel& voxel : wall.voxels) voxel.index = random() % 3 == 0 ? 1 : 0;
  paint_box(wall, {0.05, 0.0, 0.05}, {0.07, 0.20, 0.07}, material("aluminium", 230.0, 2800.0, 880.0));
  expose(wall, sim::Side::room, add_film(wall, "room", sim::kelvin_from_celsius(24.0), 8.0));
  expose(wall, sim::Side::far, add_film(wall, "outside", sim::kelvin_from_celsius(-5.0), 25.0));
  expose(wall, sim::Side::top, add_held(wall, "attic", sim::kelvin_from_celsius(60.0)));
  expose(wall, sim::Side::left, 0);
  cut_away(wall, 1, [](const sim::Vec3& at) { return at[0] > 0.12 && at[1] > 0.1 && at[1] < 0.16 && at[2] > 0.12; });
  return wall;
}

}  // namespace

TEST_CASE("a settled wall agrees with a sparse direct solve by an independent library, voxel by voxel") {
  const auto wall = share(mixture());
  const std::vector<double> direct_k = direct_solve(*wall);
  const sim::Settled settled = sim::settle(wall, sim::initial_conditions(*wall));
  REQUIRE(settled.outcome == sim::SettledOutcome::settled);
  double furthest_k = 0.0;
  for (std::size_t voxel = 0; voxel < direct_k.size(); ++voxel) {
    if (wall->voxels[voxel].outside) continue;
    furthest_k = std::max(furthest_k, std::abs(direct_k[voxel] - double{settled.state->temperature_k[voxel]}));
  }
  INFO(wall->grid.count() << " voxels");
  CHECK(furthest_k < 2e-3);  // single precision near 300 K, and the solver's own 1e-4 K
}
