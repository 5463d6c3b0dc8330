// The split step. Pass 1 takes every z plane through residual, x and y sweeps while it is in cache; pass 2 sweeps z and
// updates the temperatures; the copper follows. Lines are solved side by side in SIMD lanes: rows as they lie for y and
// z, blocks of transposed rows for x. Eliminations are done afresh every step: a division a voxel costs less than
// reading stored factors, and conductances may change at any time.

#include "sim/stepper.hpp"

#if defined(__AVX512F__)
#include <immintrin.h>
#endif

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <random>
#include <utility>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

constexpr int side = 16;   // of the blocks that are transposed in registers
constexpr int z_rows = 4;  // rows that sweep_z takes at once: longer stretches of memory from plane to plane
constexpr double endless_s = std::numeric_limits<double>::infinity();
int blocks_of_rows(const Layout& layout) {
  return (layout.ny + z_rows - 1) / z_rows;
}
constexpr int lanes =
    2 * side;  // rows that sweep_x solves side by side: two chains of divisions at a time hide their wait

using Lanes = float __attribute__((vector_size(side * sizeof(float))));

/// 1 / x in every lane. Where the processor has an estimate (good to 2^-14), one step of Newton's method brings it to
/// float's last bit or two: a division a voxel and sweep would take a quarter of the step.
inline Lanes reciprocal(Lanes x) {
#if defined(__AVX512F__)
  const Lanes r = reinterpret_cast<Lanes>(_mm512_maskz_rcp14_ps(0xFFFF, reinterpret_cast<__m512>(x)));
  return r * (2.0F - x * r);
#else
  return 1.0F / x;
#endif
}

Lanes load(const float* from) {
  Lanes loaded;
  std::memcpy(&loaded, from, sizeof(Lanes));
  return loaded;
}
void store(float* to, const Lanes& stored) {
  std::memcpy(to, &stored, sizeof(Lanes));
}

/// Swaps the off-diagonal blocks of size `block` of a 16 x 16 matrix held as 16 rows.
template <int block, std::size_t... l>
void swap_blocks(Lanes (&rows)[side], std::index_sequence<l...>) {
  for (int i = 0; i < side; ++i) {
    if (i & block) continue;
    const Lanes low = rows[i], high = rows[i + block];
    rows[i] = __builtin_shufflevector(low, high, ((l & block) == 0 ? l : side + l - block)...);
    rows[i + block] = __builtin_shufflevector(low, high, ((l & block) == 0 ? l + block : side + l)...);
  }
}

void transpose(Lanes (&rows)[side]) {
  constexpr std::make_index_sequence<side> all;
  swap_blocks<8>(rows, all);
  swap_blocks<4>(rows, all);
  swap_blocks<2>(rows, all);
  swap_blocks<1>(rows, all);
}

/// Copies n floats of `rows` rows, where row_of(l) says that they are, into lanes: out[i * lanes + lane]. Missing lanes
/// are set to `fill`. Reads and writes up to the next multiple of `side`, which a padded row has.
template <class RowOf>
void gather_lanes(const RowOf& row_of, int rows, int n, float fill, float* __restrict out) {
  Lanes block[side];
  for (int first = 0; first < lanes; first += side)
    for (int i0 = 0; i0 < n; i0 += side) {
      for (int l = 0; l < side; ++l) {
        if (first + l < rows)
          std::memcpy(&block[l], row_of(first + l) + i0, sizeof(Lanes));
        else
          block[l] = Lanes{} + fill;
      }
      transpose(block);
      for (int i = 0; i < side; ++i) std::memcpy(out + (i0 + i) * lanes + first, &block[i], sizeof(Lanes));
    }
}

/// The way back. Beyond n it writes, up to the next multiple of `side`, what gather_lanes read there.
void scatter_lanes(const float* in, std::ptrdiff_t row, int rows, int n, float* __restrict out) {
  Lanes block[side];
  for (int first = 0; first < rows; first += side)
    for (int i0 = 0; i0 < n; i0 += side) {
      for (int i = 0; i < side; ++i) std::memcpy(&block[i], in + (i0 + i) * lanes + first, sizeof(Lanes));
      transpose(block);
      for (int l = 0; l < std::min(side, rows - first); ++l)
        std::memcpy(out + (first + l) * row + i0, &block[l], sizeof(Lanes));
    }
}

