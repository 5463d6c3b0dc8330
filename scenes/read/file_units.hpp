#pragma once
// The units of files and how they become SI: the one place where millimetres and Celsius turn into metres and kelvin.

#include <array>

namespace warmbay::scenes {

/// A unit as files use it: its SI value and back.
struct FileUnit {
  double (*to_si)(double in_file);
  double (*from_si)(double si);
};

inline constexpr FileUnit plain_unit{[](double v) { return v; }, [](double v) { return v; }};
inline constexpr FileUnit millimetre{[](double mm) { return mm / 1e3; }, [](double m) { return m * 1e3; }};
inline constexpr FileUnit square_millimetre{[](double mm2) { return mm2 / 1e6; }, [](double m2) { return m2 * 1e6; }};
inline constexpr FileUnit celsius{[](double c) { return c + 273.15; }, [](double k) { return k - 273.15; }};
inline constexpr FileUnit minute{[](double min) { return min * 60.0; }, [](double s) { return s / 60.0; }};
/// kJ/mol to J/mol, kJ/kg to J/kg, and m²/g to m²/kg.
inline constexpr FileUnit thousand{[](double v) { return v * 1e3; }, [](double v) { return v / 1e3; }};
inline constexpr FileUnit milligram{[](double mg) { return mg / 1e6; }, [](double kg) { return kg * 1e6; }};
inline constexpr FileUnit ohm_per_km{[](double r) { return r / 1e3; }, [](double r) { return r * 1e3; }};

inline std::array<double, 3> metres_from_mm(const std::array<double, 3>& mm) {
  return {millimetre.to_si(mm[0]), millimetre.to_si(mm[1]), millimetre.to_si(mm[2])};
}

}  // namespace warmbay::scenes
