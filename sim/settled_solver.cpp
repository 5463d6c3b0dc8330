// A T = q with A the conductances, the couplings and the copper's axial conduction less the slope of I^2 R(T): copper's
// resistance is linear in temperature, so that slope inside the matrix settles it at once. Where the matrix stops being
// positive definite (more heat gained per kelvin than carried away, at the present conductivities) the resistance is
// lagged instead; a true runaway then climbs past copper's melting point.
//
// First come conjugate gradients whose coefficients are taken anew at every step; where those get no nearer (moving air
// that sets in, films that turn round), rounds of linear solves, relaxed where they circle. Temperatures and residuals
// are worked out in double precision, everything that only corrects them in single. Preconditioner: one cycle of
// multigrid.

#include "sim/settled_solver.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <type_traits>

#include "sim/air_flow.hpp"
#include "sim/damage/cable_damage.hpp"
#include "sim/damage/wall_damage.hpp"
#include "sim/instrument.hpp"
#include "sim/limits.hpp"
#include "sim/no_aliases.hpp"
#include "sim/voxel_faces.hpp"

namespace warmbay::sim {
SettledSolver::SettledSolver(std::shared_ptr<const Wall> wall, int threads, const DamageState* damage, bool device_open)
    : crew_(threads), conduction_(std::move(wall), crew_), multigrid_(conduction_, crew_), device_open_(device_open) {
  CablesDamage of_cables(conduction_);
  if (damage) {
    WallDamage(conduction_, crew_).adopt(*damage);
    of_cables.adopt(*damage);
    conduction_.renew_air();
  }
  cables_ = damage ? damage->cables : of_cables.sound();
  feed_ = steady_feed(conduction_.copper(), 0.0);
  const Layout& layout = conduction_.layout();
  state_.rise_k.assign(layout.size, 0.0F);
  for (const CopperLine& line : conduction_.copper().lines)
    state_.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()), 0.0);
  for (int k = 0; k < layout.nz; ++k)
    for (int j = 0; j < layout.ny; ++j)
      for (int i = 0; i < layout.nx; ++i)
        if (conduction_.outside_index(layout.at(i, j, k)) >= 0) outside_voxels_.push_back(layout.at(i, j, k));
  temperature_ = {LargeVector<double>(layout.size, 0.0), state_.copper_rise_k};
  for (Unknowns* u : {&r_, &z_, &p_, &ap_}) *u = {LargeField(layout.size, 0.0F), state_.copper_rise_k};
  find_linked();
}

/// Voxels whose balance has more in it than their six faces, and which of them every face of the air and every link of
/// the copper belongs to.
void SettledSolver::find_linked() {
  for (const AirFace& face : conduction_.air().faces()) linked_.push_back(face.voxel);
  for (const CopperLine& line : conduction_.copper().lines)
    for (const SheathLink& link : line.links) linked_.push_back(link.voxel);
  std::sort(linked_.begin(), linked_.end());
  linked_.erase(std::unique(linked_.begin(), linked_.end()), linked_.end());
  const auto place = [&](std::size_t voxel) {
    return static_cast<int>(std::lower_bound(linked_.begin(), linked_.end(), voxel) - linked_.begin());
  };
  for (const AirFace& face : conduction_.air().faces()) air_face_.push_back(place(face.voxel));
  for (const CopperLine& line : conduction_.copper().lines) {
    copper_link_.emplace_back();
    for (const SheathLink& link : line.links) copper_link_.back().push_back(place(link.voxel));
  }
}

template <class Work>
void SettledSolver::each_row(const Work& work) const {
  const Layout& layout = conduction_.layout();
  crew_.each(layout.nz, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) work(layout.at(0, j, k), k);
  });
}

/// work(from, end, k): the voxels of a plane with the padding between its rows, which is zero in all corrections.
template <class Work>
void SettledSolver::each_plane(const Work& work) const {
  const Layout& layout = conduction_.layout();
  crew_.each(layout.nz, [&](int k) { work(layout.at(0, 0, k), layout.at(layout.nx, layout.ny - 1, k), k); });
}

