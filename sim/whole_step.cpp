// Conjugate gradients on (C + h L) d = h R, in double precision. In a step of seconds heat reaches a few voxels far, so
// that a diagonal preconditioner does for the voxels; the copper, which carries heat much further, is preconditioned
// line by line. Air nodes have no heat capacity and are eliminated.

#include "sim/whole_step.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sim/air_flow.hpp"
#include "sim/limits.hpp"
#include "sim/no_aliases.hpp"
#include "sim/voxel_faces.hpp"

namespace warmbay::sim {
namespace {

/// Heat that a node's copper gives.
OhmicHeat heat_of(const Conduction& wall, std::size_t line, std::size_t node, const Feed& feed) {
  return ohmic_heat(wall.wall().cables[line].type, wall.copper().lines[line].length_m[node], feed.at(line, node));
}

}  // namespace

/// work(first voxel of a row, k): rows of one plane one after the other, planes shared out.
template <class Work>
void WholeStep::each_row(const Work& work) const {
  const Layout& layout = wall_.layout();
  crew_.each(layout.nz, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) work(layout.at(0, j, k), k);
  });
}

void WholeStep::make_room(const HeatState& state) {
  const std::size_t size = wall_.layout().size;
  now_.voxels.assign(state.rise_k.begin(), state.rise_k.end());
  now_.copper = state.copper_rise_k;
  RiseRange range;
  for (const float rise_k : state.rise_k) range.include(rise_k);
  for (const std::vector<double>& nodes : state.copper_rise_k)
    for (const double rise_k : nodes) range.include(rise_k);
  error_k_ = std::clamp(limits::whole_error_share * (range.highest_k - range.lowest_k), limits::whole_residual_k,
                        limits::whole_error_k);
  if (r_.voxels.size() == size) return;
  inverse_diagonal_.assign(size, 0.0);
  for (Unknowns* u : {&between_, &last_, &whole_, &halves_, &second_, &r_, &z_, &p_, &ap_})
    *u = {LargeVector<double>(size, 0.0), state.copper_rise_k};
  pivot_ = upper_ = state.copper_rise_k;
  double capacity_j_k = 0.0;
  for (std::size_t v = 0; v < size; ++v)
    if (wall_.is_solid(v)) capacity_j_k += wall_.capacity()[v];
  small_enough_ = limits::whole_residual_k * limits::whole_residual_k * capacity_j_k;
}

/// C + h G of every voxel, and the factors of the copper's lines.
void WholeStep::find_diagonal(double h_s, const Feed& feed) {
  const VoxelFaces faces{wall_};
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + nx; ++v)
      inverse_diagonal_[v] = wall_.is_solid(v) ? wall_.capacity()[v] + h_s * faces.all_w_k(v) : 0.0;
  });
  const AirSpaces& air = wall_.air();
  for (std::size_t f = 0; f < air.faces().size(); ++f)
    inverse_diagonal_[air.faces()[f].voxel] += h_s * (air.radiant_w_k()[f] + air.convective_w_k()[f]);
  for (std::size_t c = 0; c < wall_.copper().lines.size(); ++c) {
    const CopperLine& line = wall_.copper().lines[c];
    for (std::size_t n = 0; n < pivot_[c].size(); ++n) {
      double own = line.capacity_j_k[n] + h_s * (line.axial_w_k[n] - heat_of(wall_, c, n, feed).slope_w_k);
      for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
        const SheathLink& link = line.links[static_cast<std::size_t>(l)];
        own += h_s * link.coupling_w_k;
        inverse_diagonal_[link.voxel] += h_s * link.coupling_w_k;
      }
      if (n > 0) own += h_s * line.axial_w_k[n - 1] * (1.0 - upper_[c][n - 1]);
      pivot_[c][n] = 1.0 / own;
      upper_[c][n] = h_s * line.axial_w_k[n] * pivot_[c][n];
    }
  }
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + nx; ++v)
      inverse_diagonal_[v] = inverse_diagonal_[v] > 0.0 ? 1.0 / inverse_diagonal_[v] : 0.0;
  });
}

