// The shown part of a wall. Space is divided by the planes at which solid can turn into nothing (the cuts, the edges of
// boxes of surroundings): few, unlike the grid's edges. What is seen on a plane is then divided where the material
// changes, all across the plane. So the whole wall is some tens of rectangles: software rendering pays for small ones.

#include "render/passes/wall_shape.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace warmbay::render {

void add_run(std::vector<Line>& lines, bool joins, int axis, const sim::Vec3& from_m, double to_m,
             const std::array<sim::Vec3, 2>& normals) {
  if (joins && !lines.empty() && lines.back().normals == normals) {
    lines.back().to_m[static_cast<std::size_t>(axis)] = to_m;
    return;
  }
  Line line{from_m, from_m, normals};
  line.to_m[static_cast<std::size_t>(axis)] = to_m;
  lines.push_back(line);
}

namespace {

using Planes = std::vector<double>;
constexpr double same_m = 1e-7;  // planes nearer than this are one

void unite(Planes& planes) {
  std::sort(planes.begin(), planes.end());
  planes.erase(std::unique(planes.begin(), planes.end(), [](double a, double b) { return b - a < same_m; }),
               planes.end());
}

void keep_within(Planes& planes, double from_m, double to_m) {
  std::erase_if(planes, [&](double p) { return p < from_m - same_m || p > to_m + same_m; });
}

/// Grid edges along x, y, z at which some voxel is outside and its neighbour is not.
std::array<Planes, 3> edges_of_outside(const sim::Wall& wall) {
  const sim::Grid& grid = wall.grid;
  std::array<std::vector<char>, 3> found{std::vector<char>(grid.x_m.size()), std::vector<char>(grid.y_m.size()),
                                         std::vector<char>(grid.z_m.size())};
  const auto outside = [&](int i, int j, int k) { return wall.voxels[grid.at(i, j, k)].outside; };
  for (int k = 0; k < grid.nz(); ++k) {
    for (int j = 0; j < grid.ny(); ++j) {
      for (int i = 0; i < grid.nx(); ++i) {
        const bool here = outside(i, j, k);
        if (i > 0 && outside(i - 1, j, k) != here) found[0][static_cast<std::size_t>(i)] = 1;
        if (j > 0 && outside(i, j - 1, k) != here) found[1][static_cast<std::size_t>(j)] = 1;
        if (k > 0 && outside(i, j, k - 1) != here) found[2][static_cast<std::size_t>(k)] = 1;
      }
    }
  }
  std::array<Planes, 3> planes;
  for (int a = 0; a < 3; ++a) {
    const auto& edges = grid.edges_m(static_cast<sim::Axis>(a));
    for (std::size_t e = 0; e < edges.size(); ++e) {
      if (found[static_cast<std::size_t>(a)][e] != 0) planes[static_cast<std::size_t>(a)].push_back(edges[e]);
    }
  }
  return planes;
}

bool within(const CutBox& box, const sim::Vec3& p) {
  for (std::size_t a = 0; a < 3; ++a) {
    if (p[a] <= box.from_m[a] || p[a] >= box.to_m[a]) return false;
  }
  return true;
}

/// The voxel that holds a point, or nullptr when the point is not in the grid.
const sim::Voxel* voxel_at(const sim::Wall& wall, const sim::Vec3& p) {
  std::array<int, 3> cell{};
  for (int a = 0; a < 3; ++a) {
    const auto axis = static_cast<sim::Axis>(a);
    const auto& edges = wall.grid.edges_m(axis);
    if (p[static_cast<std::size_t>(a)] <= edges.front() || p[static_cast<std::size_t>(a)] >= edges.back())
      return nullptr;
    cell[static_cast<std::size_t>(a)] = wall.grid.find(axis, p[static_cast<std::size_t>(a)]);
  }
  return &wall.voxels[wall.grid.at(cell[0], cell[1], cell[2])];
}

/// The blocks between the planes, solid or not.
class Blocks {
 public:
  Blocks(const sim::Wall& wall, const CutBox& kept, const std::optional<CutBox>& opened)
      : wall_(wall), planes_(edges_of_outside(wall)) {
    for (int a = 0; a < 3; ++a) {
      const auto i = static_cast<std::size_t>(a);
      const auto& edges = wall.grid.edges_m(static_cast<sim::Axis>(a));
      const double from_m = std::clamp(kept.from_m[i], edges.front(), edges.back());
      const double to_m = std::clamp(kept.to_m[i], from_m, edges.back());
      planes_[i].insert(planes_[i].end(), {from_m, to_m});
      if (opened) planes_[i].insert(planes_[i].end(), {opened->from_m[i], opened->to_m[i]});
      keep_within(planes_[i], from_m, to_m);
      unite(planes_[i]);
    }
    solid_.resize(static_cast<std::size_t>(count(0)) * count(1) * count(2));
    for (int k = 0; k < count(2); ++k) {
      for (int j = 0; j < count(1); ++j) {
        for (int i = 0; i < count(0); ++i) {
          const sim::Vec3 middle = middle_m({i, j, k});
          const sim::Voxel* voxel = voxel_at(wall, middle);
          const bool taken_out = opened && within(*opened, middle);
          solid_[index({i, j, k})] = voxel != nullptr && !voxel->outside && !taken_out;
        }
      }
    }
  }

