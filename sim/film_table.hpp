#pragma once
// A film coefficient tabulated against the surface's temperature, for surfaces that share surroundings, facing and
// size.

#include <vector>

#include "sim/film.hpp"

namespace warmbay::sim {

/// Evenly spaced in the signed root of the temperature difference, where the buoyant film is nearly straight even close
/// to no difference at all; good to 0.2 % of the correlations it holds.
class FilmTable {
 public:
  /// times: factor on the correlations (Surroundings::natural_times).
  FilmTable(int surroundings, Facing facing, double length_m, double emissivity, double times)
      : surroundings_(surroundings), facing_(facing), length_m_(length_m), emissivity_(emissivity), times_(times) {}

  [[nodiscard]] bool fits(int surroundings, Facing facing, double length_m, double emissivity) const;
  [[nodiscard]] int surroundings() const { return surroundings_; }

  /// Fills the table for surroundings at air_k.
  void tabulate(double air_k);
  [[nodiscard]] const std::vector<float>& films_w_m2k() const { return film_w_m2k_; }
  /// The entries lie at so evenly spaced signed roots of the difference, from -reach to reach.
  static constexpr float reach = 32.0F;  // root of the largest temperature difference: 1024 K
  static constexpr int half_entries = 640;
  static constexpr int entries = 2 * half_entries + 1;
  static constexpr float spacing = reach / half_entries;
  /// The furthest place, counted in entries: so little before the last one that there is always a next one.
  static constexpr float last_place = 2 * half_entries - 0.001F;

  /// Film coefficient, W/(m2 K), of a surface surface_minus_air_k warmer than its surroundings.
  [[nodiscard]] float at(float surface_minus_air_k) const;

 private:
  int surroundings_;
  Facing facing_;
  double length_m_;
  double emissivity_;
  double times_;
  std::vector<float> film_w_m2k_;
};

}  // namespace warmbay::sim
