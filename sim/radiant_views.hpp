#pragma once
// How the sides of an enclosure see each other, when all exchange heat by radiation with one common node.

#include <vector>

namespace warmbay::sim {

/// A flat side, or a cable, of an enclosure. count: how many alike there are (mirror images).
struct RadiantSide {
  double area_m2;
  double count = 1.0;
};

/// Carroll's view factor of every side to the common node: F = 1 / (1 - A F / sum of A F) over all sides. Then what a
/// side gives to all others together is what it radiates: none sees itself. Exact for two sides and for three.
/// A side larger than all others together must see itself; its factor is radiant_view_most. Source: Carroll (1980),
/// ASHRAE Trans. 86(1), from memory. Returns one factor a side.
[[nodiscard]] std::vector<double> radiant_views(const std::vector<RadiantSide>& sides);

inline constexpr double radiant_view_most = 1e6;  // as good as infinite: its share of a resistance is 1e-6

}  // namespace warmbay::sim