  using Cell = std::array<int, 3>;
  [[nodiscard]] int count(int axis) const {
    return std::max(0, static_cast<int>(planes_[static_cast<std::size_t>(axis)].size()) - 1);
  }
  [[nodiscard]] const Planes& planes(int axis) const { return planes_[static_cast<std::size_t>(axis)]; }
  [[nodiscard]] double plane_m(int axis, int i) const {
    return planes_[static_cast<std::size_t>(axis)][static_cast<std::size_t>(i)];
  }
  [[nodiscard]] bool solid(const Cell& cell) const {
    for (int a = 0; a < 3; ++a) {
      if (cell[static_cast<std::size_t>(a)] < 0 || cell[static_cast<std::size_t>(a)] >= count(a)) return false;
    }
    return solid_[index(cell)];
  }
  [[nodiscard]] const sim::Wall& wall() const { return wall_; }

 private:
  [[nodiscard]] std::size_t index(const Cell& c) const {
    return static_cast<std::size_t>(c[0] + count(0) * (c[1] + count(1) * c[2]));
  }
  [[nodiscard]] sim::Vec3 middle_m(const Cell& cell) const {
    sim::Vec3 middle{};
    for (int a = 0; a < 3; ++a) {
      const int i = cell[static_cast<std::size_t>(a)];
      middle[static_cast<std::size_t>(a)] = 0.5 * (plane_m(a, i) + plane_m(a, i + 1));
    }
    return middle;
  }

