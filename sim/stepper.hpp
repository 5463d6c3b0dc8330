#pragma once
// One internal step in time of the wall and its copper together.

#include <functional>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/supply/circuit.hpp"

namespace warmbay::sim {

/// Everything that moves. copper_rise_k: per cable, per node, K above the datum.
struct HeatState {
  Field rise_k;
  std::vector<std::vector<double>> copper_rise_k;
};

/// Douglas-Gunn splitting in delta form: with C the heat capacities, L = Lx + Ly + Lz + La + Lc the conduction (Lc: the
/// copper with its couplings; La: radiation and moving air across the wall's air spaces) and R the heat flowing into
/// every voxel and node now,
///   (C + theta dt Lx) w1 = dt R,  (C + theta dt Ly) w2 = C w1,  (C + theta dt Lz) w3 = C w2,
///   (C + theta dt La) w4 = C w3,  (C + theta dt Lc) d = C w4,
/// and T + d is the new temperature. Second order in time at theta = 1/2, exact once settled. Stable at any step where
/// the directions commute; three that do not (metal, foam and air in small pieces) can grow at long steps, however
/// theta is chosen. The bench therefore tries a step length on the wall before it uses it (longest_stable_step_s) and
/// watches the range of temperatures while it runs. Source: Douglas & Gunn (1964), Numer. Math. 6, 428; the last factor
/// eliminates the sheath's voxels (Schur) and solves one tridiagonal line per cable, so that the copper is never a step
/// behind.
class Stepper {
 public:
  Stepper(const Conduction& wall, Crew& crew);

  /// Heat that the copper gave during a step, J, the fastest change of any voxel or node, K/s, and the range after it.
  struct Outcome {
    double generated_j = 0.0;
    double fastest_k_s = 0.0;
    double lowest_rise_k = 0.0;   // of any voxel
    double highest_rise_k = 0.0;  // of any voxel or node
  };
  /// Advances the state by dt_s while the feed flows. Bit-identical for any number of threads.
  Outcome step(HeatState& state, double dt_s, const Feed& feed);
  /// The wall's air spaces were found anew.
  void air_changed();

 private:
  struct PlaneLink {
    std::size_t voxel;
    float coupling_w_k;
    int line, node;
  };

  void sweep_xy(const HeatState& state, float dt_s, int k);
  void add_flow(const Field& rise_k, float dt_s, int j, int k);
  void sweep_x(float half_s, int j_from, int rows, int k, float* scratch);
  void sweep_y(float half_s, int k, float* scratch);
  struct Range {
    float fastest_k, lowest_k, highest_k;
  };
  Range sweep_z(Field& rise_k, float half_s, int j, int rows, float* scratch);
  void find_air_nodes(const Field& rise_k);
  void step_air(Field& rise_k, float half_s, int slab);
  double step_copper(HeatState& state, double dt_s, const Feed& feed, std::size_t line, double& fastest_k);

  const Conduction& wall_;
  Crew& crew_;
  Field change_;                                  // dt R, then w1, w2, w3
  std::vector<std::vector<PlaneLink>> links_of_;  // by plane k
  std::vector<std::vector<int>> air_faces_of_;    // by plane k: indices of AirSpaces::faces()
  std::vector<float> air_node_k_[2];              // per slab: radiant and convective node, K above the datum
  std::vector<Field> scratch_;                    // one per member of the crew
  std::vector<Range> range_of_;                   // per block of rows
};

/// The longest step, wanted_s halved as often as it takes, at which random temperatures do not grow in this wall.
/// Frozen conductances, no current, surroundings at the datum. run: takes so many steps of a length from a state.
[[nodiscard]] double longest_stable_step_s(const Conduction& wall, double wanted_s,
                                           const std::function<void(HeatState&, double step_s, int steps)>& run);

}  // namespace warmbay::sim
