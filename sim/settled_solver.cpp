// A T = q with A the conductances, the couplings and the copper's axial conduction less the slope of I^2 R(T): copper's
// resistance is linear in temperature, so that slope inside the matrix settles it at once. Where the matrix stops being
// positive definite (more heat gained per kelvin than carried away, at the present conductivities) the resistance is
// lagged instead; a true runaway then climbs past copper's melting point.
//
// First come conjugate gradients whose coefficients are taken anew at every step; where those get no nearer (moving air
// that sets in, films that turn round), rounds of linear solves, relaxed where they circle. Preconditioner: one cycle
// of multigrid.

#include "sim/settled_solver.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/damage/cable_damage.hpp"
#include "sim/damage/wall_damage.hpp"
#include "sim/limits.hpp"

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
  for (Unknowns* u : {&temperature_, &r_, &z_, &p_, &ap_}) {
    u->voxels.assign(layout.size, 0.0);
    u->copper = state_.copper_rise_k;
  }
}

template <class Work>
void SettledSolver::each_row(const Work& work) const {
  const Layout& layout = conduction_.layout();
  crew_.each(layout.nz, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) work(layout.at(0, j, k), k);
  });
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
  started_ = true;
}

void SettledSolver::apply(const Unknowns& x, bool heated, Unknowns& y) const {
  const Layout& layout = conduction_.layout();
  const std::ptrdiff_t row = layout.row, plane = layout.plane;
  const float *gx = conduction_.conductance(Axis::x).data(), *gy = conduction_.conductance(Axis::y).data(),
              *gz = conduction_.conductance(Axis::z).data();
  const double* t = x.voxels.data();
  double* out = y.voxels.data();
  each_row([&](std::size_t from, int) {
#pragma GCC ivdep
    for (std::size_t v = from; v < from + static_cast<std::size_t>(layout.nx); ++v)
      out[v] = gx[v] * (t[v] - t[v + 1]) + gx[v - 1] * (t[v] - t[v - 1]) + gy[v] * (t[v] - t[v + row]) +
               gy[v - row] * (t[v] - t[v - row]) + gz[v] * (t[v] - t[v + plane]) +
               gz[v - plane] * (t[v] - t[v - plane]);
  });
  for (const std::size_t v : outside_voxels_) out[v] = 0.0;
  apply_air(x.voxels, y.voxels);
  for (std::size_t c = 0; c < y.copper.size(); ++c) {
    const CopperLine& line = conduction_.copper().lines[c];
    const CableType& type = conduction_.wall().cables[c].type;
    const Vector& node = x.copper[c];
    for (std::size_t n = 0; n < node.size(); ++n) {
      const double current_a = heated ? feed_.at(c, n) : 0.0;
      y.copper[c][n] =
          -current_a * current_a * type.loaded * resistance_slope_ohm_mk(type) * line.length_m[n] * node[n];
      if (n > 0) y.copper[c][n] += line.axial_w_k[n - 1] * (node[n] - node[n - 1]);
      if (n + 1 < node.size()) y.copper[c][n] += line.axial_w_k[n] * (node[n] - node[n + 1]);
    }
    for (const SheathLink& link : line.links) {
      const double flow_w = link.coupling_w_k * (t[link.voxel] - node[static_cast<std::size_t>(link.node)]);
      out[link.voxel] += flow_w;
      y.copper[c][static_cast<std::size_t>(link.node)] -= flow_w;
    }
  }
}

/// Adds what the faces round the air spaces lose to their nodes.
void SettledSolver::apply_air(const Vector& t, Vector& out) const {
  const AirSpaces& air = conduction_.air();
  for (const AirSlab& slab : air.slabs())
    for (const std::vector<float>* couplings : {&air.radiant_w_k(), &air.convective_w_k()}) {
      double sum = 0.0, weighted = 0.0;
      for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
        sum += (*couplings)[f];
        weighted += (*couplings)[f] * t[air.faces()[f].voxel];
      }
      if (sum <= 0.0) continue;
      for (std::size_t f = slab.first_face; f < slab.last_face; ++f)
        out[air.faces()[f].voxel] += (*couplings)[f] * (t[air.faces()[f].voxel] - weighted / sum);
    }
}

/// r = q - A T at the present temperatures.
void SettledSolver::residual(Unknowns& r) const {
  apply(temperature_, false, r);
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + static_cast<std::size_t>(conduction_.layout().nx); ++v)
      r.voxels[v] = -r.voxels[v];
  });
  for (std::size_t c = 0; c < r.copper.size(); ++c) {
    const CopperLine& line = conduction_.copper().lines[c];
    const CableType& type = conduction_.wall().cables[c].type;
    for (std::size_t n = 0; n < r.copper[c].size(); ++n)
      r.copper[c][n] = feed_.at(c, n) * feed_.at(c, n) * type.loaded * line.length_m[n] *
                           resistance_ohm_m(type, datum_k + temperature_.copper[c][n]) -
                       r.copper[c][n];
  }
}

