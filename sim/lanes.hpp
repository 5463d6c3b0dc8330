#pragma once
// As many floats side by side as a register holds: what the split step's sweeps are written in. Wider vectors than that
// a compiler takes apart, choices and transposes float by float, and three times as slow. What a lane computes is the
// same for every width, and sums are kept by sixteen (Sums): so are all bits, but where the processor has an estimate.

#if defined(__AVX512F__)
#include <immintrin.h>
#endif

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <limits>
#include <utility>

namespace warmbay::sim::lane {

// Floats of a register; also the side of the blocks that are transposed in registers.
#if defined(__AVX512F__)
constexpr int side = 16;
#elif defined(__AVX__)
constexpr int side = 8;
#else
constexpr int side = 4;
#endif
/// Rows that a sweep along x solves side by side: several chains of divisions at a time hide their wait.
constexpr int lanes = 32;

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

inline Lanes load(const float* from) {
  Lanes loaded;
  std::memcpy(&loaded, from, sizeof(Lanes));
  return loaded;
}
inline void store(float* to, const Lanes& stored) {
  std::memcpy(to, &stored, sizeof(Lanes));
}

/// Of all lanes.
inline float largest(Lanes x) {
  float lanes_of_x[side];
  store(lanes_of_x, x);
  return *std::max_element(lanes_of_x, lanes_of_x + side);
}

/// Of n floats, whole registers of them, passing over what is not a number; such a maximum does not vectorise by
/// itself.
inline float largest(const float* from, std::ptrdiff_t n) {
  Lanes most = Lanes{} - std::numeric_limits<float>::infinity();
  for (std::ptrdiff_t i = 0; i < n; i += side) {
    const Lanes next = load(from + i);
    most = most < next ? next : most;
  }
  return largest(most);
}

/// A sum over a row, kept in sixteen parts whatever the register's width, and added up in a fixed order.
class Sums {
 public:
  /// x: of the floats from `at` on; at is a multiple of `side`.
  void add(std::ptrdiff_t at, Lanes x) { parts_[at / side % parts] += x; }
  [[nodiscard]] double all() const {
    double sum = 0.0;
    for (const Lanes& part : parts_)
      for (int l = 0; l < side; ++l) sum += part[l];
    return sum;
  }

 private:
  static constexpr int parts = 16 / side;
  Lanes parts_[parts] = {};
};

/// Brings n floats into the cache ahead of their use: stretches a plane apart are nothing that a processor foresees.
inline void fetch(const float* from, std::ptrdiff_t n) {
  for (std::ptrdiff_t i = 0; i < n; i += side) __builtin_prefetch(from + i);
}

/// What both sides of a meeting of two eliminations are multiplied by, 1 / (1 - product of their last factors). Thin
/// metal in a long step has factors that round to 1: then it stays finite, too.
inline Lanes meet(Lanes upper, Lanes upper_beyond) {
  constexpr float least = 0.5F * std::numeric_limits<float>::epsilon();
  const Lanes apart = 1.0F - upper * upper_beyond;
  return reciprocal(apart < least ? Lanes{} + least : apart);
}

/// Swaps the off-diagonal blocks of size `block` of a square matrix held as rows. (Templates are said to be inline
/// here, so that a shared sim hands nothing out that is passed a vector: sim/widths.cmake.)
template <int block, std::size_t... l>
inline void swap_blocks(Lanes (&rows)[side], std::index_sequence<l...>) {
  for (int i = 0; i < side; ++i) {
    if (i & block) continue;
    const Lanes low = rows[i], high = rows[i + block];
    rows[i] = __builtin_shufflevector(low, high, ((l & block) == 0 ? l : side + l - block)...);
    rows[i + block] = __builtin_shufflevector(low, high, ((l & block) == 0 ? l + block : side + l)...);
  }
}

template <int block = side / 2>
inline void transpose(Lanes (&rows)[side]) {
  swap_blocks<block>(rows, std::make_index_sequence<side>());
  if constexpr (block > 1) transpose<block / 2>(rows);
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
inline void scatter_lanes(const float* in, std::ptrdiff_t row, int rows, int n, float* __restrict out) {
  Lanes block[side];
  for (int first = 0; first < rows; first += side)
    for (int i0 = 0; i0 < n; i0 += side) {
      for (int i = 0; i < side; ++i) std::memcpy(&block[i], in + (i0 + i) * lanes + first, sizeof(Lanes));
      transpose(block);
      for (int l = 0; l < std::min(side, rows - first); ++l)
        std::memcpy(out + (first + l) * row + i0, &block[l], sizeof(Lanes));
    }
}

}  // namespace warmbay::sim::lane
