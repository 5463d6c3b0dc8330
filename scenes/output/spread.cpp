// Spreads of temperatures in words.

#include "scenes/output/spread.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenes/text/text_fill.hpp"
#include "sim/units.hpp"

namespace warmbay::scenes {

double hottest_conductor_k(const sim::Reading& reading) {
  double hottest_k = 0.0;
  for (const sim::CableReading& cable : reading.cables) hottest_k = std::max(hottest_k, cable.hottest_k);
  return hottest_k;
}

std::string unknowns_words(const Uncertainty& uncertainty, const Text& text) {
  std::string words;
  const std::size_t count = uncertainty.unknowns.size();
  for (std::size_t n = 0; n < count; ++n) {
    if (n > 0) words += n + 1 == count ? text("uncertainty.and") : std::string(", ");
    words += text("unknown." + uncertainty.unknowns[n]);
  }
  return words;
}

std::string spread_words(const Spread& spread, const Text& text) {
  const double from_c = sim::celsius_from_kelvin(spread.coolest_k);
  if (std::isinf(spread.hottest_k)) return fill(text("uncertainty.runaway"), fmt::arg("from", from_c));
  return fill(text("uncertainty.spread"), fmt::arg("from", from_c),
              fmt::arg("to", sim::celsius_from_kelvin(spread.hottest_k)));
}

}  // namespace warmbay::scenes