void SettledSolver::guess(const Snapshot& snapshot) {
  const Layout& layout = conduction_.layout();
  for (int k = 0; k < layout.nz; ++k)
    for (int j = 0; j < layout.ny; ++j)
      for (int i = 0; i < layout.nx; ++i)
        temperature_.voxels[layout.at(i, j, k)] = snapshot.temperature_k[conduction_.wall().grid.at(i, j, k)] - datum_k;
  for (std::size_t c = 0; c < temperature_.copper.size(); ++c)
    for (std::size_t n = 0; n < temperature_.copper[c].size(); ++n)
      temperature_.copper[c][n] = snapshot.lines[c].conductor_k[n] - datum_k;
  started_ = true;
}

bool SettledSolver::has_outlet() const {
  return !conduction_.surfaces().empty();
}

void SettledSolver::start_somewhere() {
  double area_m2 = 0.0, sum = 0.0;
  for (const SurfaceFace& face : conduction_.surfaces()) {
    area_m2 += face.area_m2;
    sum += face.area_m2 * (conduction_.surroundings_k()[static_cast<std::size_t>(face.surroundings)] - datum_k);
  }
  std::fill(temperature_.voxels.begin(), temperature_.voxels.end(), sum / area_m2);
  for (Vector& nodes : temperature_.copper) std::fill(nodes.begin(), nodes.end(), sum / area_m2);
  hold_surroundings();
  started_ = true;
}

void SettledSolver::hold_surroundings() {
  for (std::size_t v = 0; v < temperature_.voxels.size(); ++v)
    if (conduction_.outside_index(v) >= 0) {
      const auto index = static_cast<std::size_t>(conduction_.outside_index(v));
      temperature_.voxels[v] = conduction_.surroundings_k()[index] - datum_k;
    }
}

/// y = A x. heated: with the slope of the copper's heat. x: temperatures (double) or a correction (float).
template <class X>
void SettledSolver::apply(const X& x, bool heated, Unknowns& y) const {
  const auto* t = x.voxels.data();
  float* out = y.voxels.data();
  const VoxelFaces faces{conduction_};
  const auto nx = static_cast<std::size_t>(conduction_.layout().nx);
  each_row([&](std::size_t from, int) {
    const std::size_t end = from + nx;
    WARMBAY_NO_ALIASES
    for (std::size_t v = from; v < end; ++v) out[v] = static_cast<float>(faces.leaving_w(t, v));
  });
  for (const std::size_t v : outside_voxels_) out[v] = 0.0F;
  // What flows through faces and links of a voxel cancels: such sums are rounded once, at their end.
  Vector sums(linked_.size());
  for (std::size_t n = 0; n < linked_.size(); ++n) sums[n] = faces.leaving_w(t, linked_[n]);
  apply_air(t, sums);
  for (std::size_t c = 0; c < y.copper.size(); ++c) apply_copper(c, x.copper[c], t, heated, y.copper[c], sums);
  for (std::size_t n = 0; n < linked_.size(); ++n) out[linked_[n]] = static_cast<float>(sums[n]);
}

template <class Value>
void SettledSolver::apply_copper(std::size_t cable, const Vector& node, const Value* t, bool heated, Vector& out,
                                 Vector& sums) const {
  const CopperLine& line = conduction_.copper().lines[cable];
  const CableType& type = conduction_.wall().cables[cable].type;
  for (std::size_t n = 0; n < node.size(); ++n) {
    out[n] = heated ? -ohmic_heat(type, line.length_m[n], feed_.at(cable, n)).slope_w_k * node[n] : 0.0;
    if (n > 0) out[n] += line.axial_w_k[n - 1] * (node[n] - node[n - 1]);
    if (n + 1 < node.size()) out[n] += line.axial_w_k[n] * (node[n] - node[n + 1]);
  }
  for (std::size_t l = 0; l < line.links.size(); ++l) {
    const SheathLink& link = line.links[l];
    const double flow_w = link.coupling_w_k * (t[link.voxel] - node[static_cast<std::size_t>(link.node)]);
    sums[copper_link_[cable][l]] += flow_w;
    out[static_cast<std::size_t>(link.node)] -= flow_w;
  }
}

/// Adds what the faces round the air spaces lose to their nodes.
template <class Value>
void SettledSolver::apply_air(const Value* t, Vector& sums) const {
  each_air_flow(
      conduction_.air(), [t](std::size_t v) { return static_cast<double>(t[v]); },
      [&](std::size_t f, double into_w, double) { sums[air_face_[f]] -= into_w; });
}

