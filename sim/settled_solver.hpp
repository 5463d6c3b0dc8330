#pragma once
// The settled field of one wall, solved again and again under changing conditions: what settle() and current_limit()
// use.

#include <memory>
#include <vector>

#include "sim/conduction.hpp"
#include "sim/damage/state.hpp"
#include "sim/large_field.hpp"
#include "sim/multigrid.hpp"
#include "sim/settled.hpp"
#include "sim/stepper.hpp"

namespace warmbay::sim {

/// Conjugate gradients with Newton's slope of the copper's resistance, the other coefficients taken anew at every step;
/// in rounds, where that leads nowhere.
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
  /// What the surroundings receive, from temperatures in double precision: heat through metal is a small difference of
  /// large ones.
  [[nodiscard]] std::vector<SurroundingsReading> surroundings() const;
  /// The current under the conditions solved last.
  [[nodiscard]] const Feed& feed() const { return feed_; }

 private:
  using Vector = std::vector<double>;
  struct Temperatures {  // voxels (padded layout) and copper nodes, K above the datum
    LargeVector<double> voxels;
    std::vector<Vector> copper;
  };
  struct Unknowns {  // what corrects them; zero outside the wall
    LargeField voxels;
    std::vector<Vector> copper;
  };
  enum class LinearOutcome { exact, converged, indefinite, stalled };  // converged: as far as a round needs

  [[nodiscard]] bool has_outlet() const;
  void publish();
  void take_coefficients(const Conditions& conditions);
  [[nodiscard]] double hottest_copper_k() const;
  [[nodiscard]] double furthest_k(const Unknowns& change) const;
  bool solve_directly(const Conditions& conditions, Result& result);
  void start_somewhere();
  void hold_surroundings();
  void find_linked();
  void residual(Unknowns& r) const;
  template <class X>
  void apply(const X& x, bool heated, Unknowns& y) const;
  template <class Value>
  void apply_air(const Value* t, Vector& sums) const;
  template <class Value>
  void apply_copper(std::size_t cable, const Vector& node, const Value* t, bool heated, Vector& out,
                    Vector& sums) const;
  void precondition(const Unknowns& r, Unknowns& z);
  LinearOutcome solve_linear(bool lagged, double& moved_k, int& iterations);
  [[nodiscard]] double dot(const Unknowns& a, const Unknowns& b) const;
  void relax(int round, double moved_k);
  [[nodiscard]] double imbalance() const;
  template <class A, class B, class Out, class Work>
  void combine(const A& a, const B& b, Out& out, const Work& work) const;
  template <class Work>
  void each_row(const Work& work) const;
  template <class Work>
  void each_plane(const Work& work) const;

  mutable Crew crew_;
  Conduction conduction_;
  Multigrid multigrid_;
  std::vector<std::size_t> outside_voxels_;  // inside the grid, to be kept at zero
  HeatState state_;
  std::vector<CableDamage> cables_;
  bool device_open_ = false;
  Feed feed_;
  std::vector<std::size_t> linked_;            // voxels with links beside their faces, in the order of memory
  std::vector<int> air_face_;                  // per face of the air spaces: index into linked_
  std::vector<std::vector<int>> copper_link_;  // per cable and link: index into linked_
  Temperatures temperature_;
  Unknowns r_, z_, p_, ap_;
  Temperatures from_;      // that the last round started from; empty before the first
  Unknowns moved_before_;  // what the round before moved them by; empty while rounds need no relaxing
  double relaxation_ = 1.0;
  double last_moved_k_ = 0.0;    // furthest of any temperature
  double largest_energy_ = 0.0;  // of any round's first residual; the last rounds are measured against it
  double closer_ = 1.0;          // share of what limits::settled_residual allows
  bool started_ = false;
};

}  // namespace warmbay::sim
