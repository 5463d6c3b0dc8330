// Readings. A point is read by combining the eight voxels round it axis by axis; every combination knows whether a side
// is wall, surroundings or an insulated edge, so that boundaries and surfaces come out as themselves.

#include "sim/instrument.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace warmbay::sim {
namespace {

enum class Kind : unsigned char { wall, outside, nothing };

/// A voxel, or a combination of voxels, beside the point.
struct Beside {
  Kind kind = Kind::nothing;
  double rise_k = 0.0;
  std::array<double, 3> conductivity_w_mk{};  // of wall
  double film_w_m2k = 0.0;                    // of outside
};

/// Where the point lies along one axis: between the middles of two neighbouring voxels.
struct Between {
  int low;        // index of the lower voxel, -1 for the ghost
  double at_m;    // the point
  double face_m;  // the face between the two
  double low_half_m, high_half_m;
};

Between between(const Grid& grid, Axis axis, double c_m) {
  const std::vector<double>& edges = grid.edges_m(axis);
  const int n = static_cast<int>(edges.size()) - 1;
  const double at_m = std::clamp(c_m, edges.front(), edges.back());
  constexpr double on_face_m = 1e-7;
  const int cell = grid.find(axis, at_m);
  const double middle_m = 0.5 * (edges[cell] + edges[cell + 1]);
  int face = at_m < middle_m ? cell : cell + 1;  // the nearer edge
  double place_m = at_m;
  if (std::abs(at_m - edges[face]) < on_face_m) place_m = edges[face];
  auto half_m = [&](int i) {
    const int c = std::clamp(i, 0, n - 1);
    return 0.5 * (edges[c + 1] - edges[c]);
  };
  return {face - 1, place_m, edges[face], half_m(face - 1), half_m(face)};
}

Beside join_wall(const Beside& low, const Beside& high, const Between& where, int axis) {
  const double g_low = low.conductivity_w_mk[axis] / where.low_half_m;
  const double g_high = high.conductivity_w_mk[axis] / where.high_half_m;
  const double face_k = (g_low * low.rise_k + g_high * high.rise_k) / (g_low + g_high);
  const double beyond_m = where.at_m - where.face_m;
  if (beyond_m == 0.0) {
    Beside joint{Kind::wall, face_k, {}, 0.0};
    for (int a = 0; a < 3; ++a)
      joint.conductivity_w_mk[a] = 0.5 * (low.conductivity_w_mk[a] + high.conductivity_w_mk[a]);
    return joint;
  }
  Beside joint = beyond_m < 0.0 ? low : high;
  const double share = std::abs(beyond_m) / (beyond_m < 0.0 ? where.low_half_m : where.high_half_m);
  joint.rise_k = face_k + share * (joint.rise_k - face_k);
  return joint;
}

Beside join_surface(const Beside& wall, const Beside& outside, const Between& where, int axis, bool wall_is_low) {
  const double half_m = wall_is_low ? where.low_half_m : where.high_half_m;
  const double into_wall_m = wall_is_low ? where.face_m - where.at_m : where.at_m - where.face_m;
  if (into_wall_m < 0.0) return outside;
  const double g = wall.conductivity_w_mk[axis] / half_m;
  const double surface_k = std::isinf(outside.film_w_m2k)
                               ? outside.rise_k
                               : (g * wall.rise_k + outside.film_w_m2k * outside.rise_k) / (g + outside.film_w_m2k);
  Beside joint = wall;
  joint.rise_k = surface_k + into_wall_m / half_m * (wall.rise_k - surface_k);
  return joint;
}

Beside join(const Beside& low, const Beside& high, const Between& where, int axis) {
  if (low.kind == Kind::nothing) return high;
  if (high.kind == Kind::nothing) return low;
  if (low.kind == Kind::wall && high.kind == Kind::wall) return join_wall(low, high, where, axis);
  if (low.kind == Kind::wall) return join_surface(low, high, where, axis, true);
  if (high.kind == Kind::wall) return join_surface(high, low, where, axis, false);
  return where.at_m < where.face_m ? low : high;
}

Beside voxel_side(const Conduction& wall, const Field& rise_k, std::size_t voxel) {
  Beside side;
  side.rise_k = rise_k[voxel];
  if (wall.outside_index(voxel) >= 0) {
    side.kind = Kind::outside;
    const Surroundings& around = wall.wall().surroundings[static_cast<std::size_t>(wall.outside_index(voxel))];
    side.film_w_m2k = around.film == Film::held    ? std::numeric_limits<double>::infinity()
                      : around.film == Film::given ? around.film_w_m2k
                                                   : wall.film_beside_w_m2k(voxel);
    return side;
  }
  for (int a = 0; a < 3; ++a)
    side.conductivity_w_mk[a] = wall.conductivity_w_mk(voxel, static_cast<Axis>(a), rise_k[voxel]);
  if (side.conductivity_w_mk[0] > 0.0) side.kind = Kind::wall;
  return side;
}

CableReading read_cable(const CopperLine& line, const CableType& type, const std::vector<double>& rise_k,
                        const Feed& feed, std::size_t index) {
  CableReading reading;
  reading.hottest_k = -1.0;
  for (int n = 0; n < line.nodes(); ++n) {
    const double t_k = datum_k + rise_k[static_cast<std::size_t>(n)];
    if (t_k > reading.hottest_k) {
      reading.hottest_k = t_k;
      reading.hottest_at_m = line.along_m[static_cast<std::size_t>(n)];
    }
    reading.drop_v += feed.at(index, static_cast<std::size_t>(n)) * type.loaded * resistance_ohm_m(type, t_k) *
                      line.length_m[static_cast<std::size_t>(n)];
  }
  reading.current_a = feed.at(index, 0);
  reading.power_w = reading.drop_v * reading.current_a;
  return reading;
}

template <class Temperatures>
std::vector<SurroundingsReading> read_of(const Conduction& wall, const Temperatures& rise_k) {
  const auto include = [](SurroundingsReading& in, const SurroundingsReading& more) {
    if (more.area_m2 == 0.0) return;
    const bool first = in.area_m2 == 0.0;
    in.hottest_surface_k = first ? more.hottest_surface_k : std::max(in.hottest_surface_k, more.hottest_surface_k);
    in.coldest_surface_k = first ? more.coldest_surface_k : std::min(in.coldest_surface_k, more.coldest_surface_k);
    in.area_m2 += more.area_m2;
    in.heat_w += more.heat_w;
  };
  using Readings = std::vector<SurroundingsReading>;
  Readings readings(wall.wall().surroundings.size());
  std::array<Readings, Surfaces::shares> of_share;
  of_share.fill(readings);
  wall.each_surface([&](std::size_t share, const SurfaceFace& face) {
    const double surface_k = datum_k + wall.surface_rise(face, rise_k);
    include(of_share[share][static_cast<std::size_t>(face.surroundings)],
            {wall.leaving_by_w(face, rise_k), surface_k, surface_k, face.area_m2});
  });
  for (std::size_t s = 0; s < readings.size(); ++s) {
    for (const Readings& of_one : of_share) include(readings[s], of_one[s]);
    if (readings[s].area_m2 == 0.0)
      readings[s].hottest_surface_k = readings[s].coldest_surface_k = wall.surroundings_k()[s];
  }
  return readings;
}

}  // namespace