/// A row of temperatures and of conductances to the neighbours along +x, +y and +z, and how far those are.
struct RowFlow {
  const float *t, *gx, *gy, *gz;
  std::ptrdiff_t row, plane;
  /// Heat flowing into voxel i of the row through its six faces, W.
  [[nodiscard]] float into_w(std::ptrdiff_t i) const {
    const float here = t[i];
    const float x = gx[i] * (t[i + 1] - here) + gx[i - 1] * (t[i - 1] - here);
    const float y = gy[i] * (t[i + row] - here) + gy[i - row] * (t[i - row] - here);
    const float z = gz[i] * (t[i + plane] - here) + gz[i - plane] * (t[i - plane] - here);
    return x + y + z;
  }
  /// To both neighbours, in the direction where that is least, W/K.
  [[nodiscard]] float least_w_k(std::ptrdiff_t i) const {
    return std::min(gx[i] + gx[i - 1], std::min(gy[i] + gy[i - row], gz[i] + gz[i - plane]));
  }
};

/// A row's conductances to the rows before and after it, W/K, and its capacities, J/K.
struct RowFaces {
  const float *low, *high, *capacity;
};
/// One forward step of the elimination (C + half_s L) w = C r on n lines side by side: `upper` and r of one
/// row from those of the row before. first: nothing was eliminated before.
void eliminate(const RowFaces& faces, float half_s, std::ptrdiff_t n, bool first, const float* upper_before,
               const float* r_before, float* upper, float* r) {
  for (std::ptrdiff_t i = 0; i < n; i += side) {
    const Lanes l = half_s * load(faces.low + i), h = half_s * load(faces.high + i), c = load(faces.capacity + i);
    const Lanes before = first ? Lanes{} : load(upper_before + i), r_low = first ? Lanes{} : load(r_before + i);
    const Lanes pivot = reciprocal(c + h + l * (1.0F - before));
    store(upper + i, h * pivot);
    store(r + i, (c * load(r + i) + l * r_low) * pivot);
  }
}

}  // namespace

Stepper::Stepper(const Conduction& wall, Crew& crew) : wall_(wall), crew_(crew) {
  const Layout& layout = wall.layout();
  links_of_.resize(static_cast<std::size_t>(layout.nz));
  const std::vector<CopperLine>& lines = wall.copper().lines;
  for (std::size_t l = 0; l < lines.size(); ++l)
    for (const SheathLink& link : lines[l].links)
      links_of_[link.voxel / static_cast<std::size_t>(layout.plane) - 1].push_back(
          {link.voxel, link.coupling_w_k, static_cast<int>(l), link.node});
  air_faces_of_.resize(static_cast<std::size_t>(layout.nz));
  air_changed();
  const auto row = static_cast<std::size_t>(layout.row);
  widths_x_m_.assign(wall.padded_widths_m(Axis::x).begin(), wall.padded_widths_m(Axis::x).end());
  widths_x_m_.resize(row, 0.0F);
  const std::size_t most = std::max({row * (layout.ny + 1), row * z_rows * (layout.nz + 4), row * 4 * lanes});
  scratch_.resize(static_cast<std::size_t>(crew.size()));
  for (Field& field : scratch_) field.resize(most);
  range_of_.resize(static_cast<std::size_t>(blocks_of_rows(layout)));
}

void Stepper::air_changed() {
  const AirSpaces& air = wall_.air();
  for (std::vector<int>& faces : air_faces_of_) faces.clear();
  for (std::size_t f = 0; f < air.faces().size(); ++f)
    air_faces_of_[air.faces()[f].voxel / static_cast<std::size_t>(wall_.layout().plane) - 1].push_back(
        static_cast<int>(f));
  for (std::vector<float>& nodes : air_node_k_) nodes.assign(air.slabs().size(), 0.0F);
  light_for_s_ = 0.0;  // voids are light
}

