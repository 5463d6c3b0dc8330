#pragma once
// The settled field of one wall, solved again and again under changing conditions: what settle() and current_limit()
// use.

#include <memory>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/damage/state.hpp"
#include "sim/multigrid.hpp"
#include "sim/settled.hpp"
#include "sim/stepper.hpp"

namespace warmbay::sim {

/// Newton on the copper's resistance, fixed-point rounds on conductivities and films, conjugate gradients inside.
class SettledSolver {
 public:
  /// damage: what has become of the wall; nullptr: it is sound. device_open: of a branch.
  SettledSolver(std::shared_ptr<const Wall> wall, int threads, const DamageState* damage = nullptr,
                bool device_open = false);

  /// Starts the next solve from these temperatures.
  void guess(const Snapshot& snapshot);

  struct Result {
    SettledOutcome outcome = SettledOutcome::settled;
    double balance = 0.0;
    int iterations = 0;
  };
  /// Solves under the conditions, starting from the last solution (or guess).
  [[nodiscard]] Result solve(const Conditions& conditions);

  [[nodiscard]] const Conduction& wall() const { return conduction_; }
  [[nodiscard]] const HeatState& state() const { return state_; }
  /// The current under the conditions solved last.
  [[nodiscard]] const Feed& feed() const { return feed_; }

 private:
  using Vector = std::vector<double>;
  struct Unknowns {  // voxels (padded layout, zero outside the wall) and copper nodes
    Vector voxels;
    std::vector<Vector> copper;
  };
  enum class LinearOutcome { converged, indefinite, stalled };

  [[nodiscard]] bool has_outlet() const;
  void publish();
  void take_coefficients(const Conditions& conditions);
  [[nodiscard]] double hottest_copper_k() const;
  [[nodiscard]] double furthest_k(const Unknowns& change) const;
  bool solve_directly(const Conditions& conditions, Result& result);
  void start_somewhere();
  void residual(Unknowns& r) const;
  void apply(const Unknowns& x, bool heated, Unknowns& y) const;
  void apply_air(const Vector& t, Vector& out) const;
  void precondition(const Unknowns& r, Unknowns& z);
  LinearOutcome solve_linear(bool lagged, double& moved_k, int& iterations);
  [[nodiscard]] double dot(const Unknowns& a, const Unknowns& b) const;
  void relax(int round, double moved_k);
  [[nodiscard]] double imbalance() const;
  template <class Work>
  static void each_pair(const Unknowns& a, const Unknowns& b, const Work& work);
  template <class Work>
  void combine(const Unknowns& a, const Unknowns& b, Unknowns& out, const Work& work) const;
  template <class Work>
  void each_row(const Work& work) const;

  mutable Crew crew_;
  Conduction conduction_;
  Multigrid multigrid_;
  std::vector<std::size_t> outside_voxels_;  // inside the grid, to be kept at zero
  HeatState state_;
  std::vector<CableDamage> cables_;
  bool device_open_ = false;
  Feed feed_;
  Unknowns temperature_, r_, z_, p_, ap_;
  Unknowns from_;          // temperatures that the last round started from
  Unknowns moved_before_;  // what the round before moved them by; empty while rounds need no relaxing
  double relaxation_ = 1.0;
  double last_moved_k_ = 0.0;    // furthest of any temperature
  double largest_energy_ = 0.0;  // of any round's first residual; the last rounds are measured against it
  double closer_ = 1.0;          // share of what limits::settled_residual allows
  bool started_ = false;
};

}  // namespace warmbay::sim
