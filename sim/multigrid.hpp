#pragma once
// Geometric multigrid on the rectilinear grid: the preconditioner of the settled field.
//
// A level joins neighbouring voxels along an axis only where both together are still small for that level, so that
// graded voxels grow cubic before they grow large: stretched voxels would stall a point smoother. Coarse corrections
// are spread as constants, coarse conductances are the sums that go with them (Galerkin), which stands contrasts of
// 10^4 in conductivity; W cycles make up for how little such a correction reaches. One cycle is symmetric (red-black
// forth, black-red back), as conjugate gradients need it. Tried and dropped: half voxels in series as coarse
// conductances (213 iterations instead of 12 with an aluminium bar in air), V cycles (52 instead of 24), joining four
// at once (35). Sources: Wesseling, An Introduction to Multigrid Methods (1992), cell-centred multigrid; Trottenberg,
// Oosterlee & Schueller, Multigrid (2001), semi-coarsening.

#include <vector>

#include "sim/conduction.hpp"
#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/layout.hpp"

namespace warmbay::sim {

class Multigrid {
 public:
  Multigrid(const Conduction& wall, Crew& crew);

  /// Takes over the wall's conductances as they are now; the copper's axial conduction counts as its sheath's.
  void rebuild();

  /// correction ~ A^-1 residual, one W cycle from nothing. Both have layout().size values; zero outside the wall.
  void cycle(const std::vector<double>& residual, std::vector<double>& correction);

 private:
  struct Level {
    Layout layout;
    std::array<Field, 3> conductance;        // between voxels of the wall
    Field to_outside;                        // W/K, to anything held at a temperature
    Field inverse_diagonal;                  // 0 outside the wall
    Field value, right, left_over;           // left_over: the residual
    std::array<std::vector<int>, 3> parent;  // along each axis: index on the next level
  };

  void coarsen_structure(const Grid& grid);
  void coarsen_conductance(const Level& fine, Level& coarse, Axis axis) const;
  void sum_to_coarse(const Level& fine, const Field& values, Field& coarse_values, const Layout& coarse) const;
  void finish(Level& level) const;
  void smooth(Level& level, int colour);
  void residual(Level& level);
  void prolong_from(Level& fine, const Level& coarse);
  void descend(std::size_t level);
  void factor_coarsest();
  void solve_coarsest();

  const Conduction& wall_;
  Crew& crew_;
  std::vector<Level> levels_;
  std::vector<std::array<std::vector<std::array<int, 2>>, 3>> children_;  // per coarse level and axis: first and last
  std::vector<double> coarsest_;                                          // Cholesky factor, lower triangle, row by row
};

}  // namespace warmbay::sim
