// The split step. Pass 1 takes stretches of rows through residual, x sweep and the forward half of y while they are in
// cache, then the plane back along y; pass 2 sweeps z, both halves of the wall towards each other, and updates the
// temperatures; air and copper follow. Lines are solved side by side in SIMD lanes: rows as they lie for y and z,
// blocks of transposed rows for x. Eliminations are done afresh every step: a division a voxel costs less than reading
// stored factors, and conductances may change at any time.

#include "sim/stepper.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "sim/lanes.hpp"
#include "sim/limits.hpp"
#include "sim/no_aliases.hpp"
#include "sim/row_flow.hpp"

namespace warmbay::sim {
using namespace lane;
namespace {

constexpr float endless = std::numeric_limits<float>::infinity();
int stretches_of_rows(const Layout& layout) {
  return (layout.ny + lanes - 1) / lanes;
}
/// Which stretch of which plane a voxel lies in.
std::size_t stretch_of(const Layout& layout, std::size_t voxel) {
  const auto [i, j, k] = layout.place(voxel);
  return static_cast<std::size_t>(k) * stretches_of_rows(layout) + j / lanes;
}

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

Stepper::Stepper(const Conduction& wall, Crew& crew) : wall_(wall), crew_(crew), ballast_(wall, crew) {
  const Layout& layout = wall.layout();
  links_of_.resize(static_cast<std::size_t>(layout.nz) * stretches_of_rows(layout));
  const std::vector<CopperLine>& lines = wall.copper().lines;
  for (std::size_t l = 0; l < lines.size(); ++l)
    for (const SheathLink& link : lines[l].links)
      links_of_[stretch_of(layout, link.voxel)].push_back(
          {link.voxel, link.coupling_w_k, static_cast<int>(l), link.node});
  air_faces_of_.resize(links_of_.size());
  restless_.resize(links_of_.size());
  air_changed();
  const auto row = static_cast<std::size_t>(layout.row);
  widths_x_m_.assign(wall.padded_widths_m(Axis::x).begin(), wall.padded_widths_m(Axis::x).end());
  widths_x_m_.resize(row, 0.0F);
  const auto block = row * Ballast::block_rows;
  const auto of_half = block * (layout.nz - layout.middle() + 1);  // factors from 1 on
  const std::size_t most = std::max(row * (layout.ny + 1 + 3 * lanes), 4 * of_half);
  row_drift_k_.assign(layout.rows(), endless);
  scratch_.resize(static_cast<std::size_t>(crew.size()));
  for (Field& field : scratch_) field.resize(most);
  for (int half = 0; half < 2; ++half) {
    met_upper_[half].assign(block * ballast_.blocks_of_rows(), 0.0F);
    met_r_[half].assign(block * ballast_.blocks_of_rows(), 0.0F);
    met_[half] = std::vector<std::atomic<unsigned>>(static_cast<std::size_t>(ballast_.blocks_of_rows()));
    range_of_[half].resize(static_cast<std::size_t>(ballast_.blocks_of_rows()));
  }
}

void Stepper::air_changed() {
  ballast_.voids_changed();
  find_faces();
}

void Stepper::air_grew(const std::vector<std::size_t>& voxels) {
  ballast_.voids_grew(voxels);
  find_faces();
}

void Stepper::find_faces() {
  const AirSpaces& air = wall_.air();
  for (std::vector<int>& faces : air_faces_of_) faces.clear();
  for (std::size_t f = 0; f < air.faces().size(); ++f)
    air_faces_of_[stretch_of(wall_.layout(), air.faces()[f].voxel)].push_back(static_cast<int>(f));
  for (std::vector<float>& nodes : air_node_k_) nodes.assign(air.slabs().size(), 0.0F);
  for (auto& of_node : air_sum_)
    for (std::vector<AirSum>& sums : of_node) sums.resize(air.slabs().size());
  for (std::vector<double>& of_half : air_stored_j_) of_half.assign(air.slabs().size(), 0.0);
}

/// Where ballast keeps the capacities of what is not worked on row by row.
void Stepper::find_places() {
  place_of_face_.clear();
  for (const AirFace& face : wall_.air().faces()) place_of_face_.push_back(ballast_.place_of(face.voxel));
  place_of_link_.clear();
  for (const CopperLine& line : wall_.copper().lines) {
    place_of_link_.emplace_back();
    for (const SheathLink& link : line.links) place_of_link_.back().push_back(ballast_.place_of(link.voxel));
  }
}

Stepper::Outcome Stepper::step(HeatState& state, double dt_s, const Feed& feed, float restless_k) {
  const Layout& layout = wall_.layout();
  const auto dt = static_cast<float>(dt_s);
  const float half_s = limits::split_theta * dt;
  if (ballast_.prepare(dt_s)) find_places();
  const float again = ballast_again(dt_s, state.change_s);
  const bool looks = state.change_s > 0.0 && state.change_k.size() == layout.size;
  const Rest rest{looks ? static_cast<float>(1.0 / state.change_s) : 0.0F, looks ? restless_k : endless};
  state.change_k.resize(layout.size, 0.0F);
  change_.resize(layout.size, 0.0F);
  find_air_nodes(state.rise_k);
  crew_.run([&](int part, int parts) {
    float* scratch = scratch_[static_cast<std::size_t>(part)].data();
    float* const beyond = scratch + layout.row * (layout.ny + 1);
    for (int k = layout.nz * part / parts; k < layout.nz * (part + 1) / parts; ++k) {
      for (int from = 0; from < layout.ny; from += lanes) {
        const int to = std::min(from + lanes, layout.ny);
        restless_[stretch_of(layout, layout.at(0, from, k))] =
            flow_stretch(state, dt, again, rest, from, k, beyond) ? 1 : 0;
        sweep_x(half_s, from, to - from, k, beyond);
        eliminate_y(half_s, from, to, k, scratch);
      }
      substitute_y(k, scratch);
    }
  });
  state.stirred.clear();
  Outcome outcome;
  outcome.restless = std::find(restless_.begin(), restless_.end(), 1) != restless_.end();
  if (outcome.restless) return outcome;
  if (!before_is_whole_) before_ = state.rise_k;
  before_is_whole_ = true;
  before_.swap(state.rise_k);
  copper_before_ = state.copper_rise_k;
  sweep_z(before_, state.rise_k, half_s);
  step_air(state.rise_k, half_s);
  double fastest_k = 0.0;
  for (const std::vector<Range>& of_half : range_of_)
    for (const Range& one : of_half) {
      fastest_k = std::max(fastest_k, static_cast<double>(one.fastest_k));
      outcome.voxels.include(RiseRange{one.lowest_k, one.highest_k});
      outcome.stored_j += one.stored_j;
    }
  for (const std::vector<double>& of_half : air_stored_j_)
    outcome.stored_j = std::accumulate(of_half.begin(), of_half.end(), outcome.stored_j);
  outcome.fastest_k_s = fastest_k / dt_s;
  for (std::size_t l = 0; l < wall_.copper().lines.size(); ++l) step_copper(state, dt_s, feed, l, outcome);
  outcome.voxels.include(range_of_linked(state.rise_k));
  outcome.copper = range_of(state.copper_rise_k);
  change_.swap(state.change_k);
  change_before_s_ = std::exchange(state.change_s, dt_s);
  return outcome;
}

void Stepper::undo(HeatState& state) {
  before_.swap(state.rise_k);
  state.copper_rise_k = copper_before_;
  change_.swap(state.change_k);
  state.change_s = change_before_s_;
  std::fill(row_drift_k_.begin(), row_drift_k_.end(), endless);
}

/// Of what the air's and the copper's factors have moved after the sweeps.
RiseRange Stepper::range_of_linked(const Field& rise_k) const {
  RiseRange range;
  for (const AirFace& face : wall_.air().faces()) range.include(rise_k[face.voxel]);
  for (const CopperLine& line : wall_.copper().lines)
    for (const SheathLink& link : line.links) range.include(rise_k[link.voxel]);
  return range;
}

/// The flow into a stretch of rows, dt R and what ballast leans on, into change_. Whether any voxel in it is restless.
bool Stepper::flow_stretch(const HeatState& state, float dt_s, float again, const Rest& rest, int from, int k,
                           float* scratch) {
  const Layout& layout = wall_.layout();
  const std::size_t stretch = stretch_of(layout, layout.at(0, from, k)), first = layout.at(-1, from, k);
  const bool linked = !links_of_[stretch].empty() || !air_faces_of_[stretch].empty();
  float* const off_w = linked ? scratch : nullptr;  // couplings count: the stretch is judged once they are added
  float* const allowed_w = scratch + lanes * layout.row;
  const int to = std::min(from + lanes, layout.ny);
  float most_w = -endless;
  for (int j = from; j < to; ++j) {
    const std::ptrdiff_t at = (j - from) * layout.row;
    const bool stirred = !state.stirred.empty() && state.stirred[layout.row_index(j, k)] != 0;
    const RowRest of_row{stirred ? 0.0F : rest.per_s, stirred ? endless : rest.restless_k, off_w ? off_w + at : nullptr,
                         allowed_w + at};
    most_w = std::max(most_w, add_flow(state, dt_s, again, of_row, j, k));
  }
  if (!linked) return most_w > 0.0F;
  add_couplings(state, dt_s, rest.restless_k, stretch, first, off_w, allowed_w);
  const std::ptrdiff_t end = (to - from) * layout.row;
  WARMBAY_NO_ALIASES
  for (std::ptrdiff_t i = 0; i < end; ++i) off_w[i] = std::abs(off_w[i]) - allowed_w[i];
  return largest(off_w, end) > 0.0F;
}

/// change = dt * (heat flowing into every voxel of a row through its six faces), with ballast in a light block
/// (sim/row_flow.hpp).
float Stepper::add_flow(const HeatState& state, float dt_s, float again, const RowRest& rest, int j, int k) {
  const Layout& layout = wall_.layout();
  const std::size_t v = layout.at(-1, j, k);
  const RowFlow flow{&state.rise_k[v],
                     &state.change_k[v],
                     &wall_.conductance(Axis::x)[v],
                     &wall_.conductance(Axis::y)[v],
                     &wall_.conductance(Axis::z)[v],
                     layout.row,
                     layout.plane,
                     &wall_.capacity()[v]};
  const float across_m2 = wall_.padded_widths_m(Axis::y)[static_cast<std::size_t>(j) + 1] *
                          wall_.padded_widths_m(Axis::z)[static_cast<std::size_t>(k) + 1];
  const RowBallast ballast{ballast_.carries(j, k) ? ballast_.row_to_set(j, k) : nullptr, widths_x_m_.data(),
                           dt_s / limits::ballast_from, limits::ballast_most_j_m3k * across_m2, again};
  float* const r = &change_[v];
  const float most_w = flow_into_row(flow, dt_s, rest, ballast, r);
  r[0] = r[layout.nx + 1] = 0.0F;  // ghosts stay as they are
  return most_w;
}

/// What flows into a stretch's voxels from the copper and across air spaces, times dt. first: the first ghost of the
/// stretch, where off_w and allowed_w begin.
void Stepper::add_couplings(const HeatState& state, float dt_s, float restless_k, std::size_t stretch,
                            std::size_t first, float* off_w, float* allowed_w) {
  const AirSpaces& air = wall_.air();
  const auto add = [&](std::size_t voxel, float into_w, float w_k) {
    change_[voxel] += dt_s * into_w;
    off_w[voxel - first] -= into_w;
    allowed_w[voxel - first] += restless_k * w_k;
  };
  for (const StretchLink& link : links_of_[stretch])
    add(link.voxel,
        link.coupling_w_k * (static_cast<float>(state.copper_rise_k[static_cast<std::size_t>(link.line)][link.node]) -
                             state.rise_k[link.voxel]),
        link.coupling_w_k);
  for (const int f : air_faces_of_[stretch]) {
    const AirFace& face = air.faces()[f];
    const float here = state.rise_k[face.voxel], radiant = air.radiant_w_k()[f], convective = air.convective_w_k()[f];
    add(face.voxel, radiant * (air_node_k_[0][face.slab] - here) + convective * (air_node_k_[1][face.slab] - here),
        radiant + convective);
  }
}

/// Solves (C + half_s Lx) w1 = change for `rows` rows from j_from, in place.
void Stepper::sweep_x(float half_s, int j_from, int rows, int k, float* scratch) {
  const Layout& layout = wall_.layout();
  const int n = layout.nx;
  const std::size_t v = layout.at(-1, j_from, k);  // whole rows, from their first ghost on
  float* const __restrict a = scratch;             // G, face before voxel i at [i], n + 1 of them
  float* const __restrict c_row = a + layout.row * lanes;
  float* const __restrict r_row = c_row + layout.row * lanes;
  const auto of = [&](const Field& field, std::size_t first) {
    return [from = &field[first], row = layout.row](int l) { return from + l * row; };
  };
  gather_lanes(of(wall_.conductance(Axis::x), v), rows, n + 1, 0.0F, a);
  gather_lanes([&](int l) { return ballast_.row(j_from + l, k); }, rows, n + 1, 1.0F, c_row);
  gather_lanes(of(change_, v), rows, n + 1, 0.0F, r_row);
  float* const c = c_row + lanes;  // of the voxels: capacity, then the elimination's upper factor
  float* const r = r_row + lanes;
  // From both ends to the middle and back: two chains of divisions a register hide each other's wait.
  struct Chain {
    Lanes upper, r;
  };
  constexpr int registers = lanes / side;
  Chain ends[2][registers] = {};
  const auto eliminate_one = [&](int i, int end) {
    for (int reg = 0; reg < registers; ++reg) {
      Chain& chain = ends[end][reg];
      const int at = i * lanes + reg * side;
      const Lanes low = half_s * load(a + at + end * lanes), high = half_s * load(a + at + (1 - end) * lanes);
      const Lanes pivot = reciprocal(load(c + at) + high + low * (1.0F - chain.upper));
      chain.upper = high * pivot;
      chain.r = (load(r + at) + low * chain.r) * pivot;
      store(c + at, chain.upper);
      store(r + at, chain.r);
    }
  };
  const auto substitute_one = [&](int i, int end) {
    for (int reg = 0; reg < registers; ++reg) {
      Chain& chain = ends[end][reg];
      const int at = i * lanes + reg * side;
      chain.r = load(r + at) + load(c + at) * chain.r;
      store(r + at, chain.r);
    }
  };
  const int middle = n / 2;
  for (int s = 0; s < middle; ++s) {
    eliminate_one(s, 0);
    eliminate_one(n - 1 - s, 1);
  }
  if (n % 2 == 1) eliminate_one(middle, 1);
  for (int reg = 0; reg < registers && middle > 0; ++reg) {
    Chain &low = ends[0][reg], &high = ends[1][reg];
    const Lanes pivot = meet(low.upper, high.upper);
    const Lanes low_r = (low.r + low.upper * high.r) * pivot;
    high.r = (high.r + high.upper * low.r) * pivot;
    low.r = low_r;
    store(r + (middle - 1) * lanes + reg * side, low.r);
    store(r + middle * lanes + reg * side, high.r);
  }
  for (int s = middle - 2; s >= 0; --s) {
    substitute_one(s, 0);
    substitute_one(2 * middle - 1 - s, 1);
  }
  if (n % 2 == 1 && middle > 0) substitute_one(n - 1, 1);
  scatter_lanes(r_row, layout.row, rows, n + 1, &change_[v]);
}

/// (C + half_s Ly) w2 = C w1 on a plane, in place: forward over some of its rows,
void Stepper::eliminate_y(float half_s, int from, int to, int k, float* scratch) {
  const Layout& layout = wall_.layout();
  const std::ptrdiff_t row = layout.row;
  const std::ptrdiff_t n = row;  // ghosts and padding too: whole registers, no remainder
  for (int j = from; j < to; ++j) {
    const std::size_t v = layout.at(-1, j, k);
    float* r = &change_[v];
    float* upper = scratch + (j + 1) * row;
    eliminate({&wall_.conductance(Axis::y)[v - row], &wall_.conductance(Axis::y)[v], ballast_.row(j, k)}, half_s, n,
              j == 0, upper - row, r - row, upper, r);
  }
}

/// and, once all are, back.
void Stepper::substitute_y(int k, const float* scratch) {
  const Layout& layout = wall_.layout();
  const std::ptrdiff_t row = layout.row;
  for (int j = layout.ny - 2; j >= 0; --j) {
    float* r = &change_[layout.at(-1, j, k)];
    const float* upper = scratch + (j + 1) * row;
    WARMBAY_NO_ALIASES
    for (std::ptrdiff_t i = 0; i < row; ++i) r[i] += upper[i] * r[i + row];
  }
}

std::pair<int, int> Stepper::planes_of(int half) const {
  const Layout& layout = wall_.layout();
  return half == 0 ? std::pair{0, layout.middle()} : std::pair{layout.middle(), layout.nz};
}

/// Solves (C + half_s Lz) w3 = C w2, in place, and adds w3 to the temperatures, into next_k. Both halves of the wall
/// are eliminated from their outer side to the middle, where they meet, and substituted on the way back: a member that
/// has worked on one half so far stays with it. A block of rows behind, so that no half waits for the other's every
/// block.
void Stepper::sweep_z(const Field& rise_k, Field& next_k, float half_s) {
  ++steps_;
  crew_.run([&](int part, int parts) {
    const Crew::Halves mine = Crew::halves(part, parts);
    const bool alone = mine.last - mine.first == 2;
    const std::size_t of_half = scratch_[0].size() / 4 / side * side;
    const auto scratch = [&](int half, int block) {
      return &scratch_[static_cast<std::size_t>(part)][of_half * (2 * (alone ? 0 : block % 2) + half)];
    };
    const auto substitute = [&](int block) {
      for (int half = mine.first; half < mine.last; ++half) {
        if (!alone) crew_.wait_for(part, met_[1 - half][block], steps_);
        range_of_[half][block] = substitute_z(rise_k, next_k, half, block, scratch(half, block));
      }
    };
    const int from = ballast_.blocks_of_rows() * mine.part / mine.parts;
    const int to = ballast_.blocks_of_rows() * (mine.part + 1) / mine.parts;
    for (int block = from; block < to; ++block) {
      for (int half = mine.first; half < mine.last; ++half) {
        eliminate_z(half_s, half, block, scratch(half, block));
        crew_.tell(met_[half][block], steps_);
      }
      if (alone) substitute(block);
      if (!alone && block > from) substitute(block - 1);
    }
    if (!alone && to > from) substitute(to - 1);
  });
}

/// Forward on one half, towards the middle. scratch: the factors, then what the other half is to know of the last.
void Stepper::eliminate_z(float half_s, int half, int block, float* scratch) {
  const Layout& layout = wall_.layout();
  const auto [first, last] = planes_of(half);
  if (first == last) return;
  const int j = block * Ballast::block_rows, rows = std::min(Ballast::block_rows, layout.ny - j);
  const std::ptrdiff_t n = rows * layout.row;  // ghosts and padding too: whole registers, no remainder
  const std::ptrdiff_t on = half == 0 ? layout.plane : -layout.plane;
  const Field& faces = wall_.conductance(Axis::z);
  for (int s = 0; s < last - first; ++s) {
    const int k = half == 0 ? s : last - 1 - s;
    const std::size_t v = layout.at(-1, j, k);
    const float *below = &faces[v - layout.plane], *above = &faces[v];
    float* r = &change_[v];
    float* upper = scratch + (s + 1) * n;
    if (s + 1 < last - first) {
      fetch((half == 0 ? above : below) + on, n);
      fetch(ballast_.row(j, half == 0 ? k + 1 : k - 1), n);
      fetch(r + on, n);
    }
    eliminate({half == 0 ? below : above, half == 0 ? above : below, ballast_.row(j, k)}, half_s, n, s == 0, upper - n,
              r - on, upper, r);
  }
  const std::size_t at = static_cast<std::size_t>(j) * layout.row;
  std::copy_n(scratch + (last - first) * n, n, &met_upper_[half][at]);
  std::copy_n(&change_[layout.at(-1, j, half == 0 ? last - 1 : first)], n, &met_r_[half][at]);
}

/// Back from the middle. Returns the largest |w3|, the range of the temperatures and the heat stored, J.
Stepper::Range Stepper::substitute_z(const Field& rise_k, Field& next_k, int half, int block, const float* scratch) {
  const Layout& layout = wall_.layout();
  const auto [first, last] = planes_of(half);
  if (first == last) return {0.0F, endless, -endless, 0.0};
  const int j = block * Ballast::block_rows, rows = std::min(Ballast::block_rows, layout.ny - j);
  const std::ptrdiff_t n = rows * layout.row, on = half == 0 ? -layout.plane : layout.plane;
  const std::size_t at = static_cast<std::size_t>(j) * layout.row;
  const float *upper_beyond = &met_upper_[1 - half][at], *r_beyond = &met_r_[1 - half][at];
  Lanes lowest = Lanes{} + endless, highest = Lanes{} - endless;
  float fastest_k = 0.0F;
  double stored_j = 0.0;
  for (int s = last - first - 1; s >= 0; --s) {
    const int k = half == 0 ? s : last - 1 - s;
    const std::size_t v = layout.at(-1, j, k);
    float* r = &change_[v];
    const float* t = &rise_k[v];
    float* next = &next_k[v];
    const float* capacity = &wall_.capacity()[v];
    const float* upper = scratch + (s + 1) * n;
    if (s > 0) {
      fetch(t + on, n);
      fetch(r + on, n);
    }
    const bool meets = s == last - first - 1;
    for (int of_block = 0; of_block < rows; ++of_block) {
      Lanes most{};
      Sums heat_j;
      for (std::ptrdiff_t i = of_block * layout.row, end = i + layout.row; i < end; i += side) {
        const Lanes u = load(upper + i);
        const Lanes w = meets ? (load(r + i) + u * load(r_beyond + i)) * meet(u, load(upper_beyond + i))
                              : load(r + i) + u * load(r - on + i);
        const Lanes now = load(t + i) + w, size = w < 0.0F ? -w : w;
        store(r + i, w);
        store(next + i, now);
        const Lanes c = load(capacity + i);
        heat_j.add(i, c < limits::held_capacity_j_k ? c * w : Lanes{});
        most = most < size ? size : most;
        lowest = now < lowest ? now : lowest;
        highest = highest < now ? now : highest;
      }
      const float moved_k = largest(most);
      row_drift_k_[layout.row_index(j + of_block, k)] += moved_k;
      fastest_k = std::max(fastest_k, moved_k);
      stored_j += heat_j.all();
    }
  }
  return {fastest_k, -largest(-lowest), largest(highest), stored_j};
}

/// A node without heat capacity has the mean temperature of its faces, weighted by their couplings.
void Stepper::find_air_nodes(const Field& rise_k) {
  const AirSpaces& air = wall_.air();
  const int slabs = static_cast<int>(air.slabs().size());
  if (slabs == 0) return;
  crew_.each_of_halves(slabs, [&](int half, int s) {
    const auto [first, last] = AirSpaces::faces_of_half(air.slabs()[s], half);
    AirSum radiant, convective;
    for (std::size_t f = first; f < last; ++f) {
      const double t = rise_k[air.faces()[f].voxel];
      radiant.through += air.radiant_w_k()[f];
      radiant.into += air.radiant_w_k()[f] * t;
      convective.through += air.convective_w_k()[f];
      convective.into += air.convective_w_k()[f] * t;
    }
    air_sum_[0][half][s] = radiant;
    air_sum_[1][half][s] = convective;
  });
  for (int node = 0; node < 2; ++node)
    for (int s = 0; s < slabs; ++s) {
      const AirSum &lower = air_sum_[node][0][s], &upper = air_sum_[node][1][s];
      const double through = lower.through + upper.through;
      air_node_k_[node][s] = through > 0.0 ? static_cast<float>((lower.into + upper.into) / through) : 0.0F;
    }
}

/// Solves (C + half_s La) w = C w slab by slab, radiant nodes first, by eliminating the faces (Sherman-Morrison).
void Stepper::step_air(Field& rise_k, float half_s) {
  for (const std::vector<int>& slabs : wall_.air().colours()) {
    const int count = static_cast<int>(slabs.size());
    crew_.each_of_halves(count, [&](int half, int n) { sum_air(half_s, 0, half, slabs[n]); });
    crew_.each_of_halves(count, [&](int half, int n) {
      move_air(rise_k, half_s, 0, half, slabs[n]);
      sum_air(half_s, 1, half, slabs[n]);
    });
    crew_.each_of_halves(count, [&](int half, int n) { move_air(rise_k, half_s, 1, half, slabs[n]); });
  }
}

/// What flows to a slab's node from its faces in one half of the wall.
void Stepper::sum_air(float half_s, int node, int half, int s) {
  const AirSpaces& air = wall_.air();
  const std::vector<float>& couplings = node == 0 ? air.radiant_w_k() : air.convective_w_k();
  const auto [first, last] = AirSpaces::faces_of_half(air.slabs()[s], half);
  AirSum sum;
  for (std::size_t f = first; f < last; ++f) {
    const std::size_t v = air.faces()[f].voxel;
    const double g = couplings[f], c = ballast_.capacity_j_k(v, place_of_face_[f]);
    const double kept = g * c / (c + half_s * g);
    sum.into += kept * change_[v];
    sum.through += kept;
  }
  air_sum_[node][half][s] = sum;
}

/// Once both halves are summed: what the node makes of the faces.
void Stepper::move_air(Field& rise_k, float half_s, int node, int half, int s) {
  const AirSpaces& air = wall_.air();
  const std::vector<float>& couplings = node == 0 ? air.radiant_w_k() : air.convective_w_k();
  const AirSum &lower = air_sum_[node][0][s], &upper = air_sum_[node][1][s];
  const double through = lower.through + upper.through;
  double& stored_j = air_stored_j_[half][static_cast<std::size_t>(s)];
  if (node == 0) stored_j = 0.0;
  if (through <= 0.0) return;
  const double node_k = (lower.into + upper.into) / through;
  const auto [first, last] = AirSpaces::faces_of_half(air.slabs()[s], half);
  for (std::size_t f = first; f < last; ++f) {
    const std::size_t v = air.faces()[f].voxel;
    const double g = half_s * couplings[f], c = ballast_.capacity_j_k(v, place_of_face_[f]);
    const auto moved = static_cast<float>(g * (node_k - change_[v]) / (c + g));
    change_[v] += moved;
    rise_k[v] += moved;
    stored_j += static_cast<double>(wall_.capacity()[v]) * moved;
  }
}

/// The last factor for one cable. Enters into the outcome what its copper gave and took up, and how fast it went.
void Stepper::step_copper(HeatState& state, double dt_s, const Feed& feed, std::size_t line_index, Outcome& outcome) {
  const CopperLine& line = wall_.copper().lines[line_index];
  const CableType& type = wall_.wall().cables[static_cast<std::size_t>(line.cable)].type;
  std::vector<double>& t = state.copper_rise_k[line_index];
  const std::size_t nodes = t.size();
  const double half_s = limits::split_theta * dt_s;
  const std::vector<std::ptrdiff_t>& places = place_of_link_[line_index];
  const auto heat = [&](std::size_t n) { return ohmic_heat(type, line.length_m[n], feed.at(line_index, n)); };
  thread_local std::vector<double> upper, change;  // kept between steps: no allocation after the first
  upper.assign(nodes, 0.0);
  change.assign(nodes, 0.0);
  for (std::size_t n = 0; n < nodes; ++n) {
    const double low = n > 0 ? line.axial_w_k[n - 1] : 0.0, high = line.axial_w_k[n];
    const OhmicHeat own = heat(n);
    double flow_w = own.at_w(t[n]);
    if (n > 0) flow_w += low * (t[n - 1] - t[n]);
    if (n + 1 < nodes) flow_w += high * (t[n + 1] - t[n]);
    double diagonal = line.capacity_j_k[n] + half_s * (low + high - own.slope_w_k);
    double right = 0.0;
    for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
      const SheathLink& link = line.links[static_cast<std::size_t>(l)];
      const double w3 = change_[link.voxel], g = half_s * link.coupling_w_k;
      const double c = ballast_.capacity_j_k(link.voxel, places[l]), kept = c / (c + g);
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
  for (std::size_t n = 0; n < nodes; ++n) {
    outcome.generated_j += dt_s * heat(n).at_w(t[n] + limits::split_theta * change[n]);
    for (int l = line.first_link[n]; l < line.first_link[n + 1]; ++l) {
      const SheathLink& link = line.links[static_cast<std::size_t>(l)];
      const double g = half_s * link.coupling_w_k, c = ballast_.capacity_j_k(link.voxel, places[l]),
                   w3 = change_[link.voxel];
      const auto moved = static_cast<float>((c * w3 + g * change[n]) / (c + g) - w3);
      state.rise_k[link.voxel] += moved;
      change_[link.voxel] += moved;
      outcome.stored_j += static_cast<double>(wall_.capacity()[link.voxel]) * moved;
    }
    t[n] += change[n];
    outcome.stored_j += line.capacity_j_k[n] * change[n];
    outcome.fastest_k_s = std::max(outcome.fastest_k_s, std::abs(change[n]) / dt_s);
  }
}

float ballast_again(double dt_s, double before_s) {
  const double times = before_s > 0.0 ? dt_s / before_s : 0.0;
  return times <= limits::ballast_leans_most ? static_cast<float>(times) : 0.0F;
}

}  // namespace warmbay::sim