std::vector<SurroundingsReading> read_surroundings(const Conduction& wall, const Field& rise_k) {
  return read_of(wall, rise_k);
}
std::vector<SurroundingsReading> read_surroundings(const Conduction& wall, const LargeVector<double>& rise_k) {
  return read_of(wall, rise_k);
}

double point_rise_k(const Conduction& wall, const Field& rise_k, const Vec3& at_m) {
  std::array<Between, 3> where{};
  for (int a = 0; a < 3; ++a) where[a] = between(wall.wall().grid, static_cast<Axis>(a), at_m[a]);
  const Layout& layout = wall.layout();
  std::array<Beside, 4> joined_x;
  for (int yz = 0; yz < 4; ++yz) {
    const int j = where[1].low + (yz & 1), k = where[2].low + (yz >> 1);
    joined_x[yz] = join(voxel_side(wall, rise_k, layout.at(where[0].low, j, k)),
                        voxel_side(wall, rise_k, layout.at(where[0].low + 1, j, k)), where[0], 0);
  }
  return join(join(joined_x[0], joined_x[1], where[1], 1), join(joined_x[2], joined_x[3], where[1], 1), where[2], 2)
      .rise_k;
}

double sheath_rise_k(const CopperLine& line, const Field& rise_k, std::size_t node) {
  double mean_k = 0.0;
  for (int l = line.first_link[node]; l < line.first_link[node + 1]; ++l) {
    const SheathLink& link = line.links[static_cast<std::size_t>(l)];
    mean_k += static_cast<double>(link.share) * rise_k[link.voxel];
  }
  return mean_k;
}

std::vector<double> sheath_rise_k(const CopperLine& line, const Field& rise_k) {
  std::vector<double> mean_k;
  for (std::size_t n = 0; n < line.along_m.size(); ++n) mean_k.push_back(sheath_rise_k(line, rise_k, n));
  return mean_k;
}

