// C dT/dt = q - A T, which CVODE is given as dT/dt = (q - A T) / C.

#include "tests/bench/cvode_diagonal.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_spgmr.h>

#include <stdexcept>
#include <string>

namespace warmbay::bench {
namespace {

void expect(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string("CVODE: ") + what + " failed with " + std::to_string(flag));
}

constexpr int krylov_size = 30;
constexpr long most_steps = 200000;

}  // namespace

struct CvodeDiagonal::Impl {
  explicit Impl(const tests::HeatBalance& of) : balance(of) {}
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;
  ~Impl() {
    if (memory) CVodeFree(&memory);
    if (solver) SUNLinSolFree(solver);
    if (vector) N_VDestroy(vector);
    if (context) SUNContext_Free(&context);
  }

  using Map = Eigen::Map<Eigen::VectorXd>;
  static Impl& of(void* user) { return *static_cast<Impl*>(user); }
  [[nodiscard]] Map map(N_Vector v) const { return {N_VGetArrayPointer(v), balance.unknowns()}; }

  static int right_hand_side(sunrealtype, N_Vector y, N_Vector change, void* user) {
    const Impl& self = of(user);
    self.map(change).noalias() = self.conductances * self.map(y);
    self.map(change) = (self.inflow_w - self.map(change)).cwiseQuotient(self.balance.capacity_j_k());
    return 0;
  }
  static int jacobian_times(N_Vector v, N_Vector product, sunrealtype, N_Vector, N_Vector, void* user, N_Vector) {
    const Impl& self = of(user);
    self.map(product).noalias() = self.conductances * self.map(v);
    self.map(product) = -self.map(product).cwiseQuotient(self.balance.capacity_j_k());
    return 0;
  }
  static int prepare(sunrealtype, N_Vector, N_Vector, sunbooleantype, sunbooleantype* renewed, sunrealtype, void*) {
    *renewed = SUNFALSE;  // the diagonal never changes
    return 0;
  }
  static int precondition(sunrealtype, N_Vector, N_Vector, N_Vector r, N_Vector z, sunrealtype gamma, sunrealtype, int,
                          void* user) {
    const Impl& self = of(user);
    self.map(z) = self.map(r).cwiseQuotient(Eigen::VectorXd::Ones(self.rates.size()) + gamma * self.rates);
    return 0;
  }

  const tests::HeatBalance& balance;
  double time_s = 0.0;
  Eigen::VectorXd rise_k, inflow_w, rates;  // rates: the diagonal of A over C
  tests::HeatBalance::Matrix conductances;
  SUNContext context = nullptr;
  N_Vector vector = nullptr;
  SUNLinearSolver solver = nullptr;
  void* memory = nullptr;
};

CvodeDiagonal::CvodeDiagonal(const tests::HeatBalance& balance, double start_rise_k, double relative, double absolute_k)
    : impl_(std::make_unique<Impl>(balance)) {
  Impl& self = *impl_;
  if (balance.varies()) throw std::runtime_error("CVODE with the diagonal is for constant properties");
  self.rise_k = Eigen::VectorXd::Constant(balance.unknowns(), start_rise_k);
  expect(SUNContext_Create(nullptr, &self.context), "making a context");
  self.vector = N_VMake_Serial(balance.unknowns(), self.rise_k.data(), self.context);
  self.memory = CVodeCreate(CV_BDF, self.context);
  self.solver = SUNLinSol_SPGMR(self.vector, SUN_PREC_LEFT, krylov_size, self.context);
  if (!self.vector || !self.memory || !self.solver) throw std::runtime_error("CVODE: out of memory");
  expect(CVodeInit(self.memory, Impl::right_hand_side, 0.0, self.vector), "starting");
  expect(CVodeSStolerances(self.memory, relative, absolute_k), "setting tolerances");
  expect(CVodeSetUserData(self.memory, &self), "setting user data");
  expect(CVodeSetMaxNumSteps(self.memory, most_steps), "setting the number of steps");
  expect(CVodeSetLinearSolver(self.memory, self.solver, nullptr), "setting the linear solver");
  expect(CVodeSetPreconditioner(self.memory, Impl::prepare, Impl::precondition), "setting the preconditioner");
  expect(CVodeSetJacTimes(self.memory, nullptr, Impl::jacobian_times), "setting the Jacobian");
}
CvodeDiagonal::~CvodeDiagonal() = default;
CvodeDiagonal::CvodeDiagonal(CvodeDiagonal&&) noexcept = default;
CvodeDiagonal& CvodeDiagonal::operator=(CvodeDiagonal&&) noexcept = default;

void CvodeDiagonal::set_current(double current_a) {
  Impl& self = *impl_;
  const Eigen::VectorXd datum = Eigen::VectorXd::Zero(self.balance.unknowns());
  self.conductances = self.balance.matrix(datum.data(), current_a);
  self.inflow_w.resize(self.balance.unknowns());
  self.balance.flow_w(datum.data(), current_a, self.inflow_w.data());
  self.rates = self.conductances.diagonal().cwiseQuotient(self.balance.capacity_j_k());
  expect(CVodeReInit(self.memory, self.time_s, self.vector), "starting anew");
}

void CvodeDiagonal::run_to(double time_s) {
  expect(CVodeSetStopTime(impl_->memory, time_s), "setting the end");
  expect(CVode(impl_->memory, time_s, impl_->vector, &impl_->time_s, CV_NORMAL), "a step");
}

const Eigen::VectorXd& CvodeDiagonal::rise_k() const {
  return impl_->rise_k;
}

long CvodeDiagonal::steps() const {
  long steps = 0;
  expect(CVodeGetNumSteps(impl_->memory, &steps), "counting steps");
  return steps;
}

}  // namespace warmbay::bench
