#pragma once
// What an event says, in a catalogue's words and in the units of whoever reads it.

#include <functional>
#include <string>

#include "scenes/play/event.hpp"
#include "scenes/text/text.hpp"

namespace warmbay::scenes {

/// How quantities are written. In files always in degrees C and mm; a window has units of its own.
struct EventUnits {
  std::function<std::string(double temperature_k, int decimals)> temperature;
  std::function<std::string(double difference_k, int decimals)> difference;
  std::function<std::string(double length_m)> length;
};
[[nodiscard]] EventUnits file_units();

/// The sentence of any event but "step", whose numbers are the player's. An event that the catalogue does not have: the
/// sentence that it brought along.
[[nodiscard]] std::string event_sentence(const Text& text, const Event& event, const EventUnits& units);

}  // namespace warmbay::scenes