double along_line(const CopperLine& line, const std::function<double(std::size_t node)>& value, double along_m) {
  const auto above = std::upper_bound(line.along_m.begin(), line.along_m.end(), along_m);
  if (above == line.along_m.begin()) return value(0);
  const auto n = static_cast<std::size_t>(above - line.along_m.begin());
  if (above == line.along_m.end()) return value(n - 1);
  const double share = (along_m - line.along_m[n - 1]) / (line.along_m[n] - line.along_m[n - 1]);
  const double low = value(n - 1);
  return low + share * (value(n) - low);
}

int nearest_node(const CopperLine& line, double along_m) {
  int nearest = 0;
  for (int n = 1; n < line.nodes(); ++n)
    if (std::abs(line.along_m[static_cast<std::size_t>(n)] - along_m) <
        std::abs(line.along_m[static_cast<std::size_t>(nearest)] - along_m))
      nearest = n;
  return nearest;
}

namespace {

/// The range of places along an axis of what a stretch of cable is coupled to.
std::array<int, 2> span(const Layout& layout, const CopperLine& line, int node, Axis axis) {
  std::array<int, 2> low_high{1 << 30, -1};
  for (int l = line.first_link[node]; l < line.first_link[node + 1]; ++l) {
    const int place = layout.place(line.links[static_cast<std::size_t>(l)].voxel)[index_of(axis)];
    low_high = {std::min(low_high[0], place), std::max(low_high[1], place)};
  }
  return low_high;
}

/// Calls use(face) for every face of the air beside a stretch of cable. A slab's faces all lie at one place along it,
/// so that few slabs need a closer look.
template <class Use>
void each_far_face(const Conduction& wall, const CopperLine& line, int node, const Use& use) {
  const AirSpaces& air = wall.air();
  const Layout& layout = wall.layout();
  std::array<std::array<int, 2>, 3> spans{};
  for (const Axis axis : {Axis::x, Axis::y, Axis::z}) spans[index_of(axis)] = span(layout, line, node, axis);
  for (const AirSlab& slab : air.slabs()) {
    const int d = index_of(slab.along), place = layout.place(air.faces()[slab.first_face].voxel)[d];
    if (place < spans[d][0] || place > spans[d][1]) continue;
    bool beside = false;
    for (std::size_t f = slab.first_face; f < slab.last_face && !beside; ++f)
      for (int l = line.first_link[node]; l < line.first_link[node + 1]; ++l)
        beside = beside || line.links[static_cast<std::size_t>(l)].voxel == air.faces()[f].voxel;
    if (!beside) continue;
    for (std::size_t f = slab.first_face; f < slab.last_face; ++f)
      if (!wall.sheath_of(air.faces()[f].voxel)) use(air.faces()[f]);
  }
}

/// Mean temperature of what lies round the air beside a stretch of cable, K above the datum; the sheath's own where it
/// touches no air.
double far_side_rise_k(const Conduction& wall, const CopperLine& line, int node, const Field& rise_k, double sheath_k) {
  double area_m2 = 0.0, weighted = 0.0;
  each_far_face(wall, line, node, [&](const AirFace& face) {
    area_m2 += face.area_m2;
    weighted += static_cast<double>(face.area_m2) * rise_k[face.voxel];
  });
  return area_m2 > 0.0 ? weighted / area_m2 : sheath_k;
}

}  // namespace

double junction_rise_k(const Conduction& wall, const HeatState& state, const Thermocouple& spot,
                       double slipped_air_share) {
  if (spot.cable < 0) return point_rise_k(wall, state.rise_k, spot.at_m);
  const auto c = static_cast<std::size_t>(spot.cable);
  const CopperLine& line = wall.copper().lines[c];
  const auto at_node_k = [&](std::size_t node) {
    return spot.on_conductor ? state.copper_rise_k[c][node] : sheath_rise_k(line, state.rise_k, node);
  };
  const double on_cable_k = along_line(line, at_node_k, spot.along_m);
  if (slipped_air_share <= 0.0) return on_cable_k;
  const double far_k = far_side_rise_k(wall, line, nearest_node(line, spot.along_m), state.rise_k, on_cable_k);
  return on_cable_k + slipped_air_share * (far_k - on_cable_k);
}