/// A voxel's capacity over the most that it can conduct where it conducts least, s. From its own make alone, so that it
/// does not depend on what has been: a face conducts at most as well as the voxel's own half.
double Stepper::quickest_s(std::size_t voxel) const {
  if (wall_.is_air(voxel)) return 0.0;  // what moves and radiates in it is not in the tables
  if (wall_.sound_capacity_j_k(voxel) > limits::ballast_most_j_m3k * wall_.volume_m3(voxel)) return endless_s;
  const std::array<int, 3> ijk = wall_.layout().place(voxel);
  const float* const halves =
      &wall_.half_resistivities()[static_cast<std::size_t>(wall_.code(voxel)) * resistivity_table::entries];
  double most_w_mk = 0.5 / *std::min_element(halves, halves + resistivity_table::entries);
  Axis along = Axis::x;
  most_w_mk = std::max(most_w_mk, wall_.sheath_axial_w_mk(wall_.code(voxel), along));
  double widest_m = 0.0;
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    widest_m =
        std::max<double>(widest_m, wall_.padded_widths_m(axis)[static_cast<std::size_t>(ijk[index_of(axis)]) + 1]);
  return wall_.sound_capacity_j_k(voxel) * widest_m * widest_m / (4.0 * most_w_mk * wall_.volume_m3(voxel));
}

/// Blocks of rows in which a voxel may need ballast in steps up to dt_s. One too many costs time and changes nothing.
void Stepper::find_light_blocks(double dt_s) {
  const Layout& layout = wall_.layout();
  const int blocks = blocks_of_rows(layout);
  light_for_s_ = dt_s;
  light_block_.assign(static_cast<std::size_t>(layout.nz) * blocks, -1);
  const double light_s = 2.0 * dt_s / limits::ballast_from;  // twice: what is damaged may get lighter
  crew_.each(layout.nz, [&](int k) {
    for (int j = 0; j < layout.ny; ++j)
      for (int i = 0; i < layout.nx; ++i) {
        std::ptrdiff_t& place = light_block_[static_cast<std::size_t>(k) * blocks + j / z_rows];
        const std::size_t v = layout.at(i, j, k);
        if (place < 0 && wall_.is_solid(v) && quickest_s(v) < light_s) place = 0;
      }
  });
  std::ptrdiff_t size = 0;
  for (std::ptrdiff_t& place : light_block_) {
    if (place < 0) continue;
    place = size;
    size += z_rows * layout.row;
  }
  ballasted_j_k_.assign(static_cast<std::size_t>(size), 1.0F);
  light_face_.clear();
  for (const AirFace& face : wall_.air().faces()) light_face_.push_back(light_place(face.voxel));
  light_link_.clear();
  for (const CopperLine& line : wall_.copper().lines) {
    light_link_.emplace_back();
    for (const SheathLink& link : line.links) light_link_.back().push_back(light_place(link.voxel));
  }
}

std::ptrdiff_t Stepper::light_block(int j, int k) const {
  return light_block_[static_cast<std::size_t>(k) * blocks_of_rows(wall_.layout()) + j / z_rows];
}

std::ptrdiff_t Stepper::light_place(std::size_t voxel) const {
  const auto [i, j, k] = wall_.layout().place(voxel);
  const std::ptrdiff_t block = light_block(j, k);
  return block < 0 ? -1 : block + j % z_rows * wall_.layout().row + i + 1;
}

const float* Stepper::swept_row(int j, int k) const {
  const Layout& layout = wall_.layout();
  const std::ptrdiff_t block = light_block(j, k);
  return block < 0 ? &wall_.capacity()[layout.at(-1, j, k)] : &ballasted_j_k_[block + j % z_rows * layout.row];
}

