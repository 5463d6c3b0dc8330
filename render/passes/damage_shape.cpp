// Damage on the faces. Cells of one state are joined into rectangles, first along rows, then rows that are alike: some
// hundreds at most, since software rendering pays for small ones.

#include "render/passes/damage_shape.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace warmbay::render {

namespace {

using sim::VoxelState;
using Cell = std::array<int, 3>;

// Choices for the screen: air narrower than this, and no further than that from a void, is shown as part of it.
constexpr double narrow_m = 0.025;
constexpr double reach_m = 0.015;

bool inside(const sim::Grid& grid, const Cell& c) {
  return c[0] >= 0 && c[1] >= 0 && c[2] >= 0 && c[0] < grid.nx() && c[1] < grid.ny() && c[2] < grid.nz();
}

bool is_air(const sim::Wall& wall, const Cell& c) {
  const sim::Voxel& voxel = wall.voxels[wall.grid.at(c[0], c[1], c[2])];
  return !voxel.outside && wall.materials[voxel.index].air_space;
}

double width_m(const sim::Grid& grid, sim::Axis axis, int i) {
  const auto& edges = grid.edges_m(axis);
  return edges[static_cast<std::size_t>(i) + 1] - edges[static_cast<std::size_t>(i)];
}

/// Whether the air through a voxel is narrow along some axis.
bool is_narrow(const sim::Wall& wall, const Cell& at) {
  for (const sim::Axis axis : {sim::Axis::x, sim::Axis::y, sim::Axis::z}) {
    const auto a = static_cast<std::size_t>(sim::index_of(axis));
    double run_m = width_m(wall.grid, axis, at[a]);
    for (const int sign : {-1, 1}) {
      Cell next = at;
      for (next[a] += sign; run_m < narrow_m && inside(wall.grid, next) && is_air(wall, next); next[a] += sign)
        run_m += width_m(wall.grid, axis, next[a]);
    }
    if (run_m < narrow_m) return true;
  }
  return false;
}

sim::Vec3 centre(const sim::Grid& grid, const Cell& c) {
  sim::Vec3 middle{};
  for (int a = 0; a < 3; ++a) {
    const auto s = static_cast<std::size_t>(a);
    const auto& edges = grid.edges_m(static_cast<sim::Axis>(a));
    middle[s] = 0.5 * (edges[static_cast<std::size_t>(c[s])] + edges[static_cast<std::size_t>(c[s]) + 1]);
  }
  return middle;
}

bool near(const sim::Vec3& a, const sim::Vec3& b) {
  return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) <= reach_m;
}

/// The state of every cell of a plane; `sound` where there is no face.
std::vector<VoxelState> states_on(const sim::Wall& wall, const PlaneCells& plane,
                                  const std::vector<VoxelState>& shown) {
  const auto [u, v] = across(plane.normal);
  const int n = sim::index_of(plane.normal);
  const auto voxels_of = [&](int axis, const std::vector<double>& edges) {
    std::vector<int> of;
    for (std::size_t i = 0; i + 1 < edges.size(); ++i)
      of.push_back(wall.grid.find(static_cast<sim::Axis>(axis), 0.5 * (edges[i] + edges[i + 1])));
    return of;
  };
  const std::vector<int> of_u = voxels_of(u, plane.u_m);
  const std::vector<int> of_v = voxels_of(v, plane.v_m);
  Cell at{};
  at[static_cast<std::size_t>(n)] = wall.grid.find(plane.normal, plane.at_m + (plane.positive ? -1e-6 : 1e-6));
  std::vector<VoxelState> states(plane.seen.size(), VoxelState::sound);
  for (int j = 0; j < plane.nv(); ++j) {
    at[static_cast<std::size_t>(v)] = of_v[static_cast<std::size_t>(j)];
    for (int i = 0; i < plane.nu(); ++i) {
      if (plane.at(i, j) < 0) continue;
      at[static_cast<std::size_t>(u)] = of_u[static_cast<std::size_t>(i)];
      states[static_cast<std::size_t>(i + plane.nu() * j)] = shown[wall.grid.at(at[0], at[1], at[2])];
    }
  }
  return states;
}