  const sim::Wall& wall_;
  std::array<Planes, 3> planes_;
  std::vector<bool> solid_;
};

/// Whether the wall goes on just beyond the middle of a face. An insulated outer face stands for a wall that goes on.
bool goes_on(const sim::Wall& wall, const Face& face) {
  const auto [u, v] = across(face.normal);
  sim::Vec3 beyond{};
  beyond[static_cast<std::size_t>(u)] = 0.5 * (face.u_m.from_m + face.u_m.to_m);
  beyond[static_cast<std::size_t>(v)] = 0.5 * (face.v_m.from_m + face.v_m.to_m);
  beyond[static_cast<std::size_t>(sim::index_of(face.normal))] = face.at_m + (face.positive ? 1e-6 : -1e-6);
  const sim::Voxel* voxel = voxel_at(wall, beyond);
  const auto side = static_cast<std::size_t>(2 * sim::index_of(face.normal) + (face.positive ? 1 : 0));
  return voxel == nullptr ? wall.faces[side] < 0 : !voxel->outside;
}

void add_faces(const Blocks& blocks, sim::Axis normal, std::vector<Face>& faces) {
  const int n = sim::index_of(normal);
  const auto [u, v] = across(normal);
  for (int p = 0; p <= blocks.count(n); ++p) {
    for (int i = 0; i < blocks.count(u); ++i) {
      for (int j = 0; j < blocks.count(v); ++j) {
        Blocks::Cell below{};
        below[static_cast<std::size_t>(u)] = i;
        below[static_cast<std::size_t>(v)] = j;
        Blocks::Cell above = below;
        below[static_cast<std::size_t>(n)] = p - 1;
        above[static_cast<std::size_t>(n)] = p;
        const bool solid_below = blocks.solid(below);
        if (solid_below == blocks.solid(above)) continue;
        Face face{normal,
                  solid_below,
                  false,
                  0,
                  blocks.plane_m(n, p),
                  {blocks.plane_m(u, i), blocks.plane_m(u, i + 1)},
                  {blocks.plane_m(v, j), blocks.plane_m(v, j + 1)}};
        face.cut = goes_on(blocks.wall(), face);
        faces.push_back(face);
      }
    }
  }
}

/// The two faces at a crease, from which of the four blocks around it are solid: (-,-), (+,-), (-,+), (+,+) in u and v.
/// One solid block looks away from its own quarter, three look into the empty one; two across a corner look everywhere.
std::array<sim::Vec3, 2> crease_normals(int u, int v, const std::array<bool, 4>& solid) {
  const auto count = std::count(solid.begin(), solid.end(), true);
  if (count == 2) return {};
  const auto odd = static_cast<int>(std::find(solid.begin(), solid.end(), count == 1) - solid.begin());
  const double away = count == 1 ? -1.0 : 1.0;
  std::array<sim::Vec3, 2> normals{};
  normals[0][static_cast<std::size_t>(u)] = away * (odd % 2 == 0 ? -1.0 : 1.0);
  normals[1][static_cast<std::size_t>(v)] = away * (odd / 2 == 0 ? -1.0 : 1.0);
  return normals;
}

/// Creases along one axis: where the four blocks around an edge are neither all alike nor a flat surface.
void add_creases(const Blocks& blocks, int axis, std::vector<Line>& creases) {
  const Across of = across(static_cast<sim::Axis>(axis));
  const int u = of.u, v = of.v;
  for (int i = 0; i <= blocks.count(u); ++i) {
    for (int j = 0; j <= blocks.count(v); ++j) {
      bool joins = false;
      for (int s = 0; s < blocks.count(axis); ++s) {
        Blocks::Cell cell{};
        cell[static_cast<std::size_t>(axis)] = s;
        const auto solid = [&](int du, int dv) {
          cell[static_cast<std::size_t>(u)] = i + du;
          cell[static_cast<std::size_t>(v)] = j + dv;
          return blocks.solid(cell);
        };
        const bool a = solid(-1, -1);
        const bool b = solid(0, -1);
        const bool c = solid(-1, 0);
        const bool d = solid(0, 0);
        const bool crease = (a != b || c != d) && (a != c || b != d);
        if (crease) {
          sim::Vec3 from{};
          from[static_cast<std::size_t>(u)] = blocks.plane_m(u, i);
          from[static_cast<std::size_t>(v)] = blocks.plane_m(v, j);
          from[static_cast<std::size_t>(axis)] = blocks.plane_m(axis, s);
          add_run(creases, joins, axis, from, blocks.plane_m(axis, s + 1), crease_normals(u, v, {a, b, c, d}));
        }
        joins = crease;
      }
    }
  }
}

PlaneCells cells_of(const Blocks& blocks, const std::vector<Face>& plane) {
  const Face& first = plane.front();
  const sim::Wall& wall = blocks.wall();
  const auto [u, v] = across(first.normal);
  PlaneCells cells;
  cells.normal = first.normal;
  cells.positive = first.positive;
  cells.at_m = first.at_m;
  const auto divide = [&](int axis) {
    Planes planes = wall.grid.edges_m(static_cast<sim::Axis>(axis));
    planes.insert(planes.end(), blocks.planes(axis).begin(), blocks.planes(axis).end());
    keep_within(planes, blocks.planes(axis).front(), blocks.planes(axis).back());
    unite(planes);
    return planes;
  };
  cells.u_m = divide(u);
  cells.v_m = divide(v);
  cells.seen.assign(static_cast<std::size_t>(cells.nu()) * cells.nv(), -1);
  sim::Vec3 point{};
  point[static_cast<std::size_t>(sim::index_of(first.normal))] = first.at_m + (first.positive ? -1e-6 : 1e-6);
  for (const Face& face : plane) {
    for (int j = 0; j < cells.nv(); ++j) {
      const double mv = 0.5 * (cells.v_m[static_cast<std::size_t>(j)] + cells.v_m[static_cast<std::size_t>(j) + 1]);
      if (mv < face.v_m.from_m || mv > face.v_m.to_m) continue;
      for (int i = 0; i < cells.nu(); ++i) {
        const double mu = 0.5 * (cells.u_m[static_cast<std::size_t>(i)] + cells.u_m[static_cast<std::size_t>(i) + 1]);
        if (mu < face.u_m.from_m || mu > face.u_m.to_m) continue;
        point[static_cast<std::size_t>(u)] = mu;
        point[static_cast<std::size_t>(v)] = mv;
        const sim::Voxel* voxel = voxel_at(wall, point);
        cells.at(i, j) = voxel == nullptr || voxel->outside ? -1 : 2 * voxel->index + (face.cut ? 1 : 0);
      }
    }
  }
  return cells;
}

void add_boundaries(PlaneCells& cells, const Face& first, std::vector<Line>& boundaries) {
  const auto [u, v] = across(first.normal);
  sim::Vec3 from{};
  from[static_cast<std::size_t>(sim::index_of(first.normal))] = first.at_m;
  std::array<sim::Vec3, 2> normals{};
  normals[0][static_cast<std::size_t>(sim::index_of(first.normal))] = first.positive ? 1.0 : -1.0;
  const auto differ = [](int a, int b) { return a >= 0 && b >= 0 && a / 2 != b / 2; };
  for (int i = 1; i < cells.nu(); ++i) {
    bool joins = false;
    for (int j = 0; j < cells.nv(); ++j) {
      const bool boundary = differ(cells.at(i - 1, j), cells.at(i, j));
      from[static_cast<std::size_t>(u)] = cells.u_m[static_cast<std::size_t>(i)];
      from[static_cast<std::size_t>(v)] = cells.v_m[static_cast<std::size_t>(j)];
      if (boundary) add_run(boundaries, joins, v, from, cells.v_m[static_cast<std::size_t>(j) + 1], normals);
      joins = boundary;
    }
  }
  for (int j = 1; j < cells.nv(); ++j) {
    bool joins = false;
    for (int i = 0; i < cells.nu(); ++i) {
      const bool boundary = differ(cells.at(i, j - 1), cells.at(i, j));
      from[static_cast<std::size_t>(u)] = cells.u_m[static_cast<std::size_t>(i)];
      from[static_cast<std::size_t>(v)] = cells.v_m[static_cast<std::size_t>(j)];
      if (boundary) add_run(boundaries, joins, u, from, cells.u_m[static_cast<std::size_t>(i) + 1], normals);
      joins = boundary;
    }
  }
}

/// The columns (or rows) at which what is seen changes anywhere on the plane, both ends included.
std::vector<int> changes(PlaneCells& cells, bool columns) {
  const int along = columns ? cells.nu() : cells.nv();
  const int other = columns ? cells.nv() : cells.nu();
  std::vector<int> at{0};
  for (int i = 1; i < along; ++i) {
    bool changed = false;
    for (int j = 0; j < other && !changed; ++j) {
      changed = columns ? cells.at(i - 1, j) != cells.at(i, j) : cells.at(j, i - 1) != cells.at(j, i);
    }
    if (changed) at.push_back(i);
  }
  at.push_back(along);
  return at;
}

/// The faces of a plane, each of one material.
void add_divided(PlaneCells& cells, const Face& first, std::vector<Face>& faces) {
  const std::vector<int> columns = changes(cells, true);
  const std::vector<int> rows = changes(cells, false);
  for (std::size_t j = 0; j + 1 < rows.size(); ++j) {
    for (std::size_t i = 0; i + 1 < columns.size(); ++i) {
      const int seen = cells.at(columns[i], rows[j]);
      if (seen < 0) continue;
      Face face = first;
      face.cut = seen % 2 != 0;
      face.material = seen / 2;
      face.u_m = {cells.u_m[static_cast<std::size_t>(columns[i])], cells.u_m[static_cast<std::size_t>(columns[i + 1])]};
      face.v_m = {cells.v_m[static_cast<std::size_t>(rows[j])], cells.v_m[static_cast<std::size_t>(rows[j + 1])]};
      faces.push_back(face);
    }
  }
}

}  // namespace

