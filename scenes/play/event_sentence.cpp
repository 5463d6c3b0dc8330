// Sentences of events.

#include "scenes/play/event_sentence.hpp"

#include <fmt/format.h>

#include "scenes/play/player_limits.hpp"
#include "scenes/text/text_fill.hpp"
#include "sim/units.hpp"

namespace warmbay::scenes {

EventUnits file_units() {
  return {[](double k, int decimals) { return fmt::format("{:.{}f} °C", sim::celsius_from_kelvin(k), decimals); },
          [](double k, int decimals) { return fmt::format("{:.{}f} K", k, decimals); },
          [](double m) { return fmt::format("{:.0f} mm", m * 1e3); }};
}

std::string event_sentence(const Text& text, const Event& event, const EventUnits& units) {
  const std::string key = "event." + event.event;
  if (event.event == "step" || !text.has(key)) return event.text;
  const bool over = event.event == "over-rating";
  // Of the values of Event::value one is meant; the sentence names it.
  return fill(text(key), fmt::arg("where", event.where), fmt::arg("value", event.value),
              fmt::arg("temperature", units.temperature(sim::kelvin_from_celsius(event.value), over ? 1 : 0)),
              fmt::arg("rated", units.temperature(event.rated_k, 0)),
              fmt::arg("along", units.length(over ? event.along_m : event.value * 1e-3)),
              fmt::arg("limit", units.difference(player_limits::settled_k_s * 3600.0, 1)),
              fmt::arg("fastest", units.difference(event.value, 2)));
}

}  // namespace warmbay::scenes
