#pragma once
// The part of a wall that is shown, as flat faces and as the lines that are drawn on them.

#include <array>
#include <optional>
#include <vector>

#include "render/view_state.hpp"
#include "sim/wall.hpp"

namespace warmbay::render {

/// A rectangle of one material at at_m along `normal`, facing its positive or negative direction. u and v are the other
/// two axes in the order x, y, z.
struct Face {
  sim::Axis normal = sim::Axis::x;
  bool positive = false;
  bool cut = false;  // the wall goes on behind it, unseen (or is taken to: an insulated face); else a surface
  int material = 0;  // index into Wall::materials
  double at_m = 0.0;
  sim::Interval u_m{};
  sim::Interval v_m{};
};

/// A line on one face or where two meet. It is seen only when one of them looks towards the eye.
struct Line {
  sim::Vec3 from_m{};
  sim::Vec3 to_m{};
  std::array<sim::Vec3, 2> normals{};  // of the faces; all zero: seen from everywhere
};

/// What is seen on one plane, cell by cell of the grid (and of the cuts), u fastest.
struct PlaneCells {
  sim::Axis normal = sim::Axis::x;
  bool positive = false;
  double at_m = 0.0;
  std::vector<double> u_m, v_m;  // edges of the cells
  std::vector<int> seen;         // 2 * material + (1 on a cut), or -1 where there is no face
  [[nodiscard]] int nu() const { return static_cast<int>(u_m.size()) - 1; }
  [[nodiscard]] int nv() const { return static_cast<int>(v_m.size()) - 1; }
  [[nodiscard]] int& at(int i, int j) { return seen[static_cast<std::size_t>(i + nu() * j)]; }
  [[nodiscard]] int at(int i, int j) const { return seen[static_cast<std::size_t>(i + nu() * j)]; }
};

struct WallShape {
  std::vector<Face> faces;
  std::vector<PlaneCells> planes;
  std::vector<Line> creases;     // where two faces meet
  std::vector<Line> boundaries;  // between two materials, on a face
};

/// The wall within `kept`, without `opened` and without boxes of surroundings. On a plane faces meet vertex to vertex,
/// so that no cracks shine through; between planes runs a crease.
[[nodiscard]] WallShape shape_of(const sim::Wall& wall, const CutBox& kept, const std::optional<CutBox>& opened);

/// Adds a line along `axis` from from_m up to to_m; joins: goes on from the last line when that looks the same ways.
void add_run(std::vector<Line>& lines, bool joins, int axis, const sim::Vec3& from_m, double to_m,
             const std::array<sim::Vec3, 2>& normals);

/// Where a ray first meets the shape, as a distance in m along it; nothing when it misses. face: which one it met.
[[nodiscard]] std::optional<double> first_hit_m(const WallShape& shape, const Ray& ray, Face* face = nullptr);

/// The two axes across `normal`, in the order x, y, z.
struct Across {
  int u;
  int v;
};
[[nodiscard]] constexpr Across across(sim::Axis normal) {
  return normal == sim::Axis::x ? Across{1, 2} : normal == sim::Axis::y ? Across{0, 2} : Across{0, 1};
}

}  // namespace warmbay::render