Stepper::Outcome Stepper::step(HeatState& state, double dt_s, const Feed& feed) {
  const Layout& layout = wall_.layout();
  const auto dt = static_cast<float>(dt_s);
  const float half_s = limits::split_theta * dt;
  const AirSpaces& air = wall_.air();
  if (dt_s > light_for_s_) find_light_blocks(dt_s);
  const float again = ballast_again(dt_s, state.change_s);
  change_.swap(state.change_k);
  if (change_.size() != layout.size) change_.assign(layout.size, 0.0F);
  find_air_nodes(state.rise_k);
  crew_.run([&](int part, int parts) {
    float* scratch = scratch_[static_cast<std::size_t>(part)].data();
    for (int k = layout.nz * part / parts; k < layout.nz * (part + 1) / parts; ++k) {
      for (int j = 0; j < layout.ny; ++j) add_flow(state.rise_k, dt, again, j, k);
      for (const PlaneLink& link : links_of_[static_cast<std::size_t>(k)])
        change_[link.voxel] +=
            dt * link.coupling_w_k *
            (static_cast<float>(state.copper_rise_k[static_cast<std::size_t>(link.line)][link.node]) -
             state.rise_k[link.voxel]);
      for (const int f : air_faces_of_[static_cast<std::size_t>(k)]) {
        const AirFace& face = air.faces()[f];
        const float here = state.rise_k[face.voxel];
        change_[face.voxel] += dt * (air.radiant_w_k()[f] * (air_node_k_[0][face.slab] - here) +
                                     air.convective_w_k()[f] * (air_node_k_[1][face.slab] - here));
      }
      for (int j = 0; j < layout.ny; j += lanes) sweep_x(half_s, j, std::min(lanes, layout.ny - j), k, scratch);
      sweep_y(half_s, k, scratch);
    }
  });
  crew_.run([&](int part, int parts) {
    float* scratch = scratch_[static_cast<std::size_t>(part)].data();
    const int blocks = static_cast<int>(range_of_.size());
    for (int n = blocks * part / parts; n < blocks * (part + 1) / parts; ++n)
      range_of_[n] = sweep_z(state.rise_k, half_s, n * z_rows, std::min(z_rows, layout.ny - n * z_rows), scratch);
  });
  for (const std::vector<int>& slabs : air.colours())
    crew_.each(
        static_cast<int>(slabs.size()), air.faces().size(), [&](int n) { return air.slabs()[slabs[n]].first_face; },
        [&](int n) { step_air(state.rise_k, half_s, slabs[n]); });
  Outcome outcome;
  double fastest_k = 0.0;
  float lowest_k = range_of_[0].lowest_k, highest_k = range_of_[0].highest_k;
  for (const Range& range : range_of_) {
    fastest_k = std::max(fastest_k, static_cast<double>(range.fastest_k));
    lowest_k = std::min(lowest_k, range.lowest_k);
    highest_k = std::max(highest_k, range.highest_k);
  }
  for (std::size_t l = 0; l < wall_.copper().lines.size(); ++l)
    outcome.generated_j += step_copper(state, dt_s, feed, l, fastest_k);
  change_.swap(state.change_k);
  state.change_s = dt_s;
  outcome.fastest_k_s = fastest_k / dt_s;
  outcome.lowest_rise_k = lowest_k;
  outcome.highest_rise_k = highest_k;
  for (const std::vector<double>& nodes : state.copper_rise_k)
    for (const double rise_k : nodes) outcome.highest_rise_k = std::max(outcome.highest_rise_k, rise_k);
  return outcome;
}

/// change = dt * (heat flowing into every voxel of a row through its six faces). In a light block also capacities with
/// ballast, and what leans on the step before, again = dt / dt_before times change, is added.
void Stepper::add_flow(const Field& rise_k, float dt_s, float again, int j, int k) {
  const Layout& layout = wall_.layout();
  const std::size_t v = layout.at(-1, j, k);
  const RowFlow flow{&rise_k[v],
                     &wall_.conductance(Axis::x)[v],
                     &wall_.conductance(Axis::y)[v],
                     &wall_.conductance(Axis::z)[v],
                     layout.row,
                     layout.plane};
  const std::ptrdiff_t row = layout.row;
  float* __restrict r = &change_[v];
  if (light_block(j, k) < 0) {
    for (std::ptrdiff_t i = 0; i < row; ++i) r[i] = dt_s * flow.into_w(i);
  } else {
    const float* capacity = &wall_.capacity()[v];
    const float* width_m = widths_x_m_.data();
    const float most_j_mk = limits::ballast_most_j_m3k *
                            wall_.padded_widths_m(Axis::y)[static_cast<std::size_t>(j) + 1] *
                            wall_.padded_widths_m(Axis::z)[static_cast<std::size_t>(k) + 1];
    const float share_s = dt_s / limits::ballast_from;
    float* __restrict swept = &ballasted_j_k_[static_cast<std::size_t>(light_place(v))];
#pragma GCC ivdep
    for (std::ptrdiff_t i = 0; i < row; ++i) {
      const float wanted_j_k = std::min(share_s * flow.least_w_k(i), most_j_mk * width_m[i]);
      const float ballast_j_k = std::max(wanted_j_k - capacity[i], 0.0F);
      swept[i] = capacity[i] + ballast_j_k;
      r[i] = dt_s * flow.into_w(i) + again * ballast_j_k * r[i];
    }
  }
  r[0] = r[layout.nx + 1] = 0.0F;  // ghosts stay as they are
}