/// Heat that flows into every unknown at temperatures `from`, W, the copper's own included.
void WholeStep::flow(const Unknowns& from, const Feed& feed, Unknowns& into_w) {
  const VoxelFaces faces{wall_};
  const double* t = from.voxels.data();
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t first, int) {
    for (std::size_t v = first; v < first + nx; ++v)
      into_w.voxels[v] = wall_.is_solid(v) ? -faces.leaving_w(t, v) : 0.0;
  });
  const AirSpaces& air = wall_.air();
  each_air_flow(
      air, [t](std::size_t v) { return t[v]; },
      [&](std::size_t f, double w, double) { into_w.voxels[air.faces()[f].voxel] += w; });
  for (std::size_t c = 0; c < into_w.copper.size(); ++c) {
    const CopperLine& line = wall_.copper().lines[c];
    const std::vector<double>& node = from.copper[c];
    for (std::size_t n = 0; n < node.size(); ++n) {
      double w = heat_of(wall_, c, n, feed).at_w(node[n]);
      if (n > 0) w += line.axial_w_k[n - 1] * (node[n - 1] - node[n]);
      if (n + 1 < node.size()) w += line.axial_w_k[n] * (node[n + 1] - node[n]);
      for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
        const SheathLink& link = line.links[static_cast<std::size_t>(l)];
        const double by_link_w = link.coupling_w_k * (t[link.voxel] - node[n]);
        w += by_link_w;
        into_w.voxels[link.voxel] -= by_link_w;
      }
      into_w.copper[c][n] = w;
    }
  }
}

/// y = (C + h L) x. Surroundings do not move: x is 0 there.
void WholeStep::apply(const Unknowns& x, double h_s, const Feed& feed, Unknowns& y) {
  const VoxelFaces faces{wall_};
  const double* d = x.voxels.data();
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&, faces, h_s](std::size_t from, int) {
    const float* capacity_j_k = wall_.capacity().data();
    const double* inverse = inverse_diagonal_.data();
    double* __restrict into = y.voxels.data();
    WARMBAY_NO_ALIASES
    for (std::size_t v = from; v < from + nx; ++v) {
      const double kept = capacity_j_k[v] * d[v] + h_s * faces.leaving_w(d, v);
      into[v] = inverse[v] > 0.0 ? kept : 0.0;
    }
  });
  const AirSpaces& air = wall_.air();
  each_air_flow(
      air, [d](std::size_t v) { return d[v]; },
      [&](std::size_t f, double w, double) { y.voxels[air.faces()[f].voxel] -= h_s * w; });
  for (std::size_t c = 0; c < y.copper.size(); ++c) {
    const CopperLine& line = wall_.copper().lines[c];
    const std::vector<double>& node = x.copper[c];
    for (std::size_t n = 0; n < node.size(); ++n) {
      double w = -heat_of(wall_, c, n, feed).slope_w_k * node[n];
      if (n > 0) w += line.axial_w_k[n - 1] * (node[n] - node[n - 1]);
      if (n + 1 < node.size()) w += line.axial_w_k[n] * (node[n] - node[n + 1]);
      for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
        const SheathLink& link = line.links[static_cast<std::size_t>(l)];
        const double by_link_w = link.coupling_w_k * (node[n] - d[link.voxel]);
        w += by_link_w;
        y.voxels[link.voxel] -= h_s * by_link_w;
      }
      y.copper[c][n] = line.capacity_j_k[n] * node[n] + h_s * w;
    }
  }
}

