// SI numbers as a person reads them. Nothing else in render converts units.

#include "render/units_display.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "sim/units.hpp"

namespace warmbay::render {

namespace {

constexpr double fahrenheit_per_kelvin = 1.8;
constexpr double fahrenheit_at_zero_celsius = 32.0;
constexpr double inch_m = 0.0254;

/// The gauge, not rounded, of a solid round conductor.
double gauge_of_area(double area_m2) {
  const double diameter_mm = 2.0e3 * std::sqrt(area_m2 / std::numbers::pi);
  return 36.0 - 39.0 * std::log(diameter_mm / 0.127) / std::log(92.0);
}

double area_of_gauge_m2(double gauge) {
  const double diameter_m = 0.127e-3 * std::pow(92.0, (36.0 - gauge) / 39.0);
  return std::numbers::pi / 4.0 * diameter_m * diameter_m;
}

std::string gauge_name(double gauge) {
  // Below 1 AWG the trade counts noughts: 0 is 1/0, -1 is 2/0, ...
  const int rounded = static_cast<int>(std::lround(gauge));
  return rounded >= 1 ? fmt::format("{} AWG", rounded) : fmt::format("{}/0 AWG", 1 - rounded);
}

}  // namespace

double shown_temperature(const Units& units, double temperature_k) {
  const double celsius = sim::celsius_from_kelvin(temperature_k);
  return units.temperature == TemperatureUnit::celsius ? celsius
                                                       : celsius * fahrenheit_per_kelvin + fahrenheit_at_zero_celsius;
}

double kelvin_of_shown(const Units& units, double shown) {
  const double celsius = units.temperature == TemperatureUnit::celsius
                             ? shown
                             : (shown - fahrenheit_at_zero_celsius) / fahrenheit_per_kelvin;
  return sim::kelvin_from_celsius(celsius);
}

double shown_difference(const Units& units, double difference_k) {
  return units.temperature == TemperatureUnit::celsius ? difference_k : difference_k * fahrenheit_per_kelvin;
}

const char* temperature_symbol(const Units& units) {
  return units.temperature == TemperatureUnit::celsius ? "°C" : "°F";
}

std::string temperature_text(const Units& units, double temperature_k, int decimals) {
  if (!std::isfinite(temperature_k)) return "–";
  return fmt::format("{:.{}f} {}", shown_temperature(units, temperature_k), decimals, temperature_symbol(units));
}

double shown_length(const Units& units, double length_m) {
  return units.length == LengthUnit::millimetre ? length_m * 1e3 : length_m / inch_m;
}

double metres_of_shown(const Units& units, double shown) {
  return units.length == LengthUnit::millimetre ? shown * 1e-3 : shown * inch_m;
}

const char* length_symbol(const Units& units) {
  return units.length == LengthUnit::millimetre ? "mm" : "in";
}

std::string length_text(const Units& units, double length_m) {
  const double shown = shown_length(units, length_m);
  // Whole millimetres, or hundredths of an inch without trailing noughts.
  if (units.length == LengthUnit::millimetre) return fmt::format("{:.0f} mm", shown);
  return fmt::format("{:g} in", std::round(shown * 100.0) / 100.0);
}

std::string conductor_text(const Units& units, double area_m2) {
  if (units.conductor == ConductorUnit::square_millimetre) {
    return fmt::format("{:g} mm²", std::round(area_m2 * 1e8) / 100.0);
  }
  const double gauge = gauge_of_area(area_m2);
  const double nearest = area_of_gauge_m2(std::round(gauge));
  const bool exact = std::abs(nearest / area_m2 - 1.0) <= 0.02;
  return fmt::format("{}{}", exact ? "" : "~", gauge_name(gauge));
}

std::string clock_text(double time_s) {
  const long long whole = static_cast<long long>(std::max(0.0, time_s));
  return fmt::format("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60);
}

std::string number_text(double value) {
  if (!std::isfinite(value)) return "–";
  const double size = std::abs(value);
  return fmt::format("{:.{}f}", value, size >= 99.95 ? 0 : size >= 9.995 ? 1 : 2);
}

}  // namespace warmbay::render
