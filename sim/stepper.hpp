#pragma once
// One internal step in time of the wall and its copper together.

#include <array>
#include <atomic>
#include <limits>
#include <vector>

#include "sim/ballast.hpp"
#include "sim/conduction.hpp"
#include "sim/heat_state.hpp"
#include "sim/row_flow.hpp"
#include "sim/supply/circuit.hpp"

namespace warmbay::sim {

/// What ballast leans on the step before: dt_s / before_s, or 0 where that was much shorter. It doubles up the ladder
/// of steps what rings there: the check of rest is what stops that.
[[nodiscard]] float ballast_again(double dt_s, double before_s);

/// Douglas-Gunn splitting in delta form: with C the heat capacities, L = Lx + Ly + Lz + La + Lc the conduction (Lc: the
/// copper with its couplings; La: radiation and moving air across the wall's air spaces) and R the heat flowing into
/// every voxel and node now,
///   (C + theta dt Lx) w1 = dt R,  (C + theta dt Ly) w2 = C w1,  (C + theta dt Lz) w3 = C w2,
///   (C + theta dt La) w4 = C w3,  (C + theta dt Lc) d = C w4,
/// and T + d is the new temperature. Second order in time at theta = 1/2, exact once settled. Source: Douglas & Gunn
/// (1964), Numer. Math. 6, 428; the last factor eliminates the sheath's voxels (Schur) and solves one tridiagonal line
/// per cable, so that the copper is never a step behind.
///
/// Two directions are stable at any step. Three that do not commute (small pieces of unlike matter) can grow, however
/// theta is chosen, where a voxel hands on more than its own heat capacity in each of them. Such voxels, where they are
/// light (nearly all of them thin pieces of air), carry ballast: every C above is
///   C' = max(C, min(dt G / limits::ballast_from, V limits::ballast_most_j_m3k)),
/// G being the conductance to both neighbours in the direction where it is least and V the voxel's volume, and dt R
/// becomes dt R + (C' - C) d_before dt / dt_before. Ballast that moves along as before takes up no heat: it resists
/// only a change of pace, by dt^2 (C' - C) d2T/dt2, second order as the rest, and nothing once settled. Where that is
/// not enough the bench still finds out: it tries a step length on the wall before it uses it (sim/stability_trial.hpp)
/// and watches the range of temperatures while it runs. Source of a lagged term that makes up for what stabilises: Du
/// Fort & Frankel (1953), Math. Tables Aids Comput. 7, 135, there for the whole step.
class Stepper {
 public:
  Stepper(const Conduction& wall, Crew& crew);

  struct Outcome {
    bool restless = false;     // the state is as it was: see step()
    double generated_j = 0.0;  // by the copper during the step
    double stored_j = 0.0;     // in voxels and copper; not a number where any temperature is not
    double fastest_k_s = 0.0;  // of any voxel or node
    RiseRange voxels, copper;  // K above the datum; ghosts and padding are among the voxels
  };
  /// Advances the state by dt_s while the feed flows. Bit-identical for any number of threads.
  ///
  /// First it looks at what the step before has left behind. A voxel whose change d does not go with the heat that now
  /// flows into it, |C d / dt - R| beyond restless_k (C / dt + G), G being all its conductances, either rings, or goes
  /// its way faster than such steps can follow: the step is refused. With G large that is how far the voxel is from
  /// what its neighbours make of it, with G small half of dt^2 d2T/dt2.
  Outcome step(HeatState& state, double dt_s, const Feed& feed, float restless_k = endless_k);
  static constexpr float endless_k = std::numeric_limits<float>::infinity();
  /// Takes the last step back, once: the state as it was, bit by bit.
  void undo(HeatState& state);
  /// Of the copper before the last step, K above the datum.
  [[nodiscard]] const std::vector<std::vector<double>>& copper_before_k() const { return copper_before_; }
  /// Temperatures have been changed from outside: of surroundings, or of everything.
  void taken_over() { before_is_whole_ = false; }
  /// The wall's air spaces were found anew; or nothing but these voxels has become void. voxels: padded indices.
  void air_changed();
  void air_grew(const std::vector<std::size_t>& voxels);
  /// Per row (Layout::row_index), to be brought up to date by Conduction::refresh: the most that conduction can have
  /// moved any of its voxels since. Grows with every step.
  [[nodiscard]] std::vector<float>& row_drift_k() { return row_drift_k_; }

