#pragma once
// SUNDIALS CVODE as whoever takes a general-purpose integrator off the shelf would use it for a large wall: backward
// differences, GMRES without a matrix factorised, the diagonal as preconditioner.

#include <memory>

#include "tests/standards/heat_balance.hpp"

namespace warmbay::bench {

class CvodeDiagonal {
 public:
  /// Of a wall whose properties are constant. start_rise_k: everywhere. relative, absolute_k: what a step may err by.
  CvodeDiagonal(const tests::HeatBalance& balance, double start_rise_k, double relative, double absolute_k);
  ~CvodeDiagonal();
  CvodeDiagonal(CvodeDiagonal&&) noexcept;
  CvodeDiagonal& operator=(CvodeDiagonal&&) noexcept;

  /// From now on this current flows; integration starts anew at the present time.
  void set_current(double current_a);
  /// Throws std::runtime_error when CVODE fails.
  void run_to(double time_s);
  /// Every unknown now, K above the datum.
  [[nodiscard]] const Eigen::VectorXd& rise_k() const;
  /// Since the last set_current().
  [[nodiscard]] long steps() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::bench
