// dT/dt = C^-1 flow(T). Newton's systems are solved by GMRES with C + gamma A as preconditioner, factorised by Eigen;
// where nothing varies that is the exact matrix and GMRES has next to nothing left to do.

#include "tests/standards/cvode_run.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_spgmr.h>

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <stdexcept>
#include <string>

namespace warmbay::tests {
namespace {

void expect(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string("CVODE: ") + what + " failed with " + std::to_string(flag));
}

constexpr long most_steps = 200000;

}  // namespace

struct CvodeRun::Impl {
  explicit Impl(const HeatBalance& of) : balance(of) {}
  Impl(const Impl&) = delete;
  Impl& operator=(const Impl&) = delete;
  ~Impl() {
    if (memory) CVodeFree(&memory);
    if (solver) SUNLinSolFree(solver);
    if (vector) N_VDestroy(vector);
    if (context) SUNContext_Free(&context);
  }

  static Impl& of(void* user) { return *static_cast<Impl*>(user); }
  static int right_hand_side(sunrealtype, N_Vector y, N_Vector change, void* user) {
    const HeatBalance& balance = of(user).balance;
    double* const out = N_VGetArrayPointer(change);
    balance.flow_w(N_VGetArrayPointer(y), of(user).current_a, out);
    for (Eigen::Index n = 0; n < balance.unknowns(); ++n) out[n] /= balance.capacity_j_k()[n];
    return 0;
  }
  static int jacobian_times(N_Vector v, N_Vector product, sunrealtype, N_Vector, N_Vector, void* user, N_Vector) {
    const Eigen::Index n = of(user).balance.unknowns();
    Eigen::Map<Eigen::VectorXd>(N_VGetArrayPointer(product), n) =
        -(of(user).conduction * Eigen::Map<const Eigen::VectorXd>(N_VGetArrayPointer(v), n))
             .cwiseQuotient(of(user).balance.capacity_j_k());
    return 0;
  }
  static int prepare(sunrealtype, N_Vector y, N_Vector, sunbooleantype still_good, sunbooleantype* renewed,
                     sunrealtype gamma, void* user) {
    Impl& self = of(user);
    *renewed = !still_good;
    if (!still_good) self.conduction = self.balance.matrix(N_VGetArrayPointer(y), self.current_a);
    HeatBalance::Matrix newton = gamma * self.conduction;
    newton.diagonal() += self.balance.capacity_j_k();
    if (!self.analysed) self.factors.analyzePattern(newton);
    self.analysed = true;
    self.factors.factorize(newton);
    return self.factors.info() == Eigen::Success ? 0 : 1;
  }
  static int precondition(sunrealtype, N_Vector, N_Vector, N_Vector r, N_Vector z, sunrealtype, sunrealtype, int,
                          void* user) {
    const Eigen::Index n = of(user).balance.unknowns();
    const Eigen::Map<const Eigen::VectorXd> right(N_VGetArrayPointer(r), n);
    Eigen::Map<Eigen::VectorXd>(N_VGetArrayPointer(z), n) =
        of(user).factors.solve(right.cwiseProduct(of(user).balance.capacity_j_k()));
    return 0;
  }

  const HeatBalance& balance;
  double current_a = 0.0, time_s = 0.0;
  Eigen::VectorXd rise_k;
  HeatBalance::Matrix conduction;
  Eigen::SimplicialLDLT<HeatBalance::Matrix> factors;
  bool analysed = false;
  long steps_before = 0;
  SUNContext context = nullptr;
  N_Vector vector = nullptr;
  SUNLinearSolver solver = nullptr;
  void* memory = nullptr;
};

CvodeRun::CvodeRun(const HeatBalance& balance, double start_k, double relative, double absolute_k)
    : impl_(std::make_unique<Impl>(balance)) {
  if (balance.capacity_j_k().minCoeff() <= 0.0) throw std::invalid_argument("a wall with air spaces: steady only");
  Impl& self = *impl_;
  self.rise_k = Eigen::VectorXd::Constant(balance.unknowns(), start_k - sim::datum_k);
  expect(SUNContext_Create(0, &self.context), "making a context");
  self.vector = N_VMake_Serial(balance.unknowns(), self.rise_k.data(), self.context);
  self.memory = CVodeCreate(CV_BDF, self.context);
  self.solver = SUNLinSol_SPGMR(self.vector, SUN_PREC_LEFT, 10, self.context);
  if (!self.vector || !self.memory || !self.solver) throw std::runtime_error("CVODE: out of memory");
  expect(CVodeInit(self.memory, Impl::right_hand_side, 0.0, self.vector), "starting");
  expect(CVodeSStolerances(self.memory, relative, absolute_k), "setting tolerances");
  expect(CVodeSetUserData(self.memory, &self), "setting user data");
  expect(CVodeSetMaxNumSteps(self.memory, most_steps), "setting the number of steps");
  expect(CVodeSetLinearSolver(self.memory, self.solver, nullptr), "setting the linear solver");
  expect(CVodeSetPreconditioner(self.memory, Impl::prepare, Impl::precondition), "setting the preconditioner");
  expect(CVodeSetJacTimes(self.memory, nullptr, Impl::jacobian_times), "setting the Jacobian");
}
CvodeRun::~CvodeRun() = default;
CvodeRun::CvodeRun(CvodeRun&&) noexcept = default;
CvodeRun& CvodeRun::operator=(CvodeRun&&) noexcept = default;

void CvodeRun::set_current(double current_a) {
  impl_->steps_before = steps();
  impl_->current_a = current_a;
  expect(CVodeReInit(impl_->memory, impl_->time_s, impl_->vector), "starting anew");
}

void CvodeRun::run_to(double time_s) {
  expect(CVodeSetStopTime(impl_->memory, time_s), "setting the end");
  expect(CVode(impl_->memory, time_s, impl_->vector, &impl_->time_s, CV_NORMAL), "a step");
}

const Eigen::VectorXd& CvodeRun::rise_k() const {
  return impl_->rise_k;
}

double CvodeRun::hottest_conductor_k(int cable) const {
  const double* const first = impl_->rise_k.data() + impl_->balance.first_node(cable);
  return sim::datum_k + *std::max_element(first, first + impl_->balance.nodes(cable));
}

long CvodeRun::steps() const {
  long steps = 0;
  expect(CVodeGetNumSteps(impl_->memory, &steps), "counting steps");
  return impl_->steps_before + steps;
}

}  // namespace warmbay::tests