/// z = P^-1 r; returns r z.
double WholeStep::precondition(double h_s) {
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + nx; ++v) z_.voxels[v] = inverse_diagonal_[v] * r_.voxels[v];
  });
  for (std::size_t c = 0; c < z_.copper.size(); ++c) {
    const CopperLine& line = wall_.copper().lines[c];
    std::vector<double>& z = z_.copper[c];
    for (std::size_t n = 0; n < z.size(); ++n)
      z[n] = pivot_[c][n] * (r_.copper[c][n] + (n > 0 ? h_s * line.axial_w_k[n - 1] * z[n - 1] : 0.0));
    for (std::size_t n = z.size(); n-- > 1;) z[n - 1] += upper_[c][n - 1] * z[n];
  }
  return dot(r_, z_);
}

/// In a fixed order for any number of threads.
double WholeStep::dot(const Unknowns& a, const Unknowns& b) const {
  std::vector<double> of_plane(static_cast<std::size_t>(wall_.layout().nz), 0.0);
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int k) {
    double sum = 0.0;
    for (std::size_t v = from; v < from + nx; ++v) sum += a.voxels[v] * b.voxels[v];
    of_plane[static_cast<std::size_t>(k)] += sum;
  });
  double sum = std::accumulate(of_plane.begin(), of_plane.end(), 0.0);
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    sum = std::inner_product(a.copper[c].begin(), a.copper[c].end(), b.copper[c].begin(), sum);
  return sum;
}

/// moved: a guess on the way in.
bool WholeStep::solve(const Unknowns& from, double h_s, const Feed& feed, Unknowns& moved, Books& books) {
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  const auto combine = [&](Unknowns& to, const Unknowns& by, const auto& work) {
    each_row([&](std::size_t first, int) {
      for (std::size_t v = first; v < first + nx; ++v) to.voxels[v] = work(to.voxels[v], by.voxels[v]);
    });
    for (std::size_t c = 0; c < to.copper.size(); ++c)
      std::transform(to.copper[c].begin(), to.copper[c].end(), by.copper[c].begin(), to.copper[c].begin(), work);
  };
  find_diagonal(h_s, feed);
  flow(from, feed, r_);
  combine(r_, r_, [h_s](double w, double) { return h_s * w; });
  const double all = precondition(h_s);
  const double enough = std::max(limits::whole_residual * limits::whole_residual * all, small_enough_);
  apply(moved, h_s, feed, ap_);
  combine(r_, ap_, [](double right, double left) { return right - left; });
  double rz = precondition(h_s);
  p_ = z_;
  for (int n = 0; rz > enough; ++n) {
    if (n == limits::whole_iterations) return false;
    apply(p_, h_s, feed, ap_);
    const double pap = dot(p_, ap_);
    if (!(pap > 0.0)) return false;
    const double alpha = rz / pap;
    combine(moved, p_, [alpha](double d, double p) { return d + alpha * p; });
    combine(r_, ap_, [alpha](double r, double ap) { return r - alpha * ap; });
    const double next = precondition(h_s), beta = next / rz;
    rz = next;
    combine(p_, z_, [beta](double p, double z) { return z + beta * p; });
  }
  books = books_of(from, moved, h_s, feed);
  return std::isfinite(rz);
}

/// Heat that the copper gives and that leaves by the surfaces during one step of backward Euler, J.
WholeStep::Books WholeStep::books_of(const Unknowns& from, const Unknowns& moved, double h_s, const Feed& feed) const {
  Books books;
  for (std::size_t c = 0; c < moved.copper.size(); ++c)
    for (std::size_t n = 0; n < moved.copper[c].size(); ++n)
      books.generated_j += h_s * heat_of(wall_, c, n, feed).at_w(from.copper[c][n] + moved.copper[c][n]);
  for (const SurfaceFace& face : wall_.surfaces())
    books.left_j += h_s * wall_.conductance(face.axis)[face.face] *
                    (from.voxels[face.solid] + moved.voxels[face.solid] - from.voxels[face.outside]);
  return books;
}

