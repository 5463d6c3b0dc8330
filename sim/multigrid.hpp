#pragma once
// Geometric multigrid on the rectilinear grid: the preconditioner of the settled field.
//
// A level joins neighbouring voxels along an axis only where both together are still small for that level, so that
// graded voxels grow cubic before they grow large: stretched voxels would stall a point smoother. Copper nodes and the
// nodes of air spaces come along as hubs (sim/multigrid_hubs.hpp). Coarse corrections are spread as constants; a coarse
// conductance is what lies between the middles of the coarse voxels, row by row of faces side by side, bounded so that
// contrasts of 10^4 in conductivity and thin layers do not mislead it. One V cycle with two red-black passes before and
// after, a W cycle on the small levels, is symmetric (red-black forth, black-red back), as conjugate gradients need it.
// Sources: Wesseling, An Introduction to Multigrid Methods (1992), cell-centred multigrid; Trottenberg, Oosterlee &
// Schueller, Multigrid (2001), semi-coarsening; DEVELOPERS.md tells what was tried and dropped.

#include <vector>

#include "sim/conduction.hpp"
#include "sim/crew.hpp"
#include "sim/large_field.hpp"
#include "sim/layout.hpp"
#include "sim/multigrid_hubs.hpp"

namespace warmbay::sim {

class Multigrid {
 public:
  Multigrid(const Conduction& wall, Crew& crew);

  /// Takes over the wall's conductances as they are now.
  void rebuild();

  /// What is asked for and found at the copper's nodes: one vector per cable.
  using Copper = std::vector<std::vector<double>>;
  /// correction ~ A^-1 residual, one cycle from nothing. The voxels' have layout().size values; zero outside the
  /// wall.
  void cycle(const LargeField& residual, const Copper& copper_residual, LargeField& correction,
             Copper& copper_correction);

 private:
  struct Level {
    Layout layout;
    std::array<LargeField, 3> conductance;   // between voxels of the wall
    LargeField to_outside;                   // W/K, to hubs and to anything held at a temperature
    LargeField inverse_diagonal;             // 0 outside the wall
    LargeField value, right;                 // right: of the equations, with what the hubs send
    std::array<std::vector<int>, 3> parent;  // along each axis: index on the next level
    Hubs hubs;
  };
  using Children =
      std::array<std::vector<std::array<int, 2>>, 3>;  // per axis and coarse place: first and last fine one

  void coarsen_structure(const Grid& grid);
  void coarsen_conductance(const Level& fine, Level& coarse, Axis axis) const;
  void finish(Level& level);
  static void smooth_plane(Level& level, int colour, int k, bool beside);
  static void start_plane(Level& level, int colour, int k);
  void smooth(Level& level, int first_colour, bool from_zero);
  void restrict_residual(const Level& fine, Level& coarse);
  void prolong_from(Level& fine, const Level& coarse);
  void descend(std::size_t level);
  void factor_coarsest();
  void solve_coarsest();

  const Conduction& wall_;
  Crew& crew_;
  std::vector<Level> levels_;
  std::vector<Children> children_;            // per coarse level
  std::vector<int> scratch_;                  // as many as the finest level has voxels, all -1
  std::vector<std::size_t> coarsest_voxels_;  // those of the wall, in the order of memory
  std::vector<double> coarsest_;              // Cholesky factor, upper triangle, row by row: voxels, then hubs
};

}  // namespace warmbay::sim
