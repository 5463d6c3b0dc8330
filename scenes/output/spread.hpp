#pragma once
// How far computed temperatures may be off, and how that is said. scenes/uncertainty finds it; reports and commands
// write it.

#include <memory>
#include <string>
#include <vector>

#include "scenes/text/text.hpp"
#include "sim/snapshot.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

/// From the coolest to the hottest that a temperature may be, K. hottest infinite: no settled state at that end.
struct Spread {
  double coolest_k = 0.0;
  double hottest_k = 0.0;
};

struct Uncertainty {
  std::vector<std::string> unknowns;  // names, the most influential first; at most three
  std::vector<Spread> spreads;        // one per temperature asked about
  struct Walls {
    std::shared_ptr<const sim::Wall> base, cooler, hotter;
  };
  Walls walls;  // the coarser wall as it is, and as what varies makes the last temperature lowest and highest
};

/// The hottest conductor point of all cables, K.
[[nodiscard]] double hottest_conductor_k(const sim::Reading& reading);

/// "conductivity of foam, film at the surfaces and conductivity of the cable's plastics".
[[nodiscard]] std::string unknowns_words(const Uncertainty& uncertainty, const Text& text);
/// "52 and 61 °C", or that there is no settled state at the hotter end.
[[nodiscard]] std::string spread_words(const Spread& spread, const Text& text);

}  // namespace warmbay::scenes
