#include "sim/splitting_error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/air_flow.hpp"
#include "sim/lanes.hpp"

namespace warmbay::sim {
namespace {

/// What couplings bring to one voxel.
struct Coupled {
  std::size_t voxel;
  double into_w, w_k;
};

/// From the copper and across air spaces, at temperatures half way through the step; by voxel.
std::vector<Coupled> couplings(const Conduction& wall, const HeatState& state,
                               const std::vector<std::vector<double>>& copper_before) {
  std::vector<Coupled> all;
  const auto half_way_k = [&](std::size_t v) { return state.rise_k[v] - 0.5 * state.change_k[v]; };
  const AirSpaces& air = wall.air();
  each_air_flow(air, half_way_k, [&](std::size_t f, double into_w, double w_k) {
    all.push_back({air.faces()[f].voxel, into_w, w_k});
  });
  for (std::size_t c = 0; c < wall.copper().lines.size(); ++c)
    for (const SheathLink& link : wall.copper().lines[c].links) {
      const double node_k = 0.5 * (copper_before[c][link.node] + state.copper_rise_k[c][link.node]);
      all.push_back({link.voxel, link.coupling_w_k * (node_k - half_way_k(link.voxel)), link.coupling_w_k});
    }
  std::stable_sort(all.begin(), all.end(), [](const Coupled& a, const Coupled& b) { return a.voxel < b.voxel; });
  return all;
}

std::ptrdiff_t whole_registers(std::ptrdiff_t n) {
  return (n + lane::side - 1) / lane::side * lane::side;
}

/// A row of voxels half way through a step: temperatures after it, what it changed, conductances along +x, +y and +z.
struct HalfWay {
  const float *t, *d, *gx, *gy, *gz;
  std::ptrdiff_t row, plane;

  [[nodiscard]] float along_w(float g_w_k, std::ptrdiff_t here, std::ptrdiff_t there) const {
    return g_w_k * ((t[there] - t[here]) - 0.5F * (d[there] - d[here]));
  }
  /// Heat into each voxel through its six faces, W, and their conductances, W/K.
  void flow(std::ptrdiff_t n, float* __restrict into_w, float* __restrict all_w_k) const {
#pragma GCC ivdep
    for (std::ptrdiff_t i = 0; i < n; ++i) {
      into_w[i] = (along_w(gx[i], i, i + 1) + along_w(gx[i - 1], i, i - 1)) +
                  (along_w(gy[i], i, i + row) + along_w(gy[i - row], i, i - row)) +
                  (along_w(gz[i], i, i + plane) + along_w(gz[i - plane], i, i - plane));
      all_w_k[i] = (gx[i] + gx[i - 1]) + (gy[i] + gy[i - row]) + (gz[i] + gz[i - plane]);
    }
  }
  /// Surroundings hold so much heat that nothing is off there. Overwrites what flow() made; zeros follow that.
  [[nodiscard]] SplittingError error(const float* capacity_j_k, float per_s, std::ptrdiff_t n, float* __restrict into_w,
                                     float* __restrict all_w_k) const {
#pragma GCC ivdep
    for (std::ptrdiff_t i = 0; i < n; ++i) {
      const float kept_w_k = capacity_j_k[i] * per_s, with_w_k = kept_w_k + all_w_k[i];
      const float rounded_k = std::numeric_limits<float>::epsilon() * std::abs(t[i]);
      const float off_k = std::max(std::abs(kept_w_k * d[i] - into_w[i]) / with_w_k - rounded_k, 0.0F);
      into_w[i] = off_k;
      all_w_k[i] = off_k * with_w_k;
    }
    const std::ptrdiff_t whole = whole_registers(n);
    lane::Lanes astray_w{};
    for (std::ptrdiff_t i = 0; i < whole; i += lane::side) astray_w += lane::load(all_w_k + i);
    return {lane::largest(into_w, whole), lane::sum_of(astray_w)};
  }
};

}  // namespace

SplittingError splitting_error(const Conduction& wall, Crew& crew, const HeatState& state,
                               const std::vector<std::vector<double>>& copper_before) {
  const Layout& layout = wall.layout();
  const std::vector<Coupled> coupled = couplings(wall, state, copper_before);
  const auto per_s = static_cast<float>(1.0 / state.change_s);
  std::vector<SplittingError> of_plane(static_cast<std::size_t>(layout.nz));
  crew.each(layout.nz, [&](int k) {
    thread_local std::vector<float> into_w, all_w_k;  // of one row
    into_w.assign(static_cast<std::size_t>(whole_registers(layout.nx)), 0.0F);
    all_w_k.assign(static_cast<std::size_t>(whole_registers(layout.nx)), 0.0F);
    auto next = std::lower_bound(coupled.begin(), coupled.end(), layout.at(0, 0, k),
                                 [](const Coupled& one, std::size_t voxel) { return one.voxel < voxel; });
    for (int j = 0; j < layout.ny; ++j) {
      const std::size_t row = layout.at(0, j, k), end = row + static_cast<std::size_t>(layout.nx);
      const HalfWay half_way{&state.rise_k[row],
                             &state.change_k[row],
                             &wall.conductance(Axis::x)[row],
                             &wall.conductance(Axis::y)[row],
                             &wall.conductance(Axis::z)[row],
                             layout.row,
                             layout.plane};
      half_way.flow(layout.nx, into_w.data(), all_w_k.data());
      for (; next != coupled.end() && next->voxel < end; ++next) {
        into_w[next->voxel - row] += static_cast<float>(next->into_w);
        all_w_k[next->voxel - row] += static_cast<float>(next->w_k);
      }
      of_plane[static_cast<std::size_t>(k)].include(
          half_way.error(&wall.capacity()[row], per_s, layout.nx, into_w.data(), all_w_k.data()));
    }
  });
  SplittingError all;
  for (const SplittingError& plane : of_plane) all.include(plane);
  return all;
}

}  // namespace warmbay::sim