 private:
  struct StretchLink {
    std::size_t voxel;
    float coupling_w_k;
    int line, node;
  };

  /// What voxels are held to, from the step before; per_s = 1 / dt of that, and 0 where there was none.
  struct Rest {
    float per_s, restless_k;
  };
  bool flow_stretch(const HeatState& state, float dt_s, float again, const Rest& rest, int from, int k, float* scratch);
  float add_flow(const HeatState& state, float dt_s, float again, const RowRest& rest, int j, int k);
  void sweep_x(float half_s, int j_from, int rows, int k, float* scratch);
  void add_couplings(const HeatState& state, float dt_s, float restless_k, std::size_t stretch, std::size_t first,
                     float* off_w, float* allowed_w);
  void eliminate_y(float half_s, int from, int to, int k, float* scratch);
  void substitute_y(int k, const float* scratch);
  struct Range {
    float fastest_k, lowest_k, highest_k;
    double stored_j;
  };
  void sweep_z(const Field& rise_k, Field& next_k, float half_s);
  void eliminate_z(float half_s, int half, int block, float* scratch);
  Range substitute_z(const Field& rise_k, Field& next_k, int half, int block, const float* scratch);
  [[nodiscard]] std::pair<int, int> planes_of(int half) const;  // [first, last)
  void find_faces();
  void find_places();
  void find_air_nodes(const Field& rise_k);
  void step_air(Field& rise_k, float half_s);
  void sum_air(float half_s, int node, int half, int slab);
  void move_air(Field& rise_k, float half_s, int node, int half, int slab);
  void step_copper(HeatState& state, double dt_s, const Feed& feed, std::size_t line, Outcome& outcome);
  [[nodiscard]] RiseRange range_of_linked(const Field& rise_k) const;

  const Conduction& wall_;
  Crew& crew_;
  Ballast ballast_;
  Field before_;                                    // temperatures before the last step
  std::vector<std::vector<double>> copper_before_;  // of the copper
  bool before_is_whole_ = false;                    // its ghosts are the present ones
  Field change_;  // dt R, then w1 to w4, then d; between steps what the step before the last one changed
  double change_before_s_ = 0.0;                            // and how long that was
  Field widths_x_m_;                                        // of a whole padded row
  std::vector<std::ptrdiff_t> place_of_face_;               // in ballast, per face of the air spaces: of its voxel
  std::vector<std::vector<std::ptrdiff_t>> place_of_link_;  // the same per line and link of the copper
  std::vector<std::vector<StretchLink>> links_of_;          // by stretch of rows
  std::vector<std::vector<int>> air_faces_of_;              // the same: indices of AirSpaces::faces()
  std::vector<float> air_node_k_[2];                        // per slab: radiant and convective node, K above the datum
  struct AirSum {
    double into = 0.0, through = 0.0;
  };
  std::vector<AirSum> air_sum_[2][2];       // by node and half, per slab
  std::vector<double> air_stored_j_[2];     // by half, per slab: what the air's factor has moved into its faces
  std::vector<char> restless_;              // per stretch of rows
  std::array<Field, 2> met_upper_, met_r_;  // by half, per z line: the last elimination's factor and right side
  std::array<std::vector<std::atomic<unsigned>>, 2> met_;  // by half, per block of rows: the step that it is done for
  unsigned steps_ = 0;
  std::vector<float> row_drift_k_;
  std::vector<Field> scratch_;                  // one per member of the crew
  std::array<std::vector<Range>, 2> range_of_;  // by half, per block of rows
};

}  // namespace warmbay::sim
