// Tabulated surface films: refreshing ten thousand surface voxels costs one root and one interpolation each.

#include "sim/film_table.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::sim {
bool FilmTable::fits(int surroundings, Facing facing, double length_m, double emissivity) const {
  return surroundings_ == surroundings && facing_ == facing && std::abs(length_m_ - length_m) < 1e-9 &&
         emissivity_ == emissivity;
}

void FilmTable::tabulate(double air_k) {
  film_w_m2k_.resize(entries);
  for (int n = -half_entries; n <= half_entries; ++n) {
    const double root = n * static_cast<double>(spacing);
    const double surface_k = std::max(1.0, air_k + root * std::abs(root));
    const double film_w_m2k =
        buoyant_film_w_m2k(surface_k, air_k, length_m_, facing_) + radiant_film_w_m2k(surface_k, air_k, emissivity_);
    film_w_m2k_[static_cast<std::size_t>(n + half_entries)] = static_cast<float>(times_ * film_w_m2k);
  }
}

float FilmTable::at(float surface_minus_air_k) const {
  const float root = std::copysign(std::sqrt(std::abs(surface_minus_air_k)), surface_minus_air_k);
  // Written so that a NaN, too, ends at an entry of the table.
  const float wanted = (root + reach) / spacing;
  const float place = wanted > 0.0F ? std::min(wanted, last_place) : 0.0F;
  const auto n = static_cast<std::size_t>(place);
  return film_w_m2k_[n] + (place - static_cast<float>(n)) * (film_w_m2k_[n + 1] - film_w_m2k_[n]);
}

}  // namespace warmbay::sim
