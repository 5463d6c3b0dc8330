// The cycle. Every loop runs over whole planes of one level; planes are shared out among the crew, colours keep the
// result the same for any number of threads.

#include "sim/multigrid.hpp"

#include <algorithm>
#include <cmath>

#include "sim/field.hpp"
#include "sim/limits.hpp"
#include "sim/no_aliases.hpp"

namespace warmbay::sim {
namespace {

constexpr std::size_t coarsest_voxels = 400;  // solved directly
constexpr std::size_t small_level = 6;        // one with so many times fewer voxels than the finest is visited twice
constexpr int passes = 4;                     // of smoothing at a time: two of each colour
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

/// Rows are padded to whole registers; said so that the compiler, too, knows that nothing is left over.
std::ptrdiff_t whole_registers(std::ptrdiff_t row) {
  return row & ~std::ptrdiff_t{15};
}

template <class Work>
void each_plane(Crew& crew, const Layout& layout, const Work& work) {
  if (layout.nz >= fewest_planes_to_share) return crew.each(layout.nz, work);
  for (int k = 0; k < layout.nz; ++k) work(k);
}

/// Sums rows of fine values over the children of every coarse voxel. row_of(j, k): a fine row from its ghost on.
template <class RowOf>
void sum_rows(Crew& crew, const Layout& fine, const Layout& coarse, const std::array<Joined, 3>& children,
              const RowOf& row_of, LargeField& out) {
  each_plane(crew, coarse, [&](int k) {
    thread_local Field rows;
    rows.resize(static_cast<std::size_t>(fine.row));
    float* sum = rows.data();
    const std::ptrdiff_t padded = whole_registers(fine.row);
    for (int j = 0; j < coarse.ny; ++j) {
      std::fill(rows.begin(), rows.end(), 0.0F);
      for (int fk = children[2][k][0]; fk <= children[2][k][1]; ++fk)
        for (int fj = children[1][j][0]; fj <= children[1][j][1]; ++fj) {
          const float* in = row_of(fj, fk);
          WARMBAY_NO_ALIASES
          for (std::ptrdiff_t i = 0; i < padded; ++i) sum[i] += in[i];
        }
      float* to = &out[coarse.at(0, j, k)];
      if (coarse.nx == fine.nx)
        std::copy_n(sum + 1, coarse.nx, to);
      else
        for (int i = 0; i < coarse.nx; ++i) {
          const auto& pair = children[0][i];
          to[i] = pair[0] == pair[1] ? sum[1 + pair[0]] : sum[1 + pair[0]] + sum[1 + pair[1]];
        }
    }
  });
}

}  // namespace

Multigrid::Multigrid(const Conduction& wall, Crew& crew) : wall_(wall), crew_(crew) {
  coarsen_structure(wall.wall().grid);
  scratch_.assign(levels_.front().layout.size, -1);
  for (Level& level : levels_) {
    for (LargeField& field : level.conductance) field.assign(level.layout.size, 0.0F);
    for (LargeField* field : {&level.to_outside, &level.inverse_diagonal, &level.value, &level.right})
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
  for (int axis = 0; axis < 3; ++axis) {
    const Field& now = wall_.conductance(static_cast<Axis>(axis));
    top.conductance[axis].assign(now.begin(), now.end());
  }
  std::fill(top.to_outside.begin(), top.to_outside.end(), 0.0F);
  for (const SurfaceFace& face : wall_.surfaces()) {
    float& g = top.conductance[static_cast<std::size_t>(face.axis)][face.face];
    top.to_outside[face.solid] += g;
    g = 0.0F;
  }
  top.hubs = hubs_of(wall_);
  add_links(top.hubs, top.to_outside);
  finish(top);
  for (std::size_t l = 0; l + 1 < levels_.size(); ++l) {
    Level &fine = levels_[l], &coarse = levels_[l + 1];
    for (const Axis axis : {Axis::x, Axis::y, Axis::z}) coarsen_conductance(fine, coarse, axis);
    sum_rows(
        crew_, fine.layout, coarse.layout, children_[l],
        [&](int j, int k) { return &fine.to_outside[fine.layout.at(-1, j, k)]; }, coarse.to_outside);
    coarse.hubs = coarser(fine.hubs, fine.layout, coarse.layout, fine.parent, scratch_);
    finish(coarse);
  }
  factor_coarsest();
}

void Multigrid::finish(Level& level) {
  const Layout& layout = level.layout;
  const auto &gx = level.conductance[0], &gy = level.conductance[1], &gz = level.conductance[2];
  each_plane(crew_, layout, [&](int k) {
    for (int j = 0; j < layout.ny; ++j)
      for (std::size_t v = layout.at(0, j, k), end = v + static_cast<std::size_t>(layout.nx); v < end; ++v) {
        const float sum =
            gx[v] + gx[v - 1] + gy[v] + gy[v - layout.row] + gz[v] + gz[v - layout.plane] + level.to_outside[v];
        level.inverse_diagonal[v] = sum > 0.0F ? 1.0F / sum : 0.0F;
      }
  });
  sim::finish(level.hubs, scratch_);
}

/// The conductance between two coarse voxels is the sum over the faces they share of what lies between their middles.
void Multigrid::coarsen_conductance(const Level& fine, Level& coarse, Axis axis) const {
  const int d = index_of(axis);
  const Layout& layout = fine.layout;
  Children faces = children_[static_cast<std::size_t>(&fine - levels_.data())];
  std::vector<float> joined_before, joined_after;  // per fine place along the axis: 1 where the face's voxel is joined
  for (const auto& pair : faces[d]) {
    joined_before.resize(static_cast<std::size_t>(pair[1]) + 1, pair[0] == pair[1] ? 0.0F : 1.0F);
    if (pair[0] > 0) joined_after.resize(static_cast<std::size_t>(pair[0]), pair[0] == pair[1] ? 0.0F : 1.0F);
  }
  joined_after.resize(joined_before.size(), 0.0F);
  for (auto& pair : faces[d]) pair[0] = pair[1];
  const auto row_of = [&](int j, int k) {
    thread_local Field between;
    between.resize(static_cast<std::size_t>(layout.row));
    float* out = &between[1];
    const float* g = &fine.conductance[d][layout.at(0, j, k)];
    const std::ptrdiff_t stride = layout.stride(axis);
    const std::size_t place = d == 1 ? j : k;
    if (d == 0) {
      WARMBAY_NO_ALIASES
      for (int i = 0; i < layout.nx; ++i)
        out[i] = coarse_w_k(g[i], joined_before[i], g[i - 1], joined_after[i], g[i + 1]);
    } else {
      WARMBAY_NO_ALIASES
      for (int i = 0; i < layout.nx; ++i)
        out[i] = coarse_w_k(g[i], joined_before[place], g[i - stride], joined_after[place], g[i + stride]);
    }
    return static_cast<const float*>(between.data());
  };
  sum_rows(crew_, layout, coarse.layout, faces, row_of, coarse.conductance[d]);
}

/// Gauss-Seidel over the voxels of one colour ((i + j + k) even: 0) in one plane. Rows are worked out whole, in vector
/// registers, and every second value is taken over: twice as fast as stepping from one to the next.
/// beside: someone else smooths a neighbouring plane meanwhile. Then nothing is read but values of the other colour,
/// which nobody writes; else whole registers are worked out and every other value is dropped, which is faster.
void Multigrid::smooth_plane(Level& level, int colour, int k, bool beside) {
  const Layout& layout = level.layout;
  const std::ptrdiff_t row = layout.row, plane = layout.plane, padded = whole_registers(row);
  thread_local Field fresh_row;
  fresh_row.resize(static_cast<std::size_t>(row));
  for (int j = 0; j < layout.ny; ++j) {
    const std::size_t v = layout.at(-1, j, k);
    const float *gx = &level.conductance[0][v], *gy = &level.conductance[1][v], *gz = &level.conductance[2][v];
    const float *b = &level.right[v], *inverse = &level.inverse_diagonal[v];
    float* x = &level.value[v];
    float* fresh = fresh_row.data();
    const auto value = [=](std::ptrdiff_t i) {
      return inverse[i] * (b[i] + gx[i] * x[i + 1] + gx[i - 1] * x[i - 1] + gy[i] * x[i + row] +
                           gy[i - row] * x[i - row] + gz[i] * x[i + plane] + gz[i - plane] * x[i - plane]);
    };
    const int first = 1 + ((j + k + colour) & 1);
    if (beside) {
      for (int i = first; i <= layout.nx; i += 2) x[i] = value(i);
      continue;
    }
    WARMBAY_NO_ALIASES
    for (std::ptrdiff_t i = 0; i < padded; ++i) fresh[i] = value(i);
    for (int i = first; i <= layout.nx; i += 2) x[i] = fresh[i];
  }
}

/// The same for all values zero.
void Multigrid::start_plane(Level& level, int colour, int k) {
  const Layout& layout = level.layout;
  for (int j = 0; j < layout.ny; ++j) {
    const std::size_t v = layout.at(0, j, k);
    const float *b = &level.right[v], *inverse = &level.inverse_diagonal[v];
    float* x = &level.value[v];
    const int other = (j + k + colour + 1) & 1;
    WARMBAY_NO_ALIASES
    for (int i = 0; i < layout.nx; ++i) x[i] = (i & 1) != other ? inverse[i] * b[i] : 0.0F;
  }
}

/// Passes of alternating colours, the first one's first. A pass over a plane needs the pass before over that plane and
/// its neighbours: the passes follow each other through the planes one plane apart, while those are in the cache. A
/// member of the crew stops short of its neighbour's planes by one more in every pass; what is left open there is
/// filled in once all have come that far. Every value is the same as with whole passes one after the other. Where the
/// borders lie is decided by the first run alone: the second one may have another number of members.
void Multigrid::smooth(Level& level, int first_colour, bool from_zero) {
  const int nz = level.layout.nz;
  const auto pass = [&](int p, int k, bool beside) {
    const int colour = (first_colour + p) & 1;
    p == 0 && from_zero ? start_plane(level, colour, k) : smooth_plane(level, colour, k, beside);
  };
  const auto sweep = [&](int from, int to, bool open_below, bool open_above) {
    for (int step = from; step < to + passes; ++step)
      for (int p = 0; p < passes; ++p) {
        const int k = step - p;
        const bool beside = p == 0 && ((open_below && k == from) || (open_above && k == to - 1));
        if (k >= from + (open_below ? p : 0) && k < to - (open_above ? p : 0)) pass(p, k, beside);
      }
  };
  if (nz < crew_.size() * 2 * passes) return sweep(0, nz, false, false);
  const auto border = [nz](int part, int parts) { return nz * part / parts; };
  int swept = 1;
  crew_.run([&](int part, int parts) {
    if (part == 0) swept = parts;
    sweep(border(part, parts), border(part + 1, parts), part > 0, part + 1 < parts);
  });
  crew_.each(swept - 1, [&](int below) {
    const int above = border(below + 1, swept);
    for (int p = 1; p < passes; ++p)
      for (int k = above - p; k < above + p; ++k) pass(p, k, false);
  });
}

void Multigrid::restrict_residual(const Level& fine, Level& coarse) {
  const Layout& layout = fine.layout;
  auto residual_of_row = [&](int j, int k) {
    thread_local Field left_over;
    left_over.resize(static_cast<std::size_t>(layout.row));
    const std::ptrdiff_t row = layout.row, plane = layout.plane, padded = whole_registers(row);
    const std::size_t v = layout.at(-1, j, k);
    const float *gx = &fine.conductance[0][v], *gy = &fine.conductance[1][v], *gz = &fine.conductance[2][v];
    const float *b = &fine.right[v], *x = &fine.value[v], *out = &fine.to_outside[v];
    float* r = left_over.data();
    WARMBAY_NO_ALIASES
    for (std::ptrdiff_t i = 0; i < padded; ++i)
      r[i] = b[i] - out[i] * x[i] + gx[i] * (x[i + 1] - x[i]) + gx[i - 1] * (x[i - 1] - x[i]) +
             gy[i] * (x[i + row] - x[i]) + gy[i - row] * (x[i - row] - x[i]) + gz[i] * (x[i + plane] - x[i]) +
             gz[i - plane] * (x[i - plane] - x[i]);
    return static_cast<const float*>(r);
  };
  sum_rows(crew_, layout, coarse.layout, children_[static_cast<std::size_t>(&fine - levels_.data())], residual_of_row,
           coarse.right);
  // The finer hubs were solved last: nothing is left over there.
  std::fill(coarse.hubs.right.begin(), coarse.hubs.right.end(), 0.0F);
}

void Multigrid::prolong_from(Level& fine, const Level& coarse) {
  const Layout& layout = fine.layout;
  const bool same_row = coarse.layout.nx == layout.nx;
  each_plane(crew_, layout, [&](int k) {
    for (int j = 0; j < layout.ny; ++j) {
      const float* in = &coarse.value[coarse.layout.at(0, fine.parent[1][j], fine.parent[2][k])];
      const int* parent = fine.parent[0].data();
      float* out = &fine.value[layout.at(0, j, k)];
      if (same_row) {
        WARMBAY_NO_ALIASES
        for (int i = 0; i < layout.nx; ++i) out[i] += in[i];
      } else {
        WARMBAY_NO_ALIASES
        for (int i = 0; i < layout.nx; ++i) out[i] += in[parent[i]];
      }
    }
  });
  take_over(fine.hubs, coarse.hubs, fine.right, crew_);
}

void Multigrid::descend(std::size_t l) {
  Level& level = levels_[l];
  if (l + 1 == levels_.size()) return solve_coarsest();
  std::fill(level.hubs.value.begin(), level.hubs.value.end(), 0.0F);
  smooth(level, 0, true);
  relax(level.hubs, level.value, level.right, crew_);
  // Where the next level is small, going there twice costs little and makes up for how little constants reach.
  const int visits = levels_[l + 1].layout.size * small_level < levels_.front().layout.size ? 2 : 1;
  for (int visit = 0; visit < visits; ++visit) {
    if (visit > 0) {
      smooth(level, 1, false);
      smooth(level, 0, false);
      relax(level.hubs, level.value, level.right, crew_);
    }
    restrict_residual(level, levels_[l + 1]);
    descend(l + 1);
    prolong_from(level, levels_[l + 1]);
    relax(level.hubs, level.value, level.right, crew_);
  }
  smooth(level, 1, false);
}

void Multigrid::cycle(const LargeField& residual_w, const Copper& copper_residual_w, LargeField& correction_k,
                      Copper& copper_correction_k) {
  Level& top = levels_.front();
  const Layout& layout = top.layout;
  const auto copy = [&](const LargeField& from, LargeField& to) {
    each_plane(crew_, layout, [&](int k) {
      const std::size_t first = layout.at(0, 0, k);
      std::copy_n(&from[first], layout.at(layout.nx, layout.ny - 1, k) - first, &to[first]);
    });
  };
  copy(residual_w, top.right);
  std::fill(top.hubs.right.begin(), top.hubs.right.end(), 0.0F);
  auto hub = top.hubs.right.begin();
  for (const std::vector<double>& nodes : copper_residual_w)
    for (const double w : nodes) *hub++ = static_cast<float>(w);
  descend(0);
  copy(top.value, correction_k);
  auto found = top.hubs.value.begin();
  for (std::vector<double>& nodes : copper_correction_k)
    for (double& k : nodes) k = *found++;
}

void Multigrid::factor_coarsest() {
  const Level& level = levels_.back();
  const Layout& layout = level.layout;
  coarsest_voxels_.clear();
  for (std::size_t v = 0; v < layout.size; ++v)
    if (level.inverse_diagonal[v] > 0.0F) {
      scratch_[v] = static_cast<int>(coarsest_voxels_.size());
      coarsest_voxels_.push_back(v);
    }
  const std::size_t voxels = coarsest_voxels_.size(), n = voxels + static_cast<std::size_t>(level.hubs.size());
  coarsest_.assign(n * n, 0.0);
  auto entry = [&](std::size_t r, std::size_t c) -> double& { return coarsest_[r * n + c]; };
  constexpr double breath = 1.0 + 1e-7;  // more than there is: a wall without films is singular
  for (std::size_t m = 0; m < voxels; ++m) {
    const std::size_t v = coarsest_voxels_[m];
    entry(m, m) = breath / level.inverse_diagonal[v];
    for (const Axis axis : {Axis::x, Axis::y, Axis::z}) {
      const int next = scratch_[v + layout.stride(axis)];
      if (next >= 0) entry(m, static_cast<std::size_t>(next)) = -level.conductance[index_of(axis)][v];
    }
  }
  const Hubs& hubs = level.hubs;
  for (int h = 0; h < hubs.size(); ++h) {
    const std::size_t m = voxels + static_cast<std::size_t>(h);
    double own = hubs.to_next_w_k[h] + (h > 0 ? hubs.to_next_w_k[h - 1] : 0.0F);
    for (int l = hubs.first_link[h]; l < hubs.first_link[h + 1]; ++l) {
      const Hubs::Link& link = hubs.links[static_cast<std::size_t>(l)];
      own += link.w_k;
      entry(static_cast<std::size_t>(scratch_[link.voxel]), m) = -link.w_k;
    }
    entry(m, m) = own > 0.0 ? breath * own : 1.0;
    if (h + 1 < hubs.size()) entry(m, m + 1) = -hubs.to_next_w_k[h];
  }
  for (const std::size_t v : coarsest_voxels_) scratch_[v] = -1;
  for (std::size_t c = 0; c < n; ++c) {
    double* top = &entry(c, 0);
    const double scale = 1.0 / std::sqrt(std::max(top[c], 1e-30));
    for (std::size_t q = c; q < n; ++q) top[q] *= scale;
    for (std::size_t r = c + 1; r < n; ++r) {
      const double by = top[r];
      if (by == 0.0) continue;
      double* row = &entry(r, 0);
      for (std::size_t q = r; q < n; ++q) row[q] -= by * top[q];
    }
  }
}

void Multigrid::solve_coarsest() {
  Level& level = levels_.back();
  const std::size_t voxels = coarsest_voxels_.size(), n = voxels + static_cast<std::size_t>(level.hubs.size());
  std::vector<double> x(n);
  for (std::size_t m = 0; m < n; ++m)
    x[m] = m < voxels ? level.right[coarsest_voxels_[m]] : level.hubs.right[m - voxels];
  for (std::size_t c = 0; c < n; ++c) {
    const double* top = &coarsest_[c * n];
    x[c] /= top[c];
    for (std::size_t q = c + 1; q < n; ++q) x[q] -= top[q] * x[c];
  }
  for (std::size_t c = n; c-- > 0;) {
    const double* top = &coarsest_[c * n];
    double sum = x[c];
    for (std::size_t q = c + 1; q < n; ++q) sum -= top[q] * x[q];
    x[c] = sum / top[c];
  }
  for (std::size_t m = 0; m < voxels; ++m) level.value[coarsest_voxels_[m]] = static_cast<float>(x[m]);
  for (std::size_t m = voxels; m < n; ++m) level.hubs.value[m - voxels] = static_cast<float>(x[m]);
}

}  // namespace warmbay::sim
