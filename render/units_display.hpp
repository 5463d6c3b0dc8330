#pragma once
// The one place where SI numbers become what a person reads: °C or °F, mm or inches, mm² or AWG, hours and minutes.

#include <string>

namespace warmbay::render {

enum class TemperatureUnit { celsius, fahrenheit };
enum class LengthUnit { millimetre, inch };
enum class ConductorUnit { square_millimetre, awg };

struct Units {
  TemperatureUnit temperature = TemperatureUnit::celsius;
  LengthUnit length = LengthUnit::millimetre;
  ConductorUnit conductor = ConductorUnit::square_millimetre;
  friend bool operator==(const Units&, const Units&) = default;
};

/// A temperature, K, as the number on the screen, and back.
[[nodiscard]] double shown_temperature(const Units& units, double temperature_k);
[[nodiscard]] double kelvin_of_shown(const Units& units, double shown);
/// A difference of temperatures, K, as the number on the screen.
[[nodiscard]] double shown_difference(const Units& units, double difference_k);
[[nodiscard]] const char* temperature_symbol(const Units& units);
/// "63.9 °C"; a temperature that is not finite: "–".
[[nodiscard]] std::string temperature_text(const Units& units, double temperature_k, int decimals = 1);

/// A length, m, as the number on the screen, and back.
[[nodiscard]] double shown_length(const Units& units, double length_m);
[[nodiscard]] double metres_of_shown(const Units& units, double shown);
[[nodiscard]] const char* length_symbol(const Units& units);
/// "38 mm" or "1.5 in".
[[nodiscard]] std::string length_text(const Units& units, double length_m);

/// A conductor's cross-section, m²: "2.5 mm²" or "14 AWG" ("~13 AWG" when no gauge is within 2 % of it).
/// Source of the gauge: ASTM B258, diameter 0.127 mm × 92^((36 − n)/39).
[[nodiscard]] std::string conductor_text(const Units& units, double area_m2);

/// Simulated time: "0:25:00", hours without limit.
[[nodiscard]] std::string clock_text(double time_s);
/// A number with as many decimals as its size deserves: three significant digits, never an exponent.
[[nodiscard]] std::string number_text(double value);

}  // namespace warmbay::render
