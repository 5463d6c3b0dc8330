// The cycle. Every loop runs over whole planes of one level; planes are shared out among the crew, colours keep the
// result the same for any number of threads.

#include "sim/multigrid.hpp"

#include <algorithm>
#include <cmath>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

constexpr std::size_t coarsest_voxels = 400;  // solved directly
constexpr int fewest_planes_to_share = 8;     // smaller levels are not worth waking the crew for

using Joined = std::vector<std::array<int, 2>>;  // per coarse voxel along one axis: first and last fine voxel

/// Joins neighbours whose common width is at most `most_m`.
Joined join_widths(std::vector<double>& widths_m, double most_m) {
  Joined joined;
  std::vector<double> coarse_m;
  for (int i = 0; i < static_cast<int>(widths_m.size()); ++i) {
    const bool pair = i + 1 < static_cast<int>(widths_m.size()) && widths_m[i] + widths_m[i + 1] <= most_m;
    joined.push_back({i, pair ? i + 1 : i});
    coarse_m.push_back(pair ? widths_m[i] + widths_m[i + 1] : widths_m[i]);
    i += pair;
  }
  widths_m = coarse_m;
  return joined;
}

template <class Work>
void each_plane(Crew& crew, const Layout& layout, const Work& work) {
  if (layout.nz >= fewest_planes_to_share) return crew.each(layout.nz, work);
  for (int k = 0; k < layout.nz; ++k) work(k);
}

}  // namespace

Multigrid::Multigrid(const Conduction& wall, Crew& crew) : wall_(wall), crew_(crew) {
  coarsen_structure(wall.wall().grid);
  for (Level& level : levels_) {
    for (Field& field : level.conductance) field.assign(level.layout.size, 0.0F);
    for (Field* field : {&level.to_outside, &level.inverse_diagonal, &level.value, &level.right, &level.left_over})
      field->assign(level.layout.size, 0.0F);
  }
}

void Multigrid::coarsen_structure(const Grid& grid) {
  std::array<std::vector<double>, 3> widths_m;
  double smallest_m = 1e9, largest_m = 0.0;
  for (int axis = 0; axis < 3; ++axis) {
    const std::vector<double>& edges = grid.edges_m(static_cast<Axis>(axis));
    for (std::size_t i = 0; i + 1 < edges.size(); ++i) widths_m[axis].push_back(edges[i + 1] - edges[i]);
    smallest_m = std::min(smallest_m, *std::min_element(widths_m[axis].begin(), widths_m[axis].end()));
    largest_m = std::max(largest_m, edges.back() - edges.front());
  }
  levels_.push_back({});
  levels_.back().layout = Layout(grid);
  for (double most_m = 8.0 * smallest_m; most_m < 8.0 * largest_m; most_m *= 2.0) {
    const Layout& fine = levels_.back().layout;
    if (static_cast<std::size_t>(fine.nx) * fine.ny * fine.nz <= coarsest_voxels) break;
    std::array<Joined, 3> joined;
    for (int axis = 0; axis < 3; ++axis) joined[axis] = join_widths(widths_m[axis], most_m);
    const Layout coarse(static_cast<int>(joined[0].size()), static_cast<int>(joined[1].size()),
                        static_cast<int>(joined[2].size()));
    if (coarse.nx == fine.nx && coarse.ny == fine.ny && coarse.nz == fine.nz) continue;
    for (int axis = 0; axis < 3; ++axis)
      for (int c = 0; c < static_cast<int>(joined[axis].size()); ++c)
        levels_.back().parent[axis].resize(static_cast<std::size_t>(joined[axis][c][1]) + 1, c);
    levels_.push_back({});
    levels_.back().layout = coarse;
    children_.push_back(joined);
  }
}

void Multigrid::rebuild() {
  Level& top = levels_.front();
  for (int axis = 0; axis < 3; ++axis) top.conductance[axis] = wall_.conductance(static_cast<Axis>(axis));
  std::fill(top.to_outside.begin(), top.to_outside.end(), 0.0F);
  for (const SurfaceFace& face : wall_.surfaces()) {
    float& g = top.conductance[static_cast<std::size_t>(face.axis)][face.face];
    top.to_outside[face.solid] += g;
    g = 0.0F;
  }
  // Between the voxels of neighbouring nodes the copper adds its share of axial conduction.
  std::vector<char> axis_of(top.layout.size, 3);
  for (const SheathVoxel& sheath : wall_.copper().sheath) axis_of[sheath.voxel] = static_cast<char>(sheath.along);
  for (const CopperLine& line : wall_.copper().lines)
    for (const SheathLink& link : line.links) {
      const int axis = axis_of[link.voxel];
      if (line.nodes() > 1)
        top.conductance[axis][link.voxel] +=
            top.conductance[axis][link.voxel] > 0.0F
                ? link.share * static_cast<float>(line.axial_w_k[std::min(link.node, line.nodes() - 2)])
                : 0.0F;
    }
  finish(top);
  for (std::size_t l = 0; l + 1 < levels_.size(); ++l) {
    for (const Axis axis : {Axis::x, Axis::y, Axis::z}) coarsen_conductance(levels_[l], levels_[l + 1], axis);
    sum_to_coarse(levels_[l], levels_[l].to_outside, levels_[l + 1].to_outside, levels_[l + 1].layout);
    finish(levels_[l + 1]);
  }
  factor_coarsest();
}