/// Solves (C + half_s Lx) w1 = change for `rows` rows from j_from, in place.
void Stepper::sweep_x(float half_s, int j_from, int rows, int k, float* scratch) {
  const Layout& layout = wall_.layout();
  const int n = layout.nx;
  const std::size_t v = layout.at(0, j_from, k);
  float* __restrict a = scratch;                 // half_s G, face before voxel i at [i], n + 1 of them
  float* __restrict c = a + layout.row * lanes;  // capacity, then the elimination's upper factor
  float* __restrict r = c + layout.row * lanes;
  const auto of = [&](const Field& field, std::size_t first) {
    return [from = &field[first], row = layout.row](int l) { return from + l * row; };
  };
  gather_lanes(of(wall_.conductance(Axis::x), v - 1), rows, n + 1, 0.0F, a);
  gather_lanes([&](int l) { return swept_row(j_from + l, k) + 1; }, rows, n, 1.0F, c);
  gather_lanes(of(change_, v), rows, n, 0.0F, r);
  Lanes upper[2] = {}, before[2] = {};
  for (int i = 0; i < n; ++i)
    for (int half = 0; half < 2; ++half) {
      const int at = i * lanes + half * side;
      const Lanes low = half_s * load(a + at), high = half_s * load(a + at + lanes);
      const Lanes pivot = reciprocal(load(c + at) + high + low * (1.0F - upper[half]));
      upper[half] = high * pivot;
      before[half] = (load(r + at) + low * before[half]) * pivot;
      store(c + at, upper[half]);
      store(r + at, before[half]);
    }
  for (int i = n - 2; i >= 0; --i)
    for (int half = 0; half < 2; ++half) {
      const int at = i * lanes + half * side;
      before[half] = load(r + at) + load(c + at) * before[half];
      store(r + at, before[half]);
    }
  scatter_lanes(r, layout.row, rows, n, &change_[v]);
}

/// Solves (C + half_s Ly) w2 = C w1 on a plane, in place.
void Stepper::sweep_y(float half_s, int k, float* scratch) {
  const Layout& layout = wall_.layout();
  const std::ptrdiff_t row = layout.row;
  const std::ptrdiff_t n = row;  // ghosts and padding too: whole registers, no remainder
  for (int j = 0; j < layout.ny; ++j) {
    const std::size_t v = layout.at(-1, j, k);
    float* r = &change_[v];
    float* upper = scratch + (j + 1) * row;
    eliminate({&wall_.conductance(Axis::y)[v - row], &wall_.conductance(Axis::y)[v], swept_row(j, k)}, half_s, n,
              j == 0, upper - row, r - row, upper, r);
  }
  for (int j = layout.ny - 2; j >= 0; --j) {
    float* r = &change_[layout.at(-1, j, k)];
    const float* upper = scratch + (j + 1) * row;
#pragma GCC ivdep
    for (std::ptrdiff_t i = 0; i < n; ++i) r[i] += upper[i] * r[i + row];
  }
}

