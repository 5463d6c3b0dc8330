#pragma once
// What an infrared instrument says of a surface: it sees radiance, and turns it into a temperature by what it is told.

namespace warmbay::sim {

struct InfraredSettings {
  double emissivity = 0.95;  // set on the instrument, above 0, at most 1
  double reflected_k = 0.0;  // temperature of what the surface reflects, both true and set
};

/// The temperature that the instrument shows, K. It receives W = e s Ts^4 + (1 - e) s Tr^4 from a grey surface of true
/// emissivity e (0 to 1), and takes (1 - e_set) s Tr^4 of it for reflected and the rest for e_set s T^4. So it is right
/// only with the true emissivity, and a bare metal looks like the room. 0 when it would take more for reflected than it
/// receives. Source: VDI/VDE 3511-4 (from memory); all wavelengths, where real instruments see 8 to 14 um.
[[nodiscard]] double apparent_temperature_k(double surface_k, double emissivity, const InfraredSettings& settings);

}  // namespace warmbay::sim
