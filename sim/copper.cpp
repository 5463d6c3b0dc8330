// From routes to nodes. A leg's nodes cover exactly the stretch between its two route points, one node per grid slab,
// so that lengths (and with them resistance and heat) do not depend on the grid.

#include "sim/copper.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <map>
#include <set>

namespace warmbay::sim {
namespace {

/// Share of the voxel's rectangle (across the leg) that lies inside the sheath's outline.
double covered(const CableType& type, double u0, double u1, double v0, double v1) {
  constexpr int samples = 8;
  int inside = 0;
  for (int a = 0; a < samples; ++a)
    for (int b = 0; b < samples; ++b)
      inside += inside_outline(type, u0 + (a + 0.5) / samples * (u1 - u0), v0 + (b + 0.5) / samples * (v1 - v0));
  return static_cast<double>(inside) / (samples * samples);
}

/// A leg seen from the grid: its axis d, its short-side axis v, the other one u, and the voxels its sheath fills
/// across.
struct Leg {
  Axis d, u, v;
  LegBox box;
  double start_m, end_m;  // route points along d, in route order
  struct Cell {
    int u, v;
    double area_m2;
  };
  std::vector<Cell> cells;
  double section_m2 = 0.0;   // of all cells
  double staircase_m = 0.0;  // of the cells' outline
};

/// Length of the edges of cells that have no cell of the leg beside them.
double staircase_m(const Leg& leg, const std::vector<double>& us, const std::vector<double>& vs) {
  std::set<std::array<int, 2>> filled;
  for (const Leg::Cell& cell : leg.cells) filled.insert({cell.u, cell.v});
  double sum_m = 0.0;
  for (const Leg::Cell& cell : leg.cells)
    for (const int way : {-1, 1}) {
      if (!filled.contains({cell.u + way, cell.v})) sum_m += vs[cell.v + 1] - vs[cell.v];
      if (!filled.contains({cell.u, cell.v + way})) sum_m += us[cell.u + 1] - us[cell.u];
    }
  return sum_m;
}

Leg make_leg(const Wall& wall, const Cable& cable, int index) {
  Leg leg;
  leg.box = leg_box(cable, index);
  leg.d = leg.box.along;
  leg.v = cable.flat[static_cast<std::size_t>(index)];
  leg.u = static_cast<Axis>(3 - index_of(leg.d) - index_of(leg.v));
  leg.start_m = cable.route_m[static_cast<std::size_t>(index)][index_of(leg.d)];
  leg.end_m = cable.route_m[static_cast<std::size_t>(index) + 1][index_of(leg.d)];
  const std::vector<double>& us = wall.grid.edges_m(leg.u);
  const std::vector<double>& vs = wall.grid.edges_m(leg.v);
  const double u_mid = 0.5 * (leg.box.from_m[index_of(leg.u)] + leg.box.to_m[index_of(leg.u)]);
  const double v_mid = 0.5 * (leg.box.from_m[index_of(leg.v)] + leg.box.to_m[index_of(leg.v)]);
  Leg::Cell best{};
  double best_share = -1.0;
  for (std::size_t b = 0; b + 1 < vs.size(); ++b)
    for (std::size_t a = 0; a + 1 < us.size(); ++a) {
      if (us[a] > leg.box.to_m[index_of(leg.u)] || us[a + 1] < leg.box.from_m[index_of(leg.u)]) continue;
      if (vs[b] > leg.box.to_m[index_of(leg.v)] || vs[b + 1] < leg.box.from_m[index_of(leg.v)]) continue;
      const double share = covered(cable.type, us[a] - u_mid, us[a + 1] - u_mid, vs[b] - v_mid, vs[b + 1] - v_mid);
      const Leg::Cell cell{static_cast<int>(a), static_cast<int>(b), (us[a + 1] - us[a]) * (vs[b + 1] - vs[b])};
      if (share > 0.5) leg.cells.push_back(cell);
      if (share > best_share) best_share = share, best = cell;
    }
  if (leg.cells.empty()) leg.cells.push_back(best);  // a cable thinner than a voxel still has one
  for (const Leg::Cell& cell : leg.cells) leg.section_m2 += cell.area_m2;
  leg.staircase_m = staircase_m(leg, us, vs);
  return leg;
}

std::size_t voxel_at(const Layout& layout, const Leg& leg, int d, int u, int v) {
  std::array<int, 3> ijk{};
  ijk[index_of(leg.d)] = d;
  ijk[index_of(leg.u)] = u;
  ijk[index_of(leg.v)] = v;
  return layout.at(ijk[0], ijk[1], ijk[2]);
}

/// Adds one leg's nodes to a line, in route order, claiming voxels that no node has yet.
void add_nodes(const Wall& wall, const Layout& layout, const Leg& leg, double along_m, CopperLine& line,
               std::map<std::size_t, int>& owner) {
  const std::vector<double>& ds = wall.grid.edges_m(leg.d);
  const double low = std::min(leg.start_m, leg.end_m), high = std::max(leg.start_m, leg.end_m);
  const bool rising = leg.end_m > leg.start_m;
  const int slabs = static_cast<int>(ds.size()) - 1;
  for (int n = 0; n < slabs; ++n) {
    const int slab = rising ? n : slabs - 1 - n;
    const double from = std::max(low, ds[slab]), to = std::min(high, ds[slab + 1]);
    if (to - from < 1e-7) continue;
    const double length_m = to - from;
    const int node = line.nodes();
    std::vector<std::pair<std::size_t, double>> mine;
    double area_m2 = 0.0;
    for (const Leg::Cell& cell : leg.cells) {
      const std::size_t voxel = voxel_at(layout, leg, slab, cell.u, cell.v);
      if (!owner.emplace(voxel, node).second) continue;
      mine.emplace_back(voxel, cell.area_m2);
      area_m2 += cell.area_m2;
    }
    line.along_m.push_back(along_m + std::abs(0.5 * (from + to) - leg.start_m));
    line.length_m.push_back(length_m);
    line.capacity_j_k.push_back(line.section.copper_capacity_j_mk * length_m);
    line.first_link.push_back(static_cast<int>(line.links.size()));
    std::sort(mine.begin(), mine.end());
    for (const auto& [voxel, area] : mine)
      line.links.push_back({voxel, static_cast<float>(line.section.coupling_w_mk * length_m * area / area_m2),
                            static_cast<float>(area / area_m2), node});
  }
}

}  // namespace

CopperLayout lay_out_copper(const Wall& wall, const Layout& layout) {
  CopperLayout copper;
  std::map<std::size_t, SheathVoxel> sheath;
  std::map<std::string, CrossSection> sections;  // one look-up per type
  for (std::size_t c = 0; c < wall.cables.size(); ++c) {
    const Cable& cable = wall.cables[c];
    CopperLine line;
    line.cable = static_cast<int>(c);
    auto found = sections.find(cable.type.name);
    if (found == sections.end()) found = sections.emplace(cable.type.name, cross_section(cable.type)).first;
    line.section = found->second;
    std::map<std::size_t, int> owner;
    double along_m = 0.0;
    for (int l = 0; l + 1 < static_cast<int>(cable.route_m.size()); ++l) {
      const Leg leg = make_leg(wall, cable, l);
      add_nodes(wall, layout, leg, along_m, line, owner);
      along_m += std::abs(leg.end_m - leg.start_m);
      const std::vector<double>& ds = wall.grid.edges_m(leg.d);
      for (int slab = 0; slab + 1 < static_cast<int>(ds.size()); ++slab) {
        const double middle = 0.5 * (ds[slab] + ds[slab + 1]);
        if (middle < leg.box.from_m[index_of(leg.d)] || middle > leg.box.to_m[index_of(leg.d)]) continue;
        for (const Leg::Cell& cell : leg.cells) {
          const std::size_t voxel = voxel_at(layout, leg, slab, cell.u, cell.v);
          sheath.emplace(voxel, SheathVoxel{voxel, static_cast<int>(c), leg.d, leg.section_m2, leg.staircase_m,
                                            outline_m(cable.type)});
        }
      }
    }
    for (int n = 0; n < line.nodes(); ++n)
      line.axial_w_k.push_back(n + 1 < line.nodes()
                                   ? line.section.copper_axial_w_m_k / (0.5 * (line.length_m[n] + line.length_m[n + 1]))
                                   : 0.0);
    line.first_link.push_back(static_cast<int>(line.links.size()));
    copper.lines.push_back(std::move(line));
  }
  for (const auto& [voxel, entry] : sheath) copper.sheath.push_back(entry);
  return copper;
}

}  // namespace warmbay::sim