double WholeStep::furthest_apart_k(const Unknowns& a, const Unknowns& b) const {
  std::vector<double> of_plane(static_cast<std::size_t>(wall_.layout().nz), 0.0);
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int k) {
    double& most = of_plane[static_cast<std::size_t>(k)];
    for (std::size_t v = from; v < from + nx; ++v) most = std::max(most, std::abs(a.voxels[v] - b.voxels[v]));
  });
  double most = *std::max_element(of_plane.begin(), of_plane.end());
  for (std::size_t c = 0; c < a.copper.size(); ++c)
    for (std::size_t n = 0; n < a.copper[c].size(); ++n)
      most = std::max(most, std::abs(a.copper[c][n] - b.copper[c][n]));
  return most;
}

/// second = 2 halves - whole, where that keeps every temperature inside its bound.
bool WholeStep::extrapolate(const RiseBound& bound) {
  RiseRange copper;
  for (std::size_t c = 0; c < now_.copper.size(); ++c)
    for (std::size_t n = 0; n < now_.copper[c].size(); ++n) {
      second_.copper[c][n] = 2.0 * halves_.copper[c][n] - whole_.copper[c][n];
      copper.include(now_.copper[c][n] + second_.copper[c][n]);
    }
  std::vector<RiseRange> of_plane(static_cast<std::size_t>(wall_.layout().nz));
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int k) {
    RiseRange& range = of_plane[static_cast<std::size_t>(k)];
    for (std::size_t v = from; v < from + nx; ++v) {
      second_.voxels[v] = 2.0 * halves_.voxels[v] - whole_.voxels[v];
      if (wall_.is_solid(v)) range.include(now_.voxels[v] + second_.voxels[v]);
    }
  });
  RiseRange voxels;
  for (const RiseRange& plane : of_plane) voxels.include(plane);
  return bound.holds(voxels, copper);
}

/// What the step before goes on to, as a first guess of where this one leads.
void WholeStep::guess(const HeatState& state, double dt_s) {
  const bool known = state.change_s > 0.0 && state.change_k.size() == last_.voxels.size();
  const auto times = static_cast<float>(known ? dt_s / state.change_s : 0.0);
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + nx; ++v)
      last_.voxels[v] = known && wall_.is_solid(v) ? static_cast<double>(times * state.change_k[v]) : 0.0;
  });
  for (std::vector<double>& nodes : last_.copper) std::fill(nodes.begin(), nodes.end(), 0.0);
}

void WholeStep::scale(const Unknowns& from, double times, Unknowns& into) const {
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t first, int) {
    for (std::size_t v = first; v < first + nx; ++v) into.voxels[v] = times * from.voxels[v];
  });
  for (std::size_t c = 0; c < into.copper.size(); ++c)
    for (std::size_t n = 0; n < into.copper[c].size(); ++n) into.copper[c][n] = times * from.copper[c][n];
}

void WholeStep::add(const Unknowns& moved, Unknowns& to) const {
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + nx; ++v) to.voxels[v] += moved.voxels[v];
  });
  for (std::size_t c = 0; c < to.copper.size(); ++c)
    for (std::size_t n = 0; n < to.copper[c].size(); ++n) to.copper[c][n] += moved.copper[c][n];
}

/// Conductances follow temperatures of voxels.
void WholeStep::refresh(const Unknowns& at) {
  if (!wall_.varies()) return;
  const auto nx = static_cast<std::size_t>(wall_.layout().nx);
  each_row([&](std::size_t from, int) {
    for (std::size_t v = from; v < from + nx; ++v) rise_k_[v] = static_cast<float>(at.voxels[v]);
  });
  wall_.refresh(rise_k_);
}

