// Hatching as a few numbers per material: the shader turns them into lines of a constant width on the screen, so that
// they stay fine when one comes near and fade when one goes away.

#include "render/passes/hatch.hpp"

#include <algorithm>
#include <array>
#include <cctype>
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

HatchPattern pattern_of(Hatch hatch) {
  switch (hatch) {
    case Hatch::plain:
      return {};
    case Hatch::board:
      return {90.0F, 55.0F, 0.0F, 0.0F, -1.0F, 0.60F};
    case Hatch::wood:
      return {130.0F, 0.0F, 0.45F, 9.0F, 0.0F, 0.42F};
    case Hatch::fibre:
      return {0.0F, 62.0F, 0.36F, 34.0F, 0.0F, 0.24F};
    case Hatch::foam:
      return {46.0F, 46.0F, 0.0F, 0.0F, 1.0F, 0.18F};
    case Hatch::masonry:
      return {42.0F, 42.0F, 0.0F, 0.0F, 0.0F, 0.28F};
    case Hatch::metal:
      return {110.0F, 110.0F, 0.0F, 0.0F, 0.0F, 0.28F};
  }
  return {};
}

}  // namespace warmbay::render