/// Solves (C + half_s Lz) w3 = C w2 for `rows` rows of z lines from j on, in place, and adds w3 to the temperatures.
/// Returns the largest |w3| and the range of the temperatures.
Stepper::Range Stepper::sweep_z(Field& rise_k, float half_s, int j, int rows, float* scratch) {
  const Layout& layout = wall_.layout();
  const std::ptrdiff_t plane = layout.plane;
  const std::ptrdiff_t n = rows * layout.row;  // ghosts and padding too: whole registers, no remainder
  for (int k = 0; k < layout.nz; ++k) {
    const std::size_t v = layout.at(-1, j, k);
    float* r = &change_[v];
    float* upper = scratch + (k + 1) * n;
    eliminate({&wall_.conductance(Axis::z)[v - plane], &wall_.conductance(Axis::z)[v], swept_row(j, k)}, half_s, n,
              k == 0, upper - n, r - plane, upper, r);
  }
  float* largest = scratch;
  float *lowest = scratch + (layout.nz + 1) * n, *highest = scratch + (layout.nz + 2) * n;
  std::memset(largest, 0, sizeof(float) * static_cast<std::size_t>(n));
  std::copy_n(&rise_k[layout.at(-1, j, layout.nz - 1)], n, lowest);
  std::copy_n(lowest, n, highest);
  for (int k = layout.nz - 1; k >= 0; --k) {
    const std::size_t v = layout.at(-1, j, k);
    float* r = &change_[v];
    float* t = &rise_k[v];
    const float* upper = scratch + (k + 1) * n;
    const float* above = k + 1 < layout.nz ? r + plane : nullptr;
#pragma GCC ivdep
    for (std::ptrdiff_t i = 0; i < n; ++i) {
      const float w = above ? r[i] + upper[i] * above[i] : r[i];
      r[i] = w;
      t[i] += w;
      largest[i] = std::max(largest[i], std::abs(w));
      lowest[i] = std::min(lowest[i], t[i]);
      highest[i] = std::max(highest[i], t[i]);
    }
  }
  return {*std::max_element(largest, largest + n), *std::min_element(lowest, lowest + n),
          *std::max_element(highest, highest + n)};
}

/// A node without heat capacity has the mean temperature of its faces, weighted by their couplings.
void Stepper::find_air_nodes(const Field& rise_k) {
  const AirSpaces& air = wall_.air();
  const auto before = [&](int s) { return air.slabs()[s].first_face; };
  crew_.each(static_cast<int>(air.slabs().size()), air.faces().size(), before, [&](int s) {
    const AirSlab& slab = air.slabs()[s];
    double sum[2] = {}, weighted[2] = {};
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
      const double t = rise_k[air.faces()[f].voxel], c[2] = {air.radiant_w_k()[f], air.convective_w_k()[f]};
      for (int node = 0; node < 2; ++node) {
        sum[node] += c[node];
        weighted[node] += c[node] * t;
      }
    }
    for (int node = 0; node < 2; ++node)
      air_node_k_[node][s] = sum[node] > 0.0 ? static_cast<float>(weighted[node] / sum[node]) : 0.0F;
  });
}

/// Solves (C + half_s La) w = C w for one slab, radiant node first, by eliminating the faces (Sherman-Morrison).
void Stepper::step_air(Field& rise_k, float half_s, int s) {
  const AirSpaces& air = wall_.air();
  const AirSlab& slab = air.slabs()[s];
  for (const std::vector<float>* couplings : {&air.radiant_w_k(), &air.convective_w_k()}) {
    double into = 0.0, through = 0.0;
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
      const double g = (*couplings)[f], c = swept_j_k(air.faces()[f].voxel, light_face_[f]);
      const double kept = g * c / (c + half_s * g);
      into += kept * change_[air.faces()[f].voxel];
      through += kept;
    }
    if (through <= 0.0) continue;
    const double node = into / through;
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f) {
      const std::size_t v = air.faces()[f].voxel;
      const double g = half_s * (*couplings)[f], c = swept_j_k(v, light_face_[f]);
      const auto moved = static_cast<float>(g * (node - change_[v]) / (c + g));
      change_[v] += moved;
      rise_k[v] += moved;
    }
  }
}