std::vector<std::size_t> voxels_read(const Conduction& wall, const Thermocouple& spot) {
  std::vector<std::size_t> voxels;
  if (spot.cable >= 0) {
    const CopperLine& line = wall.copper().lines[static_cast<std::size_t>(spot.cable)];
    for (const SheathLink& link : line.links) voxels.push_back(link.voxel);
    if (spot.slips)
      each_far_face(wall, line, nearest_node(line, spot.along_m),
                    [&](const AirFace& face) { voxels.push_back(face.voxel); });
    return voxels;
  }
  std::array<Between, 3> where{};
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    where[index_of(axis)] = between(wall.wall().grid, axis, spot.at_m[index_of(axis)]);
  for (int n = 0; n < 8; ++n)
    voxels.push_back(wall.layout().at(where[0].low + (n & 1), where[1].low + (n >> 1 & 1), where[2].low + (n >> 2)));
  return voxels;
}

Reading read_instruments(const Conduction& wall, const HeatState& state, double time_s, const Feed& feed,
                         std::vector<SurroundingsReading> surroundings, const DamageState* damage) {
  Reading reading;
  reading.time_s = time_s;
  reading.current_a = wall.wall().cables.empty() ? 0.0 : feed.supply_a;
  for (std::size_t l = 0; l < wall.copper().lines.size(); ++l) {
    const CopperLine& line = wall.copper().lines[l];
    const auto c = static_cast<std::size_t>(line.cable);
    reading.cables.push_back(read_cable(line, wall.wall().cables[c].type, state.copper_rise_k[c], feed, l));
    if (damage)
      reading.cables.back().worn = *std::max_element(damage->cables[l].worn.begin(), damage->cables[l].worn.end());
    reading.voltage_v += reading.cables.back().drop_v;
    reading.power_w += reading.cables.back().power_w;
  }
  for (const Thermocouple& spot : wall.wall().thermocouples) {
    reading.thermocouple_k.push_back(datum_k + junction_rise_k(wall, state, spot, 0.0));
    reading.slipped.push_back(0);
  }
  if (damage) {
    reading.smoke_kg_s = damage->smoke_kg_s;
    reading.smoke_kg = damage->smoke_kg;
    reading.void_m3 = damage->void_m3;
  }
  reading.surroundings = std::move(surroundings);
  return reading;
}

namespace {

std::vector<CableLine> cable_lines(const Conduction& wall, const HeatState& state) {
  std::vector<CableLine> lines;
  for (const CopperLine& line : wall.copper().lines) {
    CableLine drawn;
    const std::vector<double> sheath_k = sheath_rise_k(line, state.rise_k);
    for (std::size_t n = 0; n < line.along_m.size(); ++n) {
      drawn.along_m.push_back(static_cast<float>(line.along_m[n]));
      drawn.conductor_k.push_back(
          static_cast<float>(datum_k + state.copper_rise_k[static_cast<std::size_t>(line.cable)][n]));
      drawn.sheath_k.push_back(static_cast<float>(datum_k + sheath_k[n]));
    }
    lines.push_back(std::move(drawn));
  }
  return lines;
}

}  // namespace

std::shared_ptr<const Snapshot> renew_snapshot(const Snapshot& before, const Conduction& wall, const HeatState& state,
                                               Reading reading, const Conditions& conditions) {
  auto snapshot = std::make_shared<Snapshot>(before);
  snapshot->conditions = conditions;
  snapshot->reading = std::move(reading);
  snapshot->lines = cable_lines(wall, state);
  return snapshot;
}

std::shared_ptr<const Snapshot> take_snapshot(const Conduction& wall, const HeatState& state, Reading reading,
                                              const Conditions& conditions, const DamageState* damage) {
  auto snapshot = std::make_shared<Snapshot>();
  snapshot->wall = wall.shared_wall();
  snapshot->conditions = conditions;
  snapshot->reading = std::move(reading);
  const Layout& layout = wall.layout();
  snapshot->temperature_k.resize(wall.wall().grid.count());
  float* out = snapshot->temperature_k.data();
  for (int k = 0; k < layout.nz; ++k)
    for (int j = 0; j < layout.ny; ++j) {
      const float* rise_k = &state.rise_k[layout.at(0, j, k)];
      for (int i = 0; i < layout.nx; ++i) *out++ = rise_k[i] + static_cast<float>(datum_k);
    }
  if (damage && !damage->cells.empty()) {
    snapshot->states.assign(wall.wall().grid.count(), VoxelState::sound);
    for (const DamageCell& cell : damage->cells) {
      const std::array<int, 3> ijk = layout.place(cell.voxel);
      snapshot->states[wall.wall().grid.at(ijk[0], ijk[1], ijk[2])] = cell.state;
    }
  }
  if (damage) snapshot->damage = std::make_shared<DamageState>(*damage);
  snapshot->lines = cable_lines(wall, state);
  return snapshot;
}

}  // namespace warmbay::sim
