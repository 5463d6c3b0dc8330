#pragma once
// How much a file may hold. Each limit is far above what a wall needs and far below what a machine bears; the README
// states them (tests/scenes/read/input_limits_test.cpp compares). They are looked at first, before anything that takes
// time.

#include <array>
#include <cstddef>
#include <string_view>

namespace warmbay::scenes::input_limits {

/// Bytes of one file.
inline constexpr std::size_t file_bytes = 4u << 20;
/// Tables and arrays within each other. Files that ship need fewer than ten.
inline constexpr int depth = 64;
/// Tables of one [[kind]] in any file; scenes have lower limits.
inline constexpr std::size_t tables = 1000;
/// What a scene may hold of a kind.
struct Most {
  std::string_view key;
  std::size_t count;
};
inline constexpr std::array scene{Most{"wall.layer", 50},    Most{"box", 200},        Most{"surroundings", 50},
                                  Most{"material", 200},     Most{"cable_type", 200}, Most{"cable", 100},
                                  Most{"thermocouple", 500}, Most{"step", 200}};
/// Corners of all cables of a scene together.
inline constexpr std::size_t corners = 1000;
/// Studs of one layer.
inline constexpr std::size_t studs = 200;
/// Points of a table of numbers, entries of a list of texts, and of a step's list of surroundings.
inline constexpr std::size_t entries = 1000;
/// Faults of one file that are printed; the others are counted.
inline constexpr std::size_t faults_told = 50;

}  // namespace warmbay::scenes::input_limits