/// r = q - A T at the present temperatures.
void SettledSolver::residual(Unknowns& r) const {
  apply(temperature_, false, r);
  each_plane([&](std::size_t from, std::size_t end, int) {
    for (std::size_t v = from; v < end; ++v) r.voxels[v] = -r.voxels[v];
  });
  for (std::size_t c = 0; c < r.copper.size(); ++c) {
    const CopperLine& line = conduction_.copper().lines[c];
    const CableType& type = conduction_.wall().cables[c].type;
    for (std::size_t n = 0; n < r.copper[c].size(); ++n)
      r.copper[c][n] =
          ohmic_heat(type, line.length_m[n], feed_.at(c, n)).at_w(temperature_.copper[c][n]) - r.copper[c][n];
  }
}

void SettledSolver::precondition(const Unknowns& r, Unknowns& z) {
  multigrid_.cycle(r.voxels, r.copper, z.voxels, z.copper);
}

/// out = work(a, b), unknown by unknown.
template <class A, class B, class Out, class Work>
void SettledSolver::combine(const A& a, const B& b, Out& out, const Work& work) const {
  each_plane([&](std::size_t from, std::size_t end, int) {
    using Value = std::remove_reference_t<decltype(out.voxels[0])>;
    for (std::size_t v = from; v < end; ++v) out.voxels[v] = static_cast<Value>(work(a.voxels[v], b.voxels[v]));
  });
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    std::transform(a.copper[c].begin(), a.copper[c].end(), b.copper[c].begin(), out.copper[c].begin(), work);
}

/// Sum of a b. In a fixed order for any number of threads: plane by plane, in every plane lane by lane.
double SettledSolver::dot(const Unknowns& a, const Unknowns& b) const {
  Vector of_plane(static_cast<std::size_t>(conduction_.layout().nz), 0.0);
  each_plane([&](std::size_t from, std::size_t end, int k) {
    constexpr std::size_t lanes = 16;
    std::array<double, lanes> sums{};
    for (; from + lanes <= end; from += lanes)
      for (std::size_t l = 0; l < lanes; ++l)
        sums[l] += static_cast<double>(a.voxels[from + l]) * static_cast<double>(b.voxels[from + l]);
    for (; from < end; ++from) sums[0] += static_cast<double>(a.voxels[from]) * static_cast<double>(b.voxels[from]);
    of_plane[static_cast<std::size_t>(k)] = std::accumulate(sums.begin(), sums.end(), 0.0);
  });
  double sum = std::accumulate(of_plane.begin(), of_plane.end(), 0.0);
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    for (std::size_t n = 0; n < a.copper[c].size(); ++n) sum += a.copper[c][n] * b.copper[c][n];
  return sum;
}

/// The largest magnitude in a correction.
double SettledSolver::furthest_k(const Unknowns& change) const {
  std::vector<float> of_plane(static_cast<std::size_t>(conduction_.layout().nz), 0.0F);
  each_plane([&](std::size_t from, std::size_t end, int k) {
    constexpr std::size_t lanes = 16;
    std::array<float, lanes> most{};
    for (; from + lanes <= end; from += lanes)
      for (std::size_t l = 0; l < lanes; ++l) {
        const float size = std::abs(change.voxels[from + l]);
        most[l] = most[l] > size ? most[l] : size;
      }
    for (; from < end; ++from) most[0] = std::max(most[0], std::abs(change.voxels[from]));
    of_plane[static_cast<std::size_t>(k)] = *std::max_element(most.begin(), most.end());
  });
  double furthest = *std::max_element(of_plane.begin(), of_plane.end());
  for (const Vector& nodes : change.copper)
    for (const double k : nodes) furthest = std::max(furthest, std::abs(k));
  return furthest;
}

SettledSolver::LinearOutcome SettledSolver::solve_linear(bool lagged, double& moved_k, int& iterations) {
  from_ = temperature_;
  residual(r_);
  precondition(r_, z_);
  p_ = z_;
  double rz = dot(r_, z_);
  // Rounds with coefficients still to change need not be solved further than those will move the answer, nor others
  // further than single precision follows.
  const double first_rz = rz;
  largest_energy_ = std::max(largest_energy_, first_rz);
  constexpr double reduction = limits::round_residual;
  const double small_enough = limits::settled_residual * limits::settled_residual * largest_energy_ * closer_;
  LinearOutcome outcome = LinearOutcome::stalled;
  for (int n = 0; n < limits::settled_iterations; ++n) {
    if (rz <= 0.0 || rz <= std::max(reduction * reduction * first_rz, small_enough)) {
      outcome = rz <= small_enough ? LinearOutcome::exact : LinearOutcome::converged;
      break;
    }
    ++iterations;
    apply(p_, !lagged, ap_);
    const double pap = dot(p_, ap_);
    if (!(pap > 0.0)) {
      temperature_ = from_;
      return LinearOutcome::indefinite;
    }
    const double alpha = rz / pap;
    combine(temperature_, p_, temperature_, [alpha](double t, double p) { return t + alpha * p; });
    combine(r_, ap_, r_, [alpha](double r, double ap) { return r - alpha * ap; });
    precondition(r_, z_);
    const double next = dot(r_, z_), beta = next / rz;
    rz = next;
    combine(z_, p_, p_, [beta](double z, double p) { return z + beta * p; });
  }
  combine(temperature_, from_, p_, [](double is, double was) { return is - was; });
  moved_k = furthest_k(p_);
  return outcome;
}