void add_marks(const PlaneCells& plane, const std::vector<VoxelState>& states, std::vector<DamageMark>& marks) {
  struct Run {
    int from, to;
    std::size_t mark;  // that it belongs to
  };
  std::vector<Run> below;
  for (int j = 0; j < plane.nv(); ++j) {
    std::vector<Run> row;
    const VoxelState* state = &states[static_cast<std::size_t>(plane.nu() * j)];
    for (int i = 0; i < plane.nu();) {
      int to = i + 1;
      while (to < plane.nu() && state[to] == state[i]) ++to;
      if (state[i] != VoxelState::sound) {
        const double top_m = plane.v_m[static_cast<std::size_t>(j) + 1];
        const auto same = std::find_if(below.begin(), below.end(), [&](const Run& run) {
          return run.from == i && run.to == to && marks[run.mark].state == state[i];
        });
        if (same != below.end()) {
          marks[same->mark].v_m.to_m = top_m;
          row.push_back(*same);
        } else {
          row.push_back({i, to, marks.size()});
          marks.push_back({plane.normal,
                           plane.positive,
                           plane.at_m,
                           {plane.u_m[static_cast<std::size_t>(i)], plane.u_m[static_cast<std::size_t>(to)]},
                           {plane.v_m[static_cast<std::size_t>(j)], top_m},
                           state[i]});
        }
      }
      i = to;
    }
    below.swap(row);
  }
}

/// Where a hollow meets what still stands.
void add_rims(const PlaneCells& plane, const std::vector<VoxelState>& states, std::vector<Line>& rims) {
  const Across of = across(plane.normal);
  const int u = of.u, v = of.v;
  sim::Vec3 from{};
  from[static_cast<std::size_t>(sim::index_of(plane.normal))] = plane.at_m;
  std::array<sim::Vec3, 2> normals{};
  normals[0][static_cast<std::size_t>(sim::index_of(plane.normal))] = plane.positive ? 1.0 : -1.0;
  const auto edge = [&](int i, int j, int other_i, int other_j) {
    if (plane.at(i, j) < 0 || plane.at(other_i, other_j) < 0) return false;
    const auto gone = [&](int a, int b) {
      return states[static_cast<std::size_t>(a + plane.nu() * b)] == VoxelState::gone;
    };
    return gone(i, j) != gone(other_i, other_j);
  };
  const auto draw = [&](int along, int count, int i, int j, bool& joins, bool is_edge) {
    from[static_cast<std::size_t>(u)] = plane.u_m[static_cast<std::size_t>(i)];
    from[static_cast<std::size_t>(v)] = plane.v_m[static_cast<std::size_t>(j)];
    const auto& edges = along == u ? plane.u_m : plane.v_m;
    if (is_edge) add_run(rims, joins, along, from, edges[static_cast<std::size_t>(count) + 1], normals);
    joins = is_edge;
  };
  for (int i = 1; i < plane.nu(); ++i) {
    bool joins = false;
    for (int j = 0; j < plane.nv(); ++j) draw(v, j, i, j, joins, edge(i - 1, j, i, j));
  }
  for (int j = 1; j < plane.nv(); ++j) {
    bool joins = false;
    for (int i = 0; i < plane.nu(); ++i) draw(u, i, i, j, joins, edge(i, j - 1, i, j));
  }
}

}  // namespace

NarrowAir::NarrowAir(std::shared_ptr<const sim::Wall> wall) : wall_(std::move(wall)) {
  const sim::Grid& grid = wall_->grid;
  is_narrow_.assign(grid.count(), false);
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = 0; j < grid.ny(); ++j)
      for (int i = 0; i < grid.nx(); ++i) {
        if (!is_air(*wall_, {i, j, k}) || !is_narrow(*wall_, {i, j, k})) continue;
        is_narrow_[grid.at(i, j, k)] = true;
        places_.push_back({i, j, k});
      }
}

