#include "sim/splitting_error.hpp"

#include <algorithm>
#include <limits>

#include "sim/air_flow.hpp"
#include "sim/lanes.hpp"
#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

using lane::Lanes, lane::load;

/// What couplings bring to one voxel.
struct Coupled {
  std::size_t voxel;
  double into_w, w_k;
};

/// From the copper and across air spaces, at temperatures half way through the step; by plane.
std::vector<std::vector<Coupled>> couplings(const Conduction& wall, const HeatState& state,
                                            const std::vector<std::vector<double>>& copper_before) {
  const Layout& layout = wall.layout();
  std::vector<std::vector<Coupled>> by_plane(static_cast<std::size_t>(layout.nz));
  const auto add = [&](std::size_t voxel, double into_w, double w_k) {
    by_plane[static_cast<std::size_t>(layout.place(voxel)[2])].push_back({voxel, into_w, w_k});
  };
  const auto half_way_k = [&](std::size_t v) { return state.rise_k[v] - 0.5 * state.change_k[v]; };
  const AirSpaces& air = wall.air();
  each_air_flow(air, half_way_k,
                [&](std::size_t f, double into_w, double w_k) { add(air.faces()[f].voxel, into_w, w_k); });
  for (std::size_t c = 0; c < wall.copper().lines.size(); ++c)
    for (const SheathLink& link : wall.copper().lines[c].links) {
      const double node_k = 0.5 * (copper_before[c][link.node] + state.copper_rise_k[c][link.node]);
      add(link.voxel, link.coupling_w_k * (node_k - half_way_k(link.voxel)), link.coupling_w_k);
    }
  return by_plane;
}

/// A row of voxels half way through a step: temperatures after it, what it changed, conductances along +x, +y and +z,
/// capacities.
struct HalfWay {
  const float *t, *d, *gx, *gy, *gz, *capacity_j_k;
  std::ptrdiff_t row, plane;

  [[nodiscard]] Lanes along_w(Lanes g_w_k, Lanes t_here, Lanes d_here, std::ptrdiff_t there) const {
    return g_w_k * ((load(t + there) - t_here) - 0.5F * (load(d + there) - d_here));
  }
  /// Of n voxels. into_w and all_w_k: what couplings bring and their conductances, or nullptr for a row without.
  [[nodiscard]] SplittingError error(float per_s, std::ptrdiff_t n, const float* into_w, const float* all_w_k) const {
    lane::Sums astray_w;
    Lanes worst_k{}, left = Lanes{} + static_cast<float>(n);
    for (int l = 0; l < lane::side; ++l) left[l] -= static_cast<float>(l);
    for (std::ptrdiff_t i = 0; i < n; i += lane::side, left -= static_cast<float>(lane::side)) {
      const Lanes g[] = {load(gx + i),       load(gx + i - 1), load(gy + i),
                         load(gy + i - row), load(gz + i),     load(gz + i - plane)};
      const Lanes t_here = load(t + i), d_here = load(d + i);
      Lanes into = (along_w(g[0], t_here, d_here, i + 1) + along_w(g[1], t_here, d_here, i - 1)) +
                   (along_w(g[2], t_here, d_here, i + row) + along_w(g[3], t_here, d_here, i - row)) +
                   (along_w(g[4], t_here, d_here, i + plane) + along_w(g[5], t_here, d_here, i - plane));
      Lanes all = (g[0] + g[1]) + (g[2] + g[3]) + (g[4] + g[5]);
      if (into_w) {
        into += load(into_w + i);
        all += load(all_w_k + i);
      }
      const Lanes capacity = load(capacity_j_k + i), kept_w_k = capacity * per_s, with_w_k = kept_w_k + all;
      const Lanes rounded_k = std::numeric_limits<float>::epsilon() * (t_here < 0.0F ? -t_here : t_here);
      const Lanes off_w = kept_w_k * d_here - into;
      const Lanes off_k = (off_w < 0.0F ? -off_w : off_w) / with_w_k - rounded_k;
      // Surroundings hold so much heat that nothing is off there; beyond the row's end is nothing.
      const auto counts = (off_k > 0.0F) & (capacity < limits::held_capacity_j_k) & (left > 0.0F);
      const Lanes counted_k = counts ? off_k : Lanes{};
      worst_k = worst_k < counted_k ? counted_k : worst_k;
      astray_w.add(i, counts ? off_k * with_w_k : Lanes{});
    }
    return {lane::largest(worst_k), astray_w.all()};
  }
};

}  // namespace

SplittingError splitting_error(const Conduction& wall, Crew& crew, const HeatState& state,
                               const std::vector<std::vector<double>>& copper_before) {
  const Layout& layout = wall.layout();
  const std::vector<std::vector<Coupled>> coupled = couplings(wall, state, copper_before);
  const auto per_s = static_cast<float>(1.0 / state.change_s);
  const auto plane_size = static_cast<std::size_t>(layout.plane);
  std::vector<SplittingError> of_plane(static_cast<std::size_t>(layout.nz));
  crew.each(layout.nz, [&](int k) {
    thread_local std::vector<float> into_w, all_w_k;  // of a plane, from its first voxel; only coupled rows are filled
    thread_local std::vector<char> is_coupled;        // by row
    into_w.resize(plane_size);
    all_w_k.resize(plane_size);
    is_coupled.assign(static_cast<std::size_t>(layout.ny), 0);
    const std::size_t first = layout.at(0, 0, k);
    for (const Coupled& one : coupled[static_cast<std::size_t>(k)]) {
      const std::size_t at = one.voxel - first, row = at / static_cast<std::size_t>(layout.row);
      if (!is_coupled[row]) {
        is_coupled[row] = 1;
        for (std::vector<float>* const sums : {&into_w, &all_w_k})
          std::fill_n(sums->begin() + static_cast<std::ptrdiff_t>(row) * layout.row, layout.row, 0.0F);
      }
      into_w[at] += static_cast<float>(one.into_w);
      all_w_k[at] += static_cast<float>(one.w_k);
    }
    for (int j = 0; j < layout.ny; ++j) {
      const std::size_t v = layout.at(0, j, k);
      const HalfWay half_way{&state.rise_k[v],
                             &state.change_k[v],
                             &wall.conductance(Axis::x)[v],
                             &wall.conductance(Axis::y)[v],
                             &wall.conductance(Axis::z)[v],
                             &wall.capacity()[v],
                             layout.row,
                             layout.plane};
      const bool any = is_coupled[static_cast<std::size_t>(j)] != 0;
      of_plane[static_cast<std::size_t>(k)].include(
          half_way.error(per_s, layout.nx, any ? &into_w[v - first] : nullptr, any ? &all_w_k[v - first] : nullptr));
    }
  });
  SplittingError all;
  for (const SplittingError& plane : of_plane) all.include(plane);
  return all;
}

}  // namespace warmbay::sim
