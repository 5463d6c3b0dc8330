#pragma once
// How much a file may hold. Each limit is far above what a wall needs and far below what a machine bears; the README
// states them (tests/scenes/input_limits_test.cpp compares). They are looked at first, before anything that takes time.

#include <cstddef>

namespace warmbay::scenes::input_limits {

/// Bytes of one file.
inline constexpr std::size_t file_bytes = 4u << 20;
/// Tables and arrays within each other. Files that ship need fewer than ten.
inline constexpr int depth = 64;
/// Faults of one file that are printed; the others are counted.
inline constexpr std::size_t faults_told = 50;

}  // namespace warmbay::scenes::input_limits
