#pragma once
// A property of a material as a function of temperature: linear between points, constant beyond the ends.

#include <vector>

namespace warmbay::sim {

struct Curve {
  std::vector<double> temperature_k;  // strictly rising; one entry for a constant
  std::vector<double> value;          // same length, in the unit of the property

  Curve() = default;
  Curve(double constant) : temperature_k{0.0}, value{constant} {}  // NOLINT: a number is a constant curve
  Curve(std::vector<double> at_k, std::vector<double> values)
      : temperature_k(std::move(at_k)), value(std::move(values)) {}

  [[nodiscard]] bool constant() const { return value.size() == 1; }
  /// The value at a temperature, in the property's unit. temperature_k: any; beyond the ends the end's value holds.
  [[nodiscard]] double at(double temperature_k) const;
  friend bool operator==(const Curve&, const Curve&) = default;
};

}  // namespace warmbay::sim
