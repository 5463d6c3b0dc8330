#pragma once
// Conjugate gradients with algebraic multigrid as preconditioner (hypre's BoomerAMG as it comes), on one processor,
// behind the interface that Eigen's iterative solvers have.

#include <Eigen/SparseCore>
#include <memory>

namespace warmbay::bench {

class AlgebraicMultigrid {
 public:
  using Matrix = Eigen::SparseMatrix<double>;

  /// Sets the preconditioner up. matrix: symmetric. tolerance: of the residual, relative to the right-hand side's.
  AlgebraicMultigrid(const Matrix& matrix, double tolerance);
  ~AlgebraicMultigrid();
  AlgebraicMultigrid(const AlgebraicMultigrid&) = delete;
  AlgebraicMultigrid& operator=(const AlgebraicMultigrid&) = delete;

  [[nodiscard]] Eigen::VectorXd solveWithGuess(const Eigen::VectorXd& right, const Eigen::VectorXd& guess);
  /// Of the last solve.
  [[nodiscard]] int iterations() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::bench