void SettledSolver::precondition(const Unknowns& r, Unknowns& z) {
  multigrid_.cycle(r.voxels, r.copper, z.voxels, z.copper);
}

/// work(a, b) on every pair of unknowns, in a fixed order.
template <class Work>
void SettledSolver::each_pair(const Unknowns& a, const Unknowns& b, const Work& work) {
  for (std::size_t v = 0; v < a.voxels.size(); ++v) work(a.voxels[v], b.voxels[v]);
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    for (std::size_t n = 0; n < a.copper[c].size(); ++n) work(a.copper[c][n], b.copper[c][n]);
}

/// out = work(a, b), unknown by unknown.
template <class Work>
void SettledSolver::combine(const Unknowns& a, const Unknowns& b, Unknowns& out, const Work& work) const {
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + static_cast<std::size_t>(conduction_.layout().nx); ++v)
      out.voxels[v] = work(a.voxels[v], b.voxels[v]);
  });
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    std::transform(a.copper[c].begin(), a.copper[c].end(), b.copper[c].begin(), out.copper[c].begin(), work);
}

double SettledSolver::dot(const Unknowns& a, const Unknowns& b) const {
  Vector of_plane(static_cast<std::size_t>(conduction_.layout().nz), 0.0);
  each_row([&](std::size_t from, int k) {
    double sum = 0.0;
    for (std::size_t v = from; v < from + static_cast<std::size_t>(conduction_.layout().nx); ++v)
      sum += a.voxels[v] * b.voxels[v];
    of_plane[static_cast<std::size_t>(k)] += sum;
  });
  double sum = 0.0;
  for (const double plane : of_plane) sum += plane;
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    for (std::size_t n = 0; n < a.copper[c].size(); ++n) sum += a.copper[c][n] * b.copper[c][n];
  return sum;
}

