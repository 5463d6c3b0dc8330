// Hatching tiles, drawn once by distance functions on a torus (so that they repeat) and then minified by the graphics
// card, which keeps them free of shimmer at every distance.

#include "render/passes/hatch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>
#include <string_view>
#include <utility>

namespace warmbay::render {

namespace {

using Named = std::pair<std::string_view, Hatch>;
// In this order: "wood fibre board" is wood, "fibre cement" masonry.
constexpr std::array<Named, 36> names{{
    {"pvc", Hatch::plain},      {"xlpe", Hatch::plain},        {"rubber", Hatch::plain},  {"air", Hatch::plain},
    {"cement", Hatch::masonry}, {"concrete", Hatch::masonry},  {"brick", Hatch::masonry}, {"mortar", Hatch::masonry},
    {"stone", Hatch::masonry},  {"gypsum", Hatch::board},      {"drywall", Hatch::board}, {"plaster", Hatch::board},
    {"wood", Hatch::wood},      {"timber", Hatch::wood},       {"osb", Hatch::wood},      {"stud", Hatch::wood},
    {"spruce", Hatch::wood},    {"pine", Hatch::wood},         {"foam", Hatch::foam},     {"polystyrene", Hatch::foam},
    {"polyiso", Hatch::foam},   {"polyurethane", Hatch::foam}, {"eps", Hatch::foam},      {"xps", Hatch::foam},
    {"pir", Hatch::foam},       {"pur", Hatch::foam},          {"batt", Hatch::fibre},    {"wool", Hatch::fibre},
    {"fibre", Hatch::fibre},    {"cellulose", Hatch::fibre},   {"steel", Hatch::metal},   {"alumin", Hatch::metal},
    {"copper", Hatch::metal},   {"brass", Hatch::metal},       {"iron", Hatch::metal},    {"metal", Hatch::metal},
}};

/// Distance between two numbers on a circle of circumference 1.
double around(double a, double b) {
  const double d = std::abs(a - b);
  return std::min(d - std::floor(d), 1.0 - (d - std::floor(d)));
}

/// A line `width` wide (tile sizes) at distance d from its middle, with a soft edge of one texel.
double stroke(double d, double width) {
  constexpr double texel = 1.0 / hatch_tile;
  return std::clamp((0.5 * width - d) / texel + 0.5, 0.0, 1.0);
}

using Points = std::vector<std::pair<double, double>>;

/// Points spread over the tile, none too near another. Fixed seed: the same tile every time.
Points scattered(int count, double apart) {
  std::mt19937 random(20240501U);
  const auto next = [&] { return static_cast<double>(random()) / 4294967296.0; };
  Points points;
  for (int tries = 0; tries < 20000 && static_cast<int>(points.size()) < count; ++tries) {
    const double x = next();
    const double y = next();
    const bool free = std::none_of(points.begin(), points.end(), [&](const auto& p) {
      return std::hypot(around(x, p.first), around(y, p.second)) < apart;
    });
    if (free) points.emplace_back(x, y);
  }
  return points;
}

double nearest(const Points& points, double x, double y) {
  double d = 1.0;
  for (const auto& p : points) d = std::min(d, std::hypot(around(x, p.first), around(y, p.second)));
  return d;
}

double diagonals(double x, double y, int lines, double width) {
  const double phase = (x + y) * lines;
  return stroke(around(phase, 0.0) / lines / std::sqrt(2.0), width);
}

double wood(double x, double y) {
  // Grain along y, swaying a little.
  constexpr double turn = 6.283185307179586;
  const double sway = 0.018 * std::sin(turn * y) + 0.008 * std::sin(turn * 3.0 * y + 1.0);
  double ink = 0.0;
  for (const double line : {0.06, 0.19, 0.27, 0.42, 0.58, 0.64, 0.79, 0.92}) {
    ink = std::max(ink, stroke(around(x + sway, line), 0.022));
  }
  return ink;
}

double fibre(double x, double y) {
  constexpr double turn = 6.283185307179586;
  double ink = 0.0;
  for (int row = 0; row < 4; ++row) {
    const double middle = (row + 0.5) / 4.0 + 0.085 * std::sin(turn * (2.0 * x + 0.37 * row));
    // Steep parts would come out thin: measure across the line, not along y.
    const double slope = 0.085 * turn * 2.0 * std::cos(turn * (2.0 * x + 0.37 * row));
    ink = std::max(ink, stroke(around(y, middle) / std::hypot(1.0, slope), 0.024));
  }
  return ink;
}

double foam(double x, double y) {
  return std::max(diagonals(x, y, 4, 0.016), diagonals(x, 1.0 - y, 4, 0.016));
}

double ink_of(Hatch hatch, const Points& dots, double x, double y) {
  switch (hatch) {
    case Hatch::plain:
      return 0.0;
    case Hatch::board:
      return stroke(nearest(dots, x, y), 0.042);
    case Hatch::wood:
      return wood(x, y);
    case Hatch::fibre:
      return fibre(x, y);
    case Hatch::foam:
      return foam(x, y);
    case Hatch::masonry:
      return diagonals(x, y, 3, 0.022);
    case Hatch::metal:
      return diagonals(x, y, 8, 0.030);
  }
  return 0.0;
}

}  // namespace

Hatch hatch_of(const sim::Material& material) {
  std::string name = material.name;
  std::transform(name.begin(), name.end(), name.begin(), [](unsigned char c) { return std::tolower(c); });
  for (const auto& [word, hatch] : names) {
    // Short words only where a word begins: there is no "air" in a "stair", but "wood" in "softwood".
    for (auto at = name.find(word); at != std::string::npos; at = name.find(word, at + 1)) {
      const bool begins = at == 0 || std::isalpha(static_cast<unsigned char>(name[at - 1])) == 0;
      if (begins || word.size() > 3) return hatch;
    }
  }
  const double density = material.density_kg_m3;
  if (density < 5.0) return Hatch::plain;
  if (density < 120.0) return Hatch::fibre;
  if (density < 620.0) return Hatch::wood;
  if (density < 1000.0) return Hatch::board;
  return density < 2650.0 ? Hatch::masonry : Hatch::metal;
}

std::vector<std::uint8_t> hatch_tiles() {
  const Points dots = scattered(70, 0.085);
  std::vector<std::uint8_t> tiles;
  tiles.reserve(static_cast<std::size_t>(hatch_count) * hatch_tile * hatch_tile);
  for (int h = 0; h < hatch_count; ++h) {
    for (int row = 0; row < hatch_tile; ++row) {
      for (int column = 0; column < hatch_tile; ++column) {
        const double ink = ink_of(static_cast<Hatch>(h), dots, (column + 0.5) / hatch_tile, (row + 0.5) / hatch_tile);
        tiles.push_back(static_cast<std::uint8_t>(std::lround(255.0 * ink)));
      }
    }
  }
  return tiles;
}

}  // namespace warmbay::render