void Multigrid::finish(Level& level) const {
  const Layout& layout = level.layout;
  const auto& [gx, gy, gz] = level.conductance;
  each_plane(crew_, layout, [&](int k) {
    for (int j = 0; j < layout.ny; ++j)
      for (std::size_t v = layout.at(0, j, k), end = v + static_cast<std::size_t>(layout.nx); v < end; ++v) {
        const float sum =
            gx[v] + gx[v - 1] + gy[v] + gy[v - layout.row] + gz[v] + gz[v - layout.plane] + level.to_outside[v];
        level.inverse_diagonal[v] = sum > 0.0F ? 1.0F / sum : 0.0F;
      }
  });
}

/// The conductance between two coarse voxels is the sum of the faces they share.
void Multigrid::coarsen_conductance(const Level& fine, Level& coarse, Axis axis) const {
  const int d = index_of(axis), a = (d + 1) % 3, b = (d + 2) % 3;
  const auto& children = children_[static_cast<std::size_t>(&fine - levels_.data())];
  const Field& g = fine.conductance[d];
  const std::array<int, 3> n{coarse.layout.nx, coarse.layout.ny, coarse.layout.nz};
  each_plane(crew_, coarse.layout, [&](int k) {
    std::array<int, 3> c{0, 0, k};
    for (c[1] = 0; c[1] < n[1]; ++c[1])
      for (c[0] = 0; c[0] < n[0]; ++c[0]) {
        float sum = 0.0F;
        std::array<int, 3> f{};
        f[d] = children[d][c[d]][1];
        if (c[d] + 1 < n[d])
          for (f[a] = children[a][c[a]][0]; f[a] <= children[a][c[a]][1]; ++f[a])
            for (f[b] = children[b][c[b]][0]; f[b] <= children[b][c[b]][1]; ++f[b])
              sum += g[fine.layout.at(f[0], f[1], f[2])];
        coarse.conductance[d][coarse.layout.at(c[0], c[1], c[2])] = sum;
      }
  });
}

void Multigrid::sum_to_coarse(const Level& fine, const Field& values, Field& coarse_values,
                              const Layout& coarse) const {
  const auto& children = children_[static_cast<std::size_t>(&fine - levels_.data())];
  each_plane(crew_, coarse, [&](int k) {
    for (int j = 0; j < coarse.ny; ++j) {
      float* out = &coarse_values[coarse.at(0, j, k)];
      std::fill(out, out + coarse.nx, 0.0F);
      for (int fk = children[2][k][0]; fk <= children[2][k][1]; ++fk)
        for (int fj = children[1][j][0]; fj <= children[1][j][1]; ++fj) {
          const float* in = &values[fine.layout.at(0, fj, fk)];
          for (int i = 0; i < coarse.nx; ++i) {
            const auto& pair = children[0][i];
            out[i] += pair[0] == pair[1] ? in[pair[0]] : in[pair[0]] + in[pair[1]];
          }
        }
    }
  });
}

/// One Gauss-Seidel pass over the voxels of one colour ((i + j + k) even: 0).
void Multigrid::smooth(Level& level, int colour) {
  const Layout& layout = level.layout;
  each_plane(crew_, layout, [&](int k) {
    const std::ptrdiff_t row = layout.row, plane = layout.plane;
    for (int j = 0; j < layout.ny; ++j) {
      const std::size_t v = layout.at(0, j, k);
      const float *gx = &level.conductance[0][v], *gy = &level.conductance[1][v], *gz = &level.conductance[2][v];
      const float *b = &level.right[v], *inverse = &level.inverse_diagonal[v];
      float* x = &level.value[v];
#pragma GCC ivdep
      for (int i = (j + k + colour) & 1; i < layout.nx; i += 2)
        x[i] = inverse[i] * (b[i] + gx[i] * x[i + 1] + gx[i - 1] * x[i - 1] + gy[i] * x[i + row] +
                             gy[i - row] * x[i - row] + gz[i] * x[i + plane] + gz[i - plane] * x[i - plane]);
    }
  });
}

void Multigrid::residual(Level& level) {
  const Layout& layout = level.layout;
  each_plane(crew_, layout, [&](int k) {
    const std::ptrdiff_t row = layout.row, plane = layout.plane;
    for (int j = 0; j < layout.ny; ++j) {
      const std::size_t v = layout.at(0, j, k);
      const float *gx = &level.conductance[0][v], *gy = &level.conductance[1][v], *gz = &level.conductance[2][v];
      const float *b = &level.right[v], *x = &level.value[v], *out = &level.to_outside[v];
      float* __restrict r = &level.left_over[v];
      for (int i = 0; i < layout.nx; ++i)
        r[i] = b[i] - out[i] * x[i] + gx[i] * (x[i + 1] - x[i]) + gx[i - 1] * (x[i - 1] - x[i]) +
               gy[i] * (x[i + row] - x[i]) + gy[i - row] * (x[i - row] - x[i]) + gz[i] * (x[i + plane] - x[i]) +
               gz[i - plane] * (x[i - plane] - x[i]);
    }
  });
}

