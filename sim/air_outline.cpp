// Walks along the outline of a section, from one run of faces in line to the next.

#include "sim/air_outline.hpp"

#include <algorithm>
#include <cmath>

#include "sim/material_map.hpp"

namespace warmbay::sim {
namespace {

/// How a run of faces ends: it turns into the air, away from it, or stops (at a cable, a cut, surroundings).
enum class Turn { stops, in, out };

struct End {
  Turn turn;
  SideFace next;  // the first face of the next run, and the way that it goes on
  Axis next_along;
  int next_way;
};

struct Walk {
  double length_m = 0.0;
  int faces = 0;
  End end{};
};

/// From a face on along its run.
Walk walk(const MaterialMap& wall, SideFace face, Axis tangent, int way) {
  const Layout& layout = wall.layout();
  const std::ptrdiff_t on = way * layout.stride(tangent), out = face.sign * layout.stride(face.normal);
  const std::vector<double>& edges = wall.grid().edges_m(tangent);
  int n = layout.place(face.air)[index_of(tangent)];
  Walk walked;
  for (;; face.air += on, n += way) {
    walked.length_m += edges[static_cast<std::size_t>(n) + 1] - edges[static_cast<std::size_t>(n)];
    ++walked.faces;
    const std::size_t ahead = face.air + on;
    if (!wall.is_air(ahead)) {
      const Turn turn = is_side(wall, face.air, tangent, way) ? Turn::in : Turn::stops;
      walked.end = {turn, {face.air, tangent, way}, face.normal, -face.sign};
      return walked;
    }
    if (is_side(wall, ahead, face.normal, face.sign)) continue;
    const std::size_t round = ahead + out;  // round the corner of the solid
    const bool turns = wall.is_air(round) && is_side(wall, round, tangent, -way);
    walked.end = {turns ? Turn::out : Turn::stops, {round, tangent, -way}, face.normal, face.sign};
    return walked;
  }
}

/// One voxel wide, and the outline goes on in the direction that it came from.
bool is_step(int faces, Turn one, Turn other) {
  return faces == 1 && one != Turn::stops && other != Turn::stops && one != other;
}

/// Share that the half of a run up to one of its ends keeps.
double share_of_half(const MaterialMap& wall, const Walk& run, Turn other_end) {
  if (run.end.turn == Turn::stops) return 1.0;
  const Walk next = walk(wall, run.end.next, run.end.next_along, run.end.next_way);
  if (!is_step(run.faces, run.end.turn, other_end) && !is_step(next.faces, run.end.turn, next.end.turn)) return 1.0;
  return run.length_m / std::hypot(run.length_m, next.length_m);
}

}  // namespace

bool is_side(const MaterialMap& wall, std::size_t air, Axis normal, int sign) {
  const std::size_t solid = air + sign * wall.layout().stride(normal);
  return wall.is_solid(solid) && !wall.is_air(solid) && !wall.sheath_of(solid);
}

void add_run_of_sides(const MaterialMap& wall, Axis along, const SideFace& first, std::vector<SideFace>& sides) {
  const auto tangent = static_cast<Axis>(3 - index_of(along) - index_of(first.normal));
  const std::ptrdiff_t on = wall.layout().stride(tangent);
  if (wall.is_air(first.air - on) && is_side(wall, first.air - on, first.normal, first.sign)) return;
  const Walk up = walk(wall, first, tangent, 1);
  Walk down = walk(wall, first, tangent, -1);
  down.length_m = up.length_m;
  down.faces = up.faces;
  const double low = share_of_half(wall, down, up.end.turn), high = share_of_half(wall, up, down.end.turn);
  const std::vector<double>& edges = wall.grid().edges_m(tangent);
  const int n = wall.layout().place(first.air)[index_of(tangent)];
  const double middle_m = edges[static_cast<std::size_t>(n)] + 0.5 * up.length_m;
  for (int f = 0; f < up.faces; ++f) {
    const double from_m = edges[static_cast<std::size_t>(n + f)], to_m = edges[static_cast<std::size_t>(n + f) + 1];
    const double of_low = std::clamp((middle_m - from_m) / (to_m - from_m), 0.0, 1.0);
    sides.push_back({first.air + f * on, first.normal, first.sign, of_low * low + (1.0 - of_low) * high});
  }
}

}  // namespace warmbay::sim