/// The last factor for one cable. Returns the heat its copper gave, J; raises fastest_k to its nodes' largest change.
double Stepper::step_copper(HeatState& state, double dt_s, const Feed& feed, std::size_t line_index,
                            double& fastest_k) {
  const CopperLine& line = wall_.copper().lines[line_index];
  const CableType& type = wall_.wall().cables[static_cast<std::size_t>(line.cable)].type;
  std::vector<double>& t = state.copper_rise_k[line_index];
  const std::size_t nodes = t.size();
  const double half_s = limits::split_theta * dt_s;
  const std::vector<std::ptrdiff_t>& light = light_link_[line_index];
  auto square_a2 = [&](std::size_t n) { return feed.at(line_index, n) * feed.at(line_index, n) * type.loaded; };
  const double slope_ohm_mk = resistance_slope_ohm_mk(type);
  thread_local std::vector<double> upper, change;  // kept between steps: no allocation after the first
  upper.assign(nodes, 0.0);
  change.assign(nodes, 0.0);
  for (std::size_t n = 0; n < nodes; ++n) {
    const double length_m = line.length_m[n], low = n > 0 ? line.axial_w_k[n - 1] : 0.0, high = line.axial_w_k[n];
    double flow_w = square_a2(n) * resistance_ohm_m(type, datum_k + t[n]) * length_m;
    if (n > 0) flow_w += low * (t[n - 1] - t[n]);
    if (n + 1 < nodes) flow_w += high * (t[n + 1] - t[n]);
    double diagonal = line.capacity_j_k[n] + half_s * (low + high - square_a2(n) * slope_ohm_mk * length_m);
    double right = 0.0;
    for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
      const SheathLink& link = line.links[static_cast<std::size_t>(l)];
      const double w3 = change_[link.voxel], g = half_s * link.coupling_w_k;
      const double c = swept_j_k(link.voxel, light[l]), kept = c / (c + g);
      flow_w += link.coupling_w_k * (state.rise_k[link.voxel] - w3 - t[n]);  // rise_k already holds w3
      diagonal += g * kept;
      right += g * kept * w3;
    }
    right += dt_s * flow_w;
    const double pivot = 1.0 / (diagonal - (n > 0 ? half_s * low * upper[n - 1] : 0.0));
    upper[n] = half_s * high * pivot;
    change[n] = (right + (n > 0 ? half_s * low * change[n - 1] : 0.0)) * pivot;
  }
  for (std::size_t n = nodes - 1; n-- > 0;) change[n] += upper[n] * change[n + 1];
  double generated_j = 0.0;
  for (std::size_t n = 0; n < nodes; ++n) {
    generated_j += dt_s * line.length_m[n] * square_a2(n) *
                   resistance_ohm_m(type, datum_k + t[n] + limits::split_theta * change[n]);
    for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
      const SheathLink& link = line.links[static_cast<std::size_t>(l)];
      const double g = half_s * link.coupling_w_k, c = swept_j_k(link.voxel, light[l]), w3 = change_[link.voxel];
      const auto moved = static_cast<float>((c * w3 + g * change[n]) / (c + g) - w3);
      state.rise_k[link.voxel] += moved;
      change_[link.voxel] += moved;
    }
    t[n] += change[n];
    fastest_k = std::max(fastest_k, std::abs(change[n]));
  }
  return generated_j;
}

float ballast_again(double dt_s, double before_s) {
  return before_s >= limits::ballast_leans_from * dt_s ? static_cast<float>(dt_s / before_s) : 0.0F;
}

double longest_stable_step_s(const Conduction& wall, double wanted_s,
                             const std::function<void(HeatState&, double, int)>& run) {
  const Layout& layout = wall.layout();
  auto random_state = [&] {
    std::minstd_rand random(1);  // NOLINT: the same trial every time
    auto next = [&] { return static_cast<float>(random()) / static_cast<float>(std::minstd_rand::max()) - 0.5F; };
    HeatState state;
    state.rise_k.assign(layout.size, 0.0F);
    for (std::size_t v = 0; v < layout.size; ++v)
      if (wall.is_solid(v)) state.rise_k[v] = next();
    for (const CopperLine& line : wall.copper().lines) {
      state.copper_rise_k.emplace_back(static_cast<std::size_t>(line.nodes()));
      for (double& rise_k : state.copper_rise_k.back()) rise_k = next();
    }
    return state;
  };
  auto heat_norm = [&](const HeatState& state) {
    double sum = 0.0;
    for (std::size_t v = 0; v < layout.size; ++v)
      if (wall.is_solid(v)) sum += static_cast<double>(wall.capacity()[v]) * state.rise_k[v] * state.rise_k[v];
    return sum;
  };
  constexpr int most_halvings = 24;
  double step_s = wanted_s;
  for (int halving = 0; halving < most_halvings; ++halving, step_s *= 0.5) {
    HeatState state = random_state();
    double before = std::numeric_limits<double>::infinity();
    bool grows = false;
    for (const int part : {4, 4, 2}) {  // most that grow show it early
      run(state, step_s, limits::stability_trial_steps / part);
      const double now = heat_norm(state);
      grows = !(now <= before);  // true for NaN
      if (grows) break;
      before = now;
    }
    if (!grows) return step_s;
  }
  return step_s;
}

}  // namespace warmbay::sim
