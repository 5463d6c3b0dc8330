#pragma once
// A step in time that cannot fail: backward Euler, solved whole.
//
// The split step (sim/stepper.hpp) is fast, and not stable for every wall. Where a step of it is refused, this one does
// the same stretch of time instead. Backward Euler's matrix has no positive entry off its diagonal and its rows add up
// to the heat capacities (an M-matrix), so that no voxel can leave the range of what it touched but for the heat that
// the copper gives, however long the step and however unlike the materials (Varga, Matrix Iterative Analysis (1962),
// ch. 3 and 8).
//
// A sub-step is taken once whole and once in two halves. What the two differ by measures the error, and what the halves
// gain is added once more (Richardson's extrapolation; second order, Hairer & Wanner, Solving Ordinary Differential
// Equations II (1996), IV.9), unless a temperature would leave its bound: then the two halves stand as they are.

#include <vector>

#include "sim/conduction.hpp"
#include "sim/crew.hpp"
#include "sim/heat_state.hpp"
#include "sim/large_field.hpp"
#include "sim/supply/circuit.hpp"

namespace warmbay::sim {

class WholeStep {
 public:
  WholeStep(Conduction& wall, Crew& crew) : wall_(wall), crew_(crew) {}

  struct Outcome {
    bool finite = false;  // else the state is as it was
    double generated_j = 0.0, left_j = 0.0;
    double fastest_k_s = 0.0;
    RiseRange range, copper;  // after the step: of all voxels and nodes of the wall, and of the copper's nodes
  };
  /// Advances the state by dt_s while the feed flows, in as many sub-steps as limits::whole_error_k asks for.
  /// The wall's conductances follow on the way, and are those of the new temperatures at the end.
  /// Bit-identical for any number of threads. bound: what no temperature may pass, K above the datum.
  Outcome advance(HeatState& state, double dt_s, const Feed& feed, const RiseBound& bound);

 private:
  using Copper = std::vector<std::vector<double>>;
  struct Unknowns {  // of voxels (padded layout; 0 outside the wall) and copper nodes
    LargeVector<double> voxels;
    Copper copper;
  };
  struct Books {
    double generated_j = 0.0, left_j = 0.0;
  };

  void make_room(const HeatState& state);
  /// One step of backward Euler from `from`: how far it moves every unknown. False: not solved.
  bool solve(const Unknowns& from, double h_s, const Feed& feed, Unknowns& moved, Books& books);
  void find_diagonal(double h_s, const Feed& feed);
  void flow(const Unknowns& from, const Feed& feed, Unknowns& into_w);
  void apply(const Unknowns& x, double h_s, const Feed& feed, Unknowns& y);
  double precondition(double h_s);
  [[nodiscard]] double dot(const Unknowns& a, const Unknowns& b) const;
  [[nodiscard]] Books books_of(const Unknowns& from, const Unknowns& moved, double h_s, const Feed& feed) const;
  [[nodiscard]] double furthest_apart_k(const Unknowns& a, const Unknowns& b) const;
  bool extrapolate(const RiseBound& bound);
  void guess(const HeatState& state, double dt_s);
  void refresh(const Unknowns& at);
  void scale(const Unknowns& from, double times, Unknowns& into) const;
  void add(const Unknowns& moved, Unknowns& to) const;
  Outcome finish(HeatState& state, double dt_s);
  template <class Work>
  void each_row(const Work& work) const;

  Conduction& wall_;
  Crew& crew_;
  Field rise_k_;                             // what conductances are taken at
  Unknowns now_, between_;                   // temperatures
  Unknowns last_, whole_, halves_, second_;  // what the last sub-step, one whole, two halves moved them by
  Unknowns r_, z_, p_, ap_;
  LargeVector<double> inverse_diagonal_;  // 1 / (C + h G); 0 outside the wall
  Copper pivot_, upper_;                  // of the copper's lines
  double error_k_ = 0.0;                  // by which one sub-step and two halves may differ
  double small_enough_ = 0.0;             // residual that no one notices, in the norm of the preconditioner
};

}  // namespace warmbay::sim