WholeStep::Outcome WholeStep::advance(HeatState& state, double dt_s, const Feed& feed, const RiseBound& bound) {
  make_room(state);
  rise_k_ = state.rise_k;
  const double least_s = dt_s * limits::whole_least_share;
  Outcome outcome;
  Books all;
  double done_s = 0.0, last_s = dt_s;
  guess(state, dt_s);
  double can_s = state.sub_step_s > 0.0 ? state.sub_step_s : dt_s;  // the longest that should do
  while (done_s < dt_s) {
    const double left_s = dt_s - done_s, h_s = left_s <= can_s * (1.0 + 1e-9) ? left_s : can_s;
    Books whole, first, second;
    scale(last_, h_s / last_s, whole_);
    bool solved = solve(now_, h_s, feed, whole_, whole);
    if (solved) {
      scale(whole_, 0.5, halves_);
      solved = solve(now_, 0.5 * h_s, feed, halves_, first);
    }
    if (solved) {
      between_ = now_;
      add(halves_, between_);
      refresh(between_);
      scale(whole_, 0.5, second_);
      solved = solve(between_, 0.5 * h_s, feed, second_, second);
    }
    if (!solved) {
      if (h_s < least_s) return outcome;  // what is not a number stays so however short the step
      can_s = 0.25 * h_s;
      refresh(now_);
      continue;
    }
    add(second_, halves_);
    const double error_k = furthest_apart_k(whole_, halves_);
    if (!std::isfinite(error_k)) return outcome;
    const double fits = std::sqrt(error_k_ / std::max(error_k, 1e-30));
    if (error_k > error_k_ && h_s > least_s) {
      can_s = h_s * std::clamp(0.9 * fits, 0.1, 0.5);
      refresh(now_);
      continue;
    }
    const bool more = extrapolate(bound);
    add(more ? second_ : halves_, now_);
    refresh(now_);
    const double halves_left_j = first.left_j + second.left_j, halves_made_j = first.generated_j + second.generated_j;
    all.left_j += more ? 2.0 * halves_left_j - whole.left_j : halves_left_j;
    all.generated_j += more ? 2.0 * halves_made_j - whole.generated_j : halves_made_j;
    std::swap(last_, more ? second_ : halves_);
    last_s = h_s;
    done_s += h_s;
    can_s = std::max(can_s, h_s * std::clamp(0.9 * fits, 1.0, 2.0));
  }
  state.sub_step_s = can_s;
  outcome = finish(state, dt_s);
  outcome.generated_j = all.generated_j;
  outcome.left_j = all.left_j;
  return outcome;
}

/// Hands the temperatures over, rounded to what the state keeps.
WholeStep::Outcome WholeStep::finish(HeatState& state, double dt_s) {
  const Layout& layout = wall_.layout();
  const auto nx = static_cast<std::size_t>(layout.nx);
  state.change_k.resize(layout.size, 0.0F);
  state.change_s = dt_s;
  struct OfPlane {
    RiseRange range;
    double fastest_k = 0.0;
  };
  std::vector<OfPlane> of_plane(static_cast<std::size_t>(layout.nz));
  each_row([&](std::size_t from, int k) {
    OfPlane& plane = of_plane[static_cast<std::size_t>(k)];
    for (std::size_t v = from; v < from + nx; ++v) {
      if (!wall_.is_solid(v)) continue;
      const auto rise_k = static_cast<float>(now_.voxels[v]);
      state.change_k[v] = rise_k - state.rise_k[v];
      state.rise_k[v] = rise_k;
      plane.range.include(rise_k);
      plane.fastest_k = std::max(plane.fastest_k, std::abs(static_cast<double>(state.change_k[v])));
    }
  });
  RiseRange range;
  double fastest_k = 0.0;
  for (const OfPlane& plane : of_plane) {
    range.include(plane.range);
    fastest_k = std::max(fastest_k, plane.fastest_k);
  }
  for (std::size_t c = 0; c < now_.copper.size(); ++c)
    for (std::size_t n = 0; n < now_.copper[c].size(); ++n) {
      fastest_k = std::max(fastest_k, std::abs(now_.copper[c][n] - state.copper_rise_k[c][n]));
    }
  state.copper_rise_k = now_.copper;
  const RiseRange copper = range_of(now_.copper);
  range.include(copper);
  return {true, 0.0, 0.0, fastest_k / dt_s, range, copper};
}

}  // namespace warmbay::sim