/// Conductivities and films that follow the temperatures steeply (moving air that sets in, a surface that turns from
/// colder to warmer than its air) send the rounds past their aim and back. The step of a round is then shortened (or
/// lengthened, where all of them go the same way) by what two rounds say of it. Source: Aitken's relaxation as in Irons
/// & Tuck (1969), Int. J. Numer. Methods Eng. 1, 275.
void SettledSolver::relax(int round, double moved_k) {
  const bool slow = round > limits::free_rounds && moved_k > limits::slow_round * last_moved_k_;
  last_moved_k_ = moved_k;
  if (!slow && moved_before_.voxels.empty()) return;
  const Unknowns& moved = p_;  // as solve_linear leaves it
  if (moved_before_.voxels.empty()) {
    moved_before_ = moved;
  } else {
    const double before = dot(moved_before_, moved_before_), both = dot(moved_before_, moved);
    const double turned = both - before, square = dot(moved, moved) - both - turned;
    // Moves that grow without turning lead away from where they started: the sooner the better.
    if (square > 0.0)
      relaxation_ = turned < 0.0
                        ? std::clamp(-relaxation_ * turned / square, limits::least_relaxation, limits::most_relaxation)
                        : limits::most_relaxation;
    moved_before_ = moved;
  }
  combine(from_, moved, temperature_, [this](double was, double by) { return was + relaxation_ * by; });
}

std::vector<SurroundingsReading> SettledSolver::surroundings() const {
  return read_surroundings(conduction_, temperature_.voxels);
}

double SettledSolver::imbalance() const {
  double sources_w = 0.0, out_w = 0.0, largest_w = 0.0;
  for (std::size_t c = 0; c < temperature_.copper.size(); ++c) {
    const CableType& type = conduction_.wall().cables[c].type;
    for (std::size_t n = 0; n < temperature_.copper[c].size(); ++n)
      sources_w +=
          ohmic_heat(type, conduction_.copper().lines[c].length_m[n], feed_.at(c, n)).at_w(temperature_.copper[c][n]);
  }
  for (const SurroundingsReading& one : surroundings()) {
    out_w += one.heat_w;
    largest_w = std::max(largest_w, std::abs(one.heat_w));
  }
  const double scale_w = std::max(std::abs(sources_w), largest_w);
  return scale_w > 1e-12 ? std::abs(sources_w - out_w) / scale_w : 0.0;
}

void SettledSolver::publish() {
  const std::size_t size = conduction_.layout().size;
  for (std::size_t v = 0; v < size; ++v) state_.rise_k[v] = static_cast<float>(temperature_.voxels[v]);
  state_.copper_rise_k = temperature_.copper;
}

/// Takes over what the temperatures make of conductivities, films, air and current.
void SettledSolver::take_coefficients(const Conditions& conditions) {
  publish();
  feed_ = feed_of(conduction_.wall(), conduction_.copper(), conditions, cables_, state_.copper_rise_k, device_open_);
  conduction_.refresh_all(state_.rise_k);
}

double SettledSolver::hottest_copper_k() const {
  double hottest_k = 0.0;
  for (const Vector& nodes : temperature_.copper)
    for (const double rise_k : nodes) hottest_k = std::max(hottest_k, datum_k + rise_k);
  return hottest_k;
}