void Multigrid::prolong_from(Level& fine, const Level& coarse) {
  const Layout& layout = fine.layout;
  each_plane(crew_, layout, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) {
      const std::size_t v = layout.at(0, j, k);
      const float* in = &coarse.value[coarse.layout.at(0, fine.parent[1][j], fine.parent[2][k])];
      const float* inside = &fine.inverse_diagonal[v];
      float* out = &fine.value[v];
      for (int i = 0; i < layout.nx; ++i)
        if (inside[i] > 0.0F) out[i] += in[fine.parent[0][i]];
    }
  });
}

/// A W cycle below `l`: sums of faces make coarse voxels stiffer than the wall is, so that one coarse correction falls
/// short; a second one makes up for it.
void Multigrid::descend(std::size_t l) {
  Level& level = levels_[l];
  if (l + 1 == levels_.size()) return solve_coarsest();
  Level& coarse = levels_[l + 1];
  std::fill(level.value.begin(), level.value.end(), 0.0F);
  smooth(level, 0);
  smooth(level, 1);
  for (int visit = 0; visit < 2; ++visit) {
    if (visit > 0)
      for (const int colour : {1, 0, 0, 1}) smooth(level, colour);
    residual(level);
    sum_to_coarse(level, level.left_over, coarse.right, coarse.layout);
    descend(l + 1);
    prolong_from(level, coarse);
  }
  smooth(level, 1);
  smooth(level, 0);
}

void Multigrid::cycle(const std::vector<double>& residual_w, std::vector<double>& correction_k) {
  Level& top = levels_.front();
  const Layout& layout = top.layout;
  each_plane(crew_, layout, [&](int k) {
    for (int j = 0; j < layout.ny; ++j)
      for (std::size_t v = layout.at(0, j, k), end = v + static_cast<std::size_t>(layout.nx); v < end; ++v)
        top.right[v] = static_cast<float>(residual_w[v]);
  });
  descend(0);
  each_plane(crew_, layout, [&](int k) {
    for (int j = 0; j < layout.ny; ++j)
      for (std::size_t v = layout.at(0, j, k), end = v + static_cast<std::size_t>(layout.nx); v < end; ++v)
        correction_k[v] = top.value[v];
  });
}

void Multigrid::factor_coarsest() {
  const Level& level = levels_.back();
  const Layout& layout = level.layout;
  const int n = layout.nx * layout.ny * layout.nz;
  coarsest_.assign(static_cast<std::size_t>(n) * n, 0.0);
  auto entry = [&](int r, int c) -> double& { return coarsest_[static_cast<std::size_t>(r) * n + c]; };
  int m = 0;
  for (int k = 0; k < layout.nz; ++k)
    for (int j = 0; j < layout.ny; ++j)
      for (int i = 0; i < layout.nx; ++i, ++m) {
        const std::size_t v = layout.at(i, j, k);
        const float inverse = level.inverse_diagonal[v];
        entry(m, m) = inverse > 0.0F ? (1.0 + 1e-7) / inverse : 1.0;  // a breath more: a wall without films is singular
        if (i > 0) entry(m, m - 1) = -level.conductance[0][v - 1];
        if (j > 0) entry(m, m - layout.nx) = -level.conductance[1][v - layout.row];
        if (k > 0) entry(m, m - layout.nx * layout.ny) = -level.conductance[2][v - layout.plane];
      }
  for (int c = 0; c < n; ++c) {
    for (int r = c; r < n; ++r) {
      double sum = entry(r, c);
      for (int q = 0; q < c; ++q) sum -= entry(r, q) * entry(c, q);
      entry(r, c) = r == c ? std::sqrt(std::max(sum, 1e-30)) : sum / entry(c, c);
    }
  }
}

void Multigrid::solve_coarsest() {
  Level& level = levels_.back();
  const Layout& layout = level.layout;
  const int n = layout.nx * layout.ny * layout.nz;
  std::vector<double> x(static_cast<std::size_t>(n));
  auto at = [&](int m) { return layout.at(m % layout.nx, m / layout.nx % layout.ny, m / layout.nx / layout.ny); };
  for (int m = 0; m < n; ++m) {
    double sum = level.right[at(m)];
    for (int q = 0; q < m; ++q) sum -= coarsest_[static_cast<std::size_t>(m) * n + q] * x[q];
    x[m] = sum / coarsest_[static_cast<std::size_t>(m) * n + m];
  }
  for (int m = n - 1; m >= 0; --m) {
    double sum = x[m];
    for (int q = m + 1; q < n; ++q) sum -= coarsest_[static_cast<std::size_t>(q) * n + m] * x[q];
    x[m] = sum / coarsest_[static_cast<std::size_t>(m) * n + m];
    level.value[at(m)] = static_cast<float>(x[m]);
  }
}

}  // namespace warmbay::sim