std::vector<VoxelState> NarrowAir::shown(const std::vector<VoxelState>& states) const {
  std::vector<VoxelState> shown = states;
  if (states.empty()) return shown;
  struct One {
    Cell at;
    sim::Vec3 from_m;  // the void that it began at
  };
  const sim::Grid& grid = wall_->grid;
  std::vector<One> front;
  const auto take = [&](const Cell& at, const sim::Vec3& from_m) {
    VoxelState& state = shown[grid.at(at[0], at[1], at[2])];
    if (state != VoxelState::sound || !near(centre(grid, at), from_m)) return;
    state = VoxelState::gone;
    front.push_back({at, from_m});
  };
  const auto around = [&](const Cell& at, const auto& visit) {
    for (std::size_t a = 0; a < 3; ++a)
      for (const int sign : {-1, 1}) {
        Cell next = at;
        next[a] += sign;
        if (inside(grid, next)) visit(next, grid.at(next[0], next[1], next[2]));
      }
  };
  for (const Cell& at : places_)
    around(at, [&](const Cell& next, std::size_t n) {
      if (states[n] == VoxelState::gone) take(at, centre(grid, next));
    });
  while (!front.empty()) {
    std::vector<One> now;
    now.swap(front);
    for (const One& one : now)
      around(one.at, [&](const Cell& next, std::size_t n) {
        if (is_narrow_[n]) take(next, one.from_m);
      });
  }
  return shown;
}

DamageShape damage_shape(const sim::Wall& wall, const WallShape& shape, const std::vector<VoxelState>& shown) {
  DamageShape damage;
  if (shown.empty()) return damage;
  for (const PlaneCells& plane : shape.planes) {
    const std::vector<VoxelState> states = states_on(wall, plane, shown);
    if (std::all_of(states.begin(), states.end(), [](VoxelState s) { return s == VoxelState::sound; })) continue;
    add_marks(plane, states, damage.marks);
    add_rims(plane, states, damage.rims);
  }
  return damage;
}

unsigned states_present(const sim::Snapshot& snapshot) {
  unsigned present = 0;
  for (const VoxelState state : snapshot.states) present |= 1U << static_cast<unsigned>(state);
  return present;
}

HollowSize hollow_on(const sim::Wall& wall, const std::vector<VoxelState>& shown, const CloseUp& close_up) {
  HollowSize size;
  if (shown.empty()) return size;
  const auto [right, up, positive] = close_up_axes(close_up.normal);
  const sim::Grid& grid = wall.grid;
  const auto range = [&](int axis) {
    const double middle_m = close_up.middle_m[static_cast<std::size_t>(axis)];
    const auto of = static_cast<sim::Axis>(axis);
    return std::pair{grid.find(of, middle_m - 0.5 * close_up.side_m), grid.find(of, middle_m + 0.5 * close_up.side_m)};
  };
  const auto [first_right, last_right] = range(right);
  const auto [first_up, last_up] = range(up);
  const auto n = static_cast<std::size_t>(sim::index_of(close_up.normal));
  Cell at{};
  at[n] = grid.find(close_up.normal, close_up.middle_m[n]);
  int lowest = -1;
  int highest = -1;
  for (int j = first_up; j <= last_up; ++j) {
    at[static_cast<std::size_t>(up)] = j;
    for (int i = first_right; i <= last_right; ++i) {
      at[static_cast<std::size_t>(right)] = i;
      if (shown[grid.at(at[0], at[1], at[2])] != VoxelState::gone) continue;
      size.area_m2 += width_m(grid, static_cast<sim::Axis>(right), i) * width_m(grid, static_cast<sim::Axis>(up), j);
      if (lowest < 0) lowest = j;
      highest = j;
    }
  }
  const auto& edges_m = grid.edges_m(static_cast<sim::Axis>(up));
  if (lowest >= 0)
    size.tall_m = edges_m[static_cast<std::size_t>(highest) + 1] - edges_m[static_cast<std::size_t>(lowest)];
  return size;
}

}  // namespace warmbay::render
