#pragma once
// The first pass of the split step over one row of voxels: what flows into each of them, and whether it was at rest.

#include <cstddef>
#include <limits>

#include "sim/lanes.hpp"

namespace warmbay::sim {

/// A padded row: temperatures, what the step before changed, and conductances to the neighbours along +x, +y and +z,
/// how far those are, and capacities.
struct RowFlow {
  const float *t, *before, *gx, *gy, *gz;
  std::ptrdiff_t row, plane;
  const float* capacity;

  /// Heat flowing into the voxels from i on through their six faces, W.
  [[nodiscard]] lane::Lanes into_w(std::ptrdiff_t i) const {
    using lane::load;
    const lane::Lanes here = load(t + i);
    const lane::Lanes x = load(gx + i) * (load(t + i + 1) - here) + load(gx + i - 1) * (load(t + i - 1) - here);
    const lane::Lanes y = load(gy + i) * (load(t + i + row) - here) + load(gy + i - row) * (load(t + i - row) - here);
    const lane::Lanes z =
        load(gz + i) * (load(t + i + plane) - here) + load(gz + i - plane) * (load(t + i - plane) - here);
    return x + y + z;
  }
  /// To both neighbours along each axis, W/K.
  struct Both {
    lane::Lanes x, y, z;
    [[nodiscard]] lane::Lanes all_w_k() const { return x + y + z; }
    [[nodiscard]] lane::Lanes least_w_k() const {
      const lane::Lanes across = y < z ? y : z;
      return x < across ? x : across;
    }
  };
  [[nodiscard]] Both both_w_k(std::ptrdiff_t i) const {
    using lane::load;
    return {load(gx + i) + load(gx + i - 1), load(gy + i) + load(gy + i - row), load(gz + i) + load(gz + i - plane)};
  }
};

/// What a row's voxels are held to (Stepper::step). per_s: 1 / dt of the step before, 0 where there was none.
struct RowRest {
  float per_s, restless_k;
  float *off_w, *allowed_w;  // where to write both down, since couplings are still to come; else off_w is nullptr
};

/// Where a row may carry ballast: capacities with it are written to swept_j_k.
struct RowBallast {
  float* swept_j_k;  // nullptr: it carries none
  const float* width_m;
  float share_s, most_j_mk;  // dt over what a voxel may hand on of its capacity; ballast's most per metre of x
  float again;               // dt over that of the step before
};

namespace row_flow {

template <bool coupled, bool light>
float into(const RowFlow& flow, float dt_s, const RowRest& rest, const RowBallast& ballast, float* r) {
  using lane::Lanes, lane::load, lane::store;
  Lanes most = Lanes{} - std::numeric_limits<float>::infinity();
  for (std::ptrdiff_t i = 0; i < flow.row; i += lane::side) {
    const RowFlow::Both both = flow.both_w_k(i);
    const Lanes into_w = flow.into_w(i), before_k = load(flow.before + i), capacity = load(flow.capacity + i);
    const Lanes kept_w_k = capacity * rest.per_s, off_w = kept_w_k * before_k - into_w;
    const Lanes allowed_w = rest.restless_k * (kept_w_k + both.all_w_k());
    if constexpr (coupled) {
      store(rest.off_w + i, off_w);
      store(rest.allowed_w + i, allowed_w);
    } else {
      const Lanes beyond = (off_w < 0.0F ? -off_w : off_w) - allowed_w;
      most = most < beyond ? beyond : most;
    }
    if constexpr (light) {
      const Lanes share = ballast.share_s * both.least_w_k(), cap = ballast.most_j_mk * load(ballast.width_m + i);
      const Lanes wanted = (share < cap ? share : cap) - capacity;
      const Lanes ballast_j_k = wanted > 0.0F ? wanted : Lanes{};
      store(ballast.swept_j_k + i, capacity + ballast_j_k);
      store(r + i, dt_s * into_w + ballast.again * ballast_j_k * before_k);
    } else {
      store(r + i, dt_s * into_w);
    }
  }
  return lane::largest(most);
}

}  // namespace row_flow

/// r becomes dt times the heat that flows into every voxel, J, and what
/// ballast leans on. Returns by how much the most restless voxel is off beyond what is allowed, W (-inf where that is
/// written down instead).
inline float flow_into_row(const RowFlow& flow, float dt_s, const RowRest& rest, const RowBallast& ballast, float* r) {
  if (rest.off_w)
    return ballast.swept_j_k ? row_flow::into<true, true>(flow, dt_s, rest, ballast, r)
                             : row_flow::into<true, false>(flow, dt_s, rest, ballast, r);
  return ballast.swept_j_k ? row_flow::into<false, true>(flow, dt_s, rest, ballast, r)
                           : row_flow::into<false, false>(flow, dt_s, rest, ballast, r);
}

}  // namespace warmbay::sim
