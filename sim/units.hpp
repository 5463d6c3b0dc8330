#pragma once
// Units and constants shared by everything in sim. SI inside; Celsius exists only in files and on screens.

#include <array>

namespace warmbay::sim {

inline constexpr double zero_celsius_k = 273.15;
inline constexpr double stefan_boltzmann_w_m2k4 = 5.670374419e-8;  // CODATA 2018
inline constexpr double gravity_m_s2 = 9.80665;
inline constexpr double gas_constant_j_molk = 8.314462618;  // CODATA 2018

/// The zero of every stored temperature field, K. Fields hold float kelvin above this datum ("rise"), because a float
/// near 300 K is only good to 3e-5 K, which swallows the small increments of a slow tail; near 0 it is good to 1e-6 K.
inline constexpr double datum_k = 293.15;

constexpr double kelvin_from_celsius(double celsius) {
  return celsius + zero_celsius_k;
}
constexpr double celsius_from_kelvin(double kelvin) {
  return kelvin - zero_celsius_k;
}

/// A point or a size in metres: {x, y, z}; x to the right, y up, z into the wall (0 is the room-side face).
using Vec3 = std::array<double, 3>;

enum class Axis : unsigned char { x = 0, y = 1, z = 2 };
constexpr int index_of(Axis axis) {
  return static_cast<int>(axis);
}

/// The six outer faces of a wall, in the order of Wall::faces: x = 0, x = width, y = 0, y = height, z = 0, z = depth.
enum class Side : unsigned char { left = 0, right = 1, bottom = 2, top = 3, room = 4, far = 5 };

}  // namespace warmbay::sim
