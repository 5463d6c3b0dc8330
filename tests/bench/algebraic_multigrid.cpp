// hypre speaks MPI; here one process is the whole world.

#include "tests/bench/algebraic_multigrid.hpp"

#include <HYPRE.h>
#include <HYPRE_IJ_mv.h>
#include <HYPRE_krylov.h>
#include <HYPRE_parcsr_ls.h>
#include <mpi.h>

#include <numeric>
#include <stdexcept>
#include <string>
#include <vector>

namespace warmbay::bench {
namespace {

void expect(HYPRE_Int error, const char* what) {
  if (error != 0) throw std::runtime_error(std::string("hypre: ") + what + " failed with " + std::to_string(error));
}

/// Once for the program; ended with it.
struct Libraries {
  Libraries() {
    MPI_Init(nullptr, nullptr);
    HYPRE_Init();
  }
  ~Libraries() {
    HYPRE_Finalize();
    MPI_Finalize();
  }
  Libraries(const Libraries&) = delete;
  Libraries& operator=(const Libraries&) = delete;
};

constexpr int most_iterations = 500;
constexpr double strong_threshold = 0.5;  // what hypre's manual advises in three dimensions

}  // namespace

struct AlgebraicMultigrid::Impl {
  ~Impl() {
    HYPRE_ParCSRPCGDestroy(solver);
    HYPRE_BoomerAMGDestroy(preconditioner);
    HYPRE_IJVectorDestroy(right);
    HYPRE_IJVectorDestroy(solution);
    HYPRE_IJMatrixDestroy(matrix);
  }

  void store(const Matrix& from);
  [[nodiscard]] HYPRE_IJVector vector() const;
  void set_up(double tolerance);

  HYPRE_Int size = 0;
  std::vector<HYPRE_BigInt> rows;
  HYPRE_IJMatrix matrix = nullptr;
  HYPRE_IJVector right = nullptr, solution = nullptr;
  HYPRE_ParCSRMatrix a = nullptr;
  HYPRE_ParVector b = nullptr, x = nullptr;
  HYPRE_Solver solver = nullptr, preconditioner = nullptr;
};

/// Symmetric: columns are rows.
void AlgebraicMultigrid::Impl::store(const Matrix& from) {
  size = static_cast<HYPRE_Int>(from.rows());
  rows.resize(static_cast<std::size_t>(size));
  std::iota(rows.begin(), rows.end(), 0);
  std::vector<HYPRE_Int> in_row;
  std::vector<HYPRE_BigInt> columns;
  std::vector<double> values;
  for (Eigen::Index row = 0; row < from.outerSize(); ++row) {
    in_row.push_back(0);
    for (Matrix::InnerIterator entry(from, row); entry; ++entry) {
      ++in_row.back();
      columns.push_back(static_cast<HYPRE_BigInt>(entry.row()));
      values.push_back(entry.value());
    }
  }
  expect(HYPRE_IJMatrixCreate(MPI_COMM_SELF, 0, size - 1, 0, size - 1, &matrix), "making a matrix");
  expect(HYPRE_IJMatrixSetObjectType(matrix, HYPRE_PARCSR), "making a matrix");
  expect(HYPRE_IJMatrixSetRowSizes(matrix, in_row.data()), "making a matrix");
  expect(HYPRE_IJMatrixInitialize(matrix), "making a matrix");
  expect(HYPRE_IJMatrixSetValues(matrix, size, in_row.data(), rows.data(), columns.data(), values.data()),
         "filling a matrix");
  expect(HYPRE_IJMatrixAssemble(matrix), "filling a matrix");
  void* object = nullptr;
  expect(HYPRE_IJMatrixGetObject(matrix, &object), "filling a matrix");
  a = static_cast<HYPRE_ParCSRMatrix>(object);
}

HYPRE_IJVector AlgebraicMultigrid::Impl::vector() const {
  HYPRE_IJVector made = nullptr;
  expect(HYPRE_IJVectorCreate(MPI_COMM_SELF, 0, size - 1, &made), "making a vector");
  expect(HYPRE_IJVectorSetObjectType(made, HYPRE_PARCSR), "making a vector");
  expect(HYPRE_IJVectorInitialize(made), "making a vector");
  expect(HYPRE_IJVectorAssemble(made), "making a vector");
  return made;
}

void AlgebraicMultigrid::Impl::set_up(double tolerance) {
  void* object = nullptr;
  expect(HYPRE_IJVectorGetObject(right, &object), "a vector");
  b = static_cast<HYPRE_ParVector>(object);
  expect(HYPRE_IJVectorGetObject(solution, &object), "a vector");
  x = static_cast<HYPRE_ParVector>(object);
  expect(HYPRE_BoomerAMGCreate(&preconditioner), "making the preconditioner");
  HYPRE_BoomerAMGSetStrongThreshold(preconditioner, strong_threshold);
  HYPRE_BoomerAMGSetTol(preconditioner, 0.0);
  HYPRE_BoomerAMGSetMaxIter(preconditioner, 1);
  expect(HYPRE_ParCSRPCGCreate(MPI_COMM_SELF, &solver), "making the solver");
  HYPRE_PCGSetTol(solver, tolerance);
  HYPRE_PCGSetTwoNorm(solver, 1);
  HYPRE_PCGSetMaxIter(solver, most_iterations);
  HYPRE_PCGSetPrecond(solver, reinterpret_cast<HYPRE_PtrToSolverFcn>(HYPRE_BoomerAMGSolve),
                      reinterpret_cast<HYPRE_PtrToSolverFcn>(HYPRE_BoomerAMGSetup), preconditioner);
  expect(HYPRE_ParCSRPCGSetup(solver, a, b, x), "setting up");
}

AlgebraicMultigrid::AlgebraicMultigrid(const Matrix& matrix, double tolerance) : impl_(std::make_unique<Impl>()) {
  static const Libraries libraries;
  impl_->store(matrix);
  impl_->right = impl_->vector();
  impl_->solution = impl_->vector();
  impl_->set_up(tolerance);
}
AlgebraicMultigrid::~AlgebraicMultigrid() = default;

Eigen::VectorXd AlgebraicMultigrid::solveWithGuess(const Eigen::VectorXd& right, const Eigen::VectorXd& guess) {
  Impl& self = *impl_;
  expect(HYPRE_IJVectorSetValues(self.right, self.size, self.rows.data(), right.data()), "a vector");
  expect(HYPRE_IJVectorSetValues(self.solution, self.size, self.rows.data(), guess.data()), "a vector");
  expect(HYPRE_ParCSRPCGSolve(self.solver, self.a, self.b, self.x), "solving");
  Eigen::VectorXd solved(right.size());
  expect(HYPRE_IJVectorGetValues(self.solution, self.size, self.rows.data(), solved.data()), "a vector");
  return solved;
}

int AlgebraicMultigrid::iterations() const {
  HYPRE_Int count = 0;
  HYPRE_PCGGetNumIterations(impl_->solver, &count);
  return static_cast<int>(count);
}

}  // namespace warmbay::bench