WallShape shape_of(const sim::Wall& wall, const CutBox& kept, const std::optional<CutBox>& opened) {
  const Blocks blocks(wall, kept, opened);
  WallShape shape;
  std::vector<Face> left;
  for (int a = 0; a < 3; ++a) {
    add_faces(blocks, static_cast<sim::Axis>(a), left);
    add_creases(blocks, a, shape.creases);
  }
  while (!left.empty()) {
    const Face first = left.front();
    const auto same_plane = [&](const Face& f) {
      return f.normal == first.normal && f.positive == first.positive && f.at_m == first.at_m;
    };
    std::vector<Face> plane;
    std::copy_if(left.begin(), left.end(), std::back_inserter(plane), same_plane);
    std::erase_if(left, same_plane);
    PlaneCells cells = cells_of(blocks, plane);
    add_divided(cells, first, shape.faces);
    add_boundaries(cells, first, shape.boundaries);
    shape.planes.push_back(std::move(cells));
  }
  return shape;
}

std::optional<double> first_hit_m(const WallShape& shape, const Ray& ray, Face* face) {
  std::optional<double> nearest;
  for (const Face& candidate : shape.faces) {
    const int n = sim::index_of(candidate.normal);
    const double toward = ray.direction[n] * (candidate.positive ? -1.0 : 1.0);
    if (toward <= 1e-12) continue;
    const double distance_m = (candidate.at_m - ray.from_m[n]) / ray.direction[n];
    if (distance_m <= 0.0 || (nearest && *nearest <= distance_m)) continue;
    const auto [u, v] = across(candidate.normal);
    const double at_u = ray.from_m[u] + distance_m * ray.direction[u];
    const double at_v = ray.from_m[v] + distance_m * ray.direction[v];
    const auto in = [](const sim::Interval& range, double c) { return c >= range.from_m && c <= range.to_m; };
    if (!in(candidate.u_m, at_u) || !in(candidate.v_m, at_v)) continue;
    nearest = distance_m;
    if (face != nullptr) *face = candidate;
  }
  return nearest;
}

}  // namespace warmbay::render
