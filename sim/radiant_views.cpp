// With x = A F / S and S the sum of all A F, Carroll's equation is x (1 - x) = A / S: x is one of two roots, and the x
// add up to 1. All take the smaller root, but for the largest side where that is not enough. S is found by bisection.

#include "sim/radiant_views.hpp"

#include <algorithm>
#include <cmath>

namespace warmbay::sim {
namespace {

double small_root(double area_m2, double sum_m2) {
  const double quarter = area_m2 / sum_m2;
  return 2.0 * quarter / (1.0 + std::sqrt(std::max(0.0, 1.0 - 4.0 * quarter)));
}

}  // namespace

std::vector<double> radiant_views(const std::vector<RadiantSide>& sides) {
  std::size_t largest = 0;
  double all_m2 = 0.0;
  for (std::size_t n = 0; n < sides.size(); ++n) {
    if (sides[n].area_m2 > sides[largest].area_m2) largest = n;
    all_m2 += sides[n].count * sides[n].area_m2;
  }
  std::vector<double> views(sides.size(), 1.0);
  if (sides.empty()) return views;
  const double most_m2 = sides[largest].area_m2;
  if (sides[largest].count == 1.0 && all_m2 - most_m2 <= most_m2 * (1.0 + 1.0 / radiant_view_most)) {
    const bool alike = all_m2 - most_m2 >= most_m2 * (1.0 - 1.0 / radiant_view_most) && sides.size() == 2;
    if (alike) return {2.0, 2.0};  // two parallel sides
    views[largest] = radiant_view_most;
    return views;
  }
  bool large_root = false;
  const auto share = [&](std::size_t n, double sum_m2) {
    const double x = small_root(sides[n].area_m2, sum_m2);
    return large_root && n == largest ? 1.0 - x : x;
  };
  const auto beyond_one = [&](double sum_m2) {
    double sum = -1.0;
    for (std::size_t n = 0; n < sides.size(); ++n) sum += sides[n].count * share(n, sum_m2);
    return sum;
  };
  double low_m2 = 4.0 * most_m2, high_m2 = low_m2;
  large_root = beyond_one(low_m2) < 0.0;
  // The sum falls with S where all take the small root, and rises through 1 where the largest takes the other.
  const auto too_low = [&](double sum_m2) { return (beyond_one(sum_m2) < 0.0) == large_root; };
  for (int doubling = 0; doubling < 100 && too_low(high_m2); ++doubling) high_m2 *= 2.0;
  for (int halving = 0; halving < 60; ++halving) {
    const double middle_m2 = 0.5 * (low_m2 + high_m2);
    (too_low(middle_m2) ? low_m2 : high_m2) = middle_m2;
  }
  for (std::size_t n = 0; n < sides.size(); ++n)
    views[n] = std::min(radiant_view_most, 1.0 / (1.0 - share(n, high_m2)));
  return views;
}

}  // namespace warmbay::sim