/// Conjugate gradients that take the coefficients anew at every step, so that linear solves and rounds become one. The
/// direction follows Polak & Ribiere (Nocedal & Wright, Numerical Optimization (2006), 5.2): it forgets by itself what
/// the coefficients have moved away from. What the preconditioner still asks for is the measure of the error. False:
/// it gets no nearer, or the matrix is not positive definite; rounds then go on from the temperatures.
bool SettledSolver::solve_directly(const Conditions& conditions, Result& result) {
  double rz = 0.0, moved_since_rebuild_k = 0.0, last_errors_k = std::numeric_limits<double>::infinity();
  double least_k = last_errors_k;
  for (int n = 0; n < limits::direct_iterations; ++n) {
    take_coefficients(conditions);
    if (n == 0 || moved_since_rebuild_k > limits::rebuild_after_k) {
      multigrid_.rebuild();
      moved_since_rebuild_k = 0.0;
    }
    std::swap(r_, ap_);  // ap_: the residual before
    residual(r_);
    precondition(r_, z_);
    const double next = dot(r_, z_), beta = n == 0 ? 0.0 : std::max(0.0, (next - dot(ap_, z_)) / rz);
    const double error_k = furthest_k(z_);
    rz = next;
    if (!std::isfinite(rz) || hottest_copper_k() > limits::runaway_k) break;
    if (error_k < limits::settled_error_k && imbalance() <= limits::settled_balance) {
      result.outcome = SettledOutcome::settled;
      result.balance = imbalance();
      return true;
    }
    least_k = std::min(least_k, error_k);
    if (n % limits::direct_patience == limits::direct_patience - 1) {
      if (least_k > limits::direct_gain * last_errors_k) return false;
      last_errors_k = least_k;
    }
    if (n == 0)
      p_ = z_;
    else
      combine(z_, p_, p_, [beta](float z, float p) { return z + static_cast<float>(beta) * p; });
    apply(p_, true, ap_);
    const double pap = dot(p_, ap_);
    if (!(pap > 0.0)) return false;
    const double alpha = dot(r_, p_) / pap;
    combine(temperature_, p_, temperature_, [alpha](double t, double p) { return t + alpha * p; });
    moved_since_rebuild_k += std::abs(alpha) * furthest_k(p_);
    ++result.iterations;
  }
  start_somewhere();
  return false;
}

SettledSolver::Result SettledSolver::solve(const Conditions& conditions) {
  Result result;
  if (!has_outlet()) {
    result.outcome = SettledOutcome::no_outlet;
    return result;
  }
  conduction_.set_surroundings(conditions.surroundings_k, state_.rise_k);
  started_ ? hold_surroundings() : start_somewhere();
  if (conduction_.varies() && solve_directly(conditions, result)) return result;
  largest_energy_ = 0.0;
  closer_ = relaxation_ = 1.0;
  last_moved_k_ = std::numeric_limits<double>::infinity();
  moved_before_ = {};
  int lagged_left = 0, hot_rounds = 0;
  result.outcome = SettledOutcome::stalled;
  for (int round = 0; round < limits::settled_rounds; ++round) {
    take_coefficients(conditions);
    if (conduction_.varies() || round == 0) multigrid_.rebuild();
    double moved_k = 0.0;
    const bool lagged = lagged_left > 0;
    const LinearOutcome outcome = solve_linear(lagged, moved_k, result.iterations);
    if (outcome == LinearOutcome::indefinite) {
      lagged_left = 4;
      continue;
    }
    if (lagged) --lagged_left;
    hot_rounds = hottest_copper_k() > limits::runaway_k ? hot_rounds + 1 : 0;
    if (hot_rounds > 5 || !std::isfinite(moved_k)) {
      result.outcome = SettledOutcome::runaway;
      started_ = false;
      return result;
    }
    const bool stands_still = outcome == LinearOutcome::exact || outcome == LinearOutcome::converged;
    if (conduction_.varies() ? stands_still && moved_k < limits::settled_change_k
                             : outcome == LinearOutcome::exact && !lagged) {
      publish();
      if (conduction_.varies()) conduction_.refresh_all(state_.rise_k);
      result.balance = imbalance();
      if (result.balance <= (conduction_.varies() ? limits::settled_balance : limits::fixed_balance)) {
        result.outcome = SettledOutcome::settled;
        return result;
      }
      // Metal between its surfaces: temperatures that stand still may still be too coarse for the heat that flows.
      closer_ *= limits::settled_closer;
    }
    if (conduction_.varies() && !lagged) relax(round, moved_k);
  }
  if (lagged_left > 0 || hot_rounds > 0) result.outcome = SettledOutcome::runaway;
  started_ = false;
  return result;
}

}  // namespace warmbay::sim