SettledSolver::LinearOutcome SettledSolver::solve_linear(bool lagged, double& moved_k, int& iterations) {
  auto each_value = [&](auto&& work) {  // on every unknown, rows shared out among the crew
    each_row([&](std::size_t from, int) {
      for (std::size_t v = from; v < from + static_cast<std::size_t>(conduction_.layout().nx); ++v)
        work(temperature_.voxels[v], r_.voxels[v], z_.voxels[v], p_.voxels[v], ap_.voxels[v]);
    });
    for (std::size_t c = 0; c < r_.copper.size(); ++c)
      for (std::size_t n = 0; n < r_.copper[c].size(); ++n)
        work(temperature_.copper[c][n], r_.copper[c][n], z_.copper[c][n], p_.copper[c][n], ap_.copper[c][n]);
  };
  from_ = temperature_;
  residual(r_);
  precondition(r_, z_);
  each_value([](double&, double&, double& z, double& p, double&) { p = z; });
  double rz = dot(r_, z_);
  // Rounds with coefficients still to change need not be solved further than those will move the answer.
  const double first_rz = rz;
  largest_energy_ = std::max(largest_energy_, first_rz);
  const double reduction = conduction_.varies() || lagged ? limits::round_residual : limits::settled_residual;
  const double small_enough = limits::settled_residual * limits::settled_residual * largest_energy_ * closer_;
  LinearOutcome outcome = LinearOutcome::stalled;
  for (int n = 0; n < limits::settled_iterations; ++n) {
    if (rz <= 0.0 || rz <= std::max(reduction * reduction * first_rz, small_enough)) {
      outcome = LinearOutcome::converged;
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
    each_value([alpha](double& t, double& r, double&, double& p, double& ap) {
      t += alpha * p;
      r -= alpha * ap;
    });
    precondition(r_, z_);
    const double next = dot(r_, z_), beta = next / rz;
    rz = next;
    each_value([beta](double&, double&, double& z, double& p, double&) { p = z + beta * p; });
  }
  moved_k = 0.0;
  each_pair(from_, temperature_, [&](double was, double is) { moved_k = std::max(moved_k, std::abs(is - was)); });
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
  Unknowns& moved = z_;  // free between linear solves
  combine(temperature_, from_, moved, [](double is, double was) { return is - was; });
  if (moved_before_.voxels.empty()) {
    moved_before_ = moved;
  } else {
    double turned = 0.0, square = 0.0;
    each_pair(moved_before_, moved, [&](double before, double now) {
      turned += before * (now - before);
      square += (now - before) * (now - before);
    });
    // Moves that grow without turning lead away from where they started: the sooner the better.
    if (square > 0.0)
      relaxation_ = turned < 0.0
                        ? std::clamp(-relaxation_ * turned / square, limits::least_relaxation, limits::most_relaxation)
                        : limits::most_relaxation;
    moved_before_ = moved;
  }
  combine(from_, moved, temperature_, [this](double was, double by) { return was + relaxation_ * by; });
}

double SettledSolver::imbalance() const {
  double sources_w = 0.0, out_w = 0.0, largest_w = 0.0;
  for (std::size_t c = 0; c < temperature_.copper.size(); ++c) {
    const CableType& type = conduction_.wall().cables[c].type;
    for (std::size_t n = 0; n < temperature_.copper[c].size(); ++n)
      sources_w += feed_.at(c, n) * feed_.at(c, n) * type.loaded * conduction_.copper().lines[c].length_m[n] *
                   resistance_ohm_m(type, datum_k + temperature_.copper[c][n]);
  }
  Vector heat_w(conduction_.wall().surroundings.size(), 0.0);
  for (const SurfaceFace& face : conduction_.surfaces())
    heat_w[static_cast<std::size_t>(face.surroundings)] +=
        conduction_.conductance(face.axis)[face.face] *
        (temperature_.voxels[face.solid] - temperature_.voxels[face.outside]);
  for (const double w : heat_w) {
    out_w += w;
    largest_w = std::max(largest_w, std::abs(w));
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

double SettledSolver::furthest_k(const Unknowns& change) const {
  Vector of_plane(static_cast<std::size_t>(conduction_.layout().nz), 0.0);
  each_row([&](std::size_t from, int k) {
    double furthest = of_plane[static_cast<std::size_t>(k)];
    for (std::size_t v = from; v < from + static_cast<std::size_t>(conduction_.layout().nx); ++v)
      furthest = std::max(furthest, std::abs(change.voxels[v]));
    of_plane[static_cast<std::size_t>(k)] = furthest;
  });
  double furthest = *std::max_element(of_plane.begin(), of_plane.end());
  for (const Vector& nodes : change.copper)
    for (const double k : nodes) furthest = std::max(furthest, std::abs(k));
  return furthest;
}

/// Conjugate gradients that take the coefficients anew at every step, so that linear solves and rounds become one. The
/// direction follows Polak & Ribiere (Nocedal & Wright, Numerical Optimization (2006), 5.2): it forgets by itself what
/// the coefficients have moved away from. What the preconditioner still asks for is the measure of the error. False:
/// it gets no nearer, or the matrix is not positive definite; rounds then go on from the temperatures.
bool SettledSolver::solve_directly(const Conditions& conditions, Result& result) {
  from_ = temperature_;
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
    if (!std::isfinite(error_k) || hottest_copper_k() > limits::runaway_k) break;
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
    combine(z_, p_, p_, [beta](double z, double p) { return z + beta * p; });
    apply(p_, true, ap_);
    const double pap = dot(p_, ap_);
    if (!(pap > 0.0)) return false;
    const double alpha = dot(r_, p_) / pap;
    combine(temperature_, p_, temperature_, [alpha](double t, double p) { return t + alpha * p; });
    moved_since_rebuild_k += std::abs(alpha) * furthest_k(p_);
    ++result.iterations;
  }
  temperature_ = from_;
  return false;
}

SettledSolver::Result SettledSolver::solve(const Conditions& conditions) {
  Result result;
  if (!has_outlet()) {
    result.outcome = SettledOutcome::no_outlet;
    return result;
  }
  conduction_.set_surroundings(conditions.surroundings_k, state_.rise_k);
  if (!started_) start_somewhere();
  const Layout& layout = conduction_.layout();
  for (std::size_t v = 0; v < layout.size; ++v)
    if (conduction_.outside_index(v) >= 0) temperature_.voxels[v] = state_.rise_k[v];
  if (conduction_.varies() && solve_directly(conditions, result)) return result;
  largest_energy_ = 0.0;
  closer_ = relaxation_ = 1.0;
  last_moved_k_ = std::numeric_limits<double>::infinity();
  moved_before_ = {};
  int lagged_left = 0, hot_rounds = 0;
  result.outcome = SettledOutcome::stalled;
  for (int round = 0; round < limits::settled_rounds; ++round) {
    take_coefficients(conditions);
    multigrid_.rebuild();
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
    if ((moved_k < limits::settled_change_k || (!conduction_.varies() && !lagged)) &&
        outcome == LinearOutcome::converged) {
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
