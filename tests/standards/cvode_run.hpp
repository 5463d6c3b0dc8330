#pragma once
// A heat balance run in time by SUNDIALS CVODE: variable-order backward differences, step lengths of its own choosing.

#include <memory>

#include "tests/standards/heat_balance.hpp"

namespace warmbay::tests {

class CvodeRun {
 public:
  /// Starts with start_k everywhere. relative, absolute_k: what a step may err by. The balance must outlive the run.
  CvodeRun(const HeatBalance& balance, double start_k, double relative, double absolute_k);
  ~CvodeRun();
  CvodeRun(CvodeRun&&) noexcept;
  CvodeRun& operator=(CvodeRun&&) noexcept;

  /// From now on this current flows in every loaded conductor; integration starts anew at the present time.
  void set_current(double current_a);
  /// Runs to time_s. Throws std::runtime_error when CVODE fails.
  void run_to(double time_s);
  /// Every unknown now, K above the datum.
  [[nodiscard]] const Eigen::VectorXd& rise_k() const;
  [[nodiscard]] double hottest_conductor_k(int cable) const;
  [[nodiscard]] long steps() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::tests
