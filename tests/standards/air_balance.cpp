// The air spaces of a heat balance: every face of a section between air and a solid gets a surface of its own, which
// the solid's half voxel, the air's half voxel, radiation and moving air meet at.

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <vector>

#include "tests/standards/air_enclosure.hpp"
#include "tests/standards/heat_balance.hpp"

namespace warmbay::tests {

/// Splits a face between air and a solid, across a section, by a surface; a cable's own conducts as it is.
bool HeatBalance::find_air_face(const std::array<int, 3>& here, const std::array<int, 3>& there, const Face& face) {
  const Stuff &a = stuff_[static_cast<std::size_t>(face.a)], &b = stuff_[static_cast<std::size_t>(face.b)];
  if (a.air == b.air || face.axis == 0) return false;
  const bool cable = (a.air ? b : a).along >= 0;
  int surface = a.air ? face.b : face.a;
  if (!cable) {
    surface = static_cast<int>(capacities_.size());
    capacities_.push_back(0.0);
    faces_.push_back({face.a, surface, face.axis, face.area_m2, face.half_a_m, 0.0, 0.0});
    faces_.push_back({surface, face.b, face.axis, face.area_m2, 0.0, face.half_b_m, 0.0});
  }
  air_surfaces_.push_back({surface, cable, a.air ? here : there, face.axis, a.air ? 1 : -1, face.area_m2,
                           a.air ? face.half_b_m : face.half_a_m});
  varies_ = true;
  return !cable;
}

/// Shares the surfaces out among the spaces of every section.
void HeatBalance::find_air() {
  std::map<std::size_t, std::vector<AirSurface>> around;  // by the first voxel of a section's space
  std::vector<std::size_t> space_of(wall_.voxels.size(), wall_.voxels.size());
  const auto is_air = [&](std::size_t voxel) {
    const int unknown = unknown_of_voxel_[voxel];
    return unknown >= 0 && stuff_[static_cast<std::size_t>(unknown)].air;
  };
  const std::array<int, 3> counts{wall_.grid.nx(), wall_.grid.ny(), wall_.grid.nz()};
  for (const AirSurface& of : air_surfaces_) {
    const std::size_t seed = wall_.grid.at(of.air[0], of.air[1], of.air[2]);
    std::vector<std::array<int, 3>> waiting;
    if (space_of[seed] == wall_.voxels.size()) waiting.push_back(of.air), space_of[seed] = seed;
    while (!waiting.empty()) {
      const std::array<int, 3> at = waiting.back();
      waiting.pop_back();
      for (const int axis : {1, 2})
        for (const int way : {-1, 1}) {
          std::array<int, 3> next = at;
          next[axis] += way;
          if (next[axis] < 0 || next[axis] >= counts[axis]) throw std::invalid_argument("an air space that is cut");
          const std::size_t voxel = wall_.grid.at(next[0], next[1], next[2]);
          if (!is_air(voxel) || space_of[voxel] == seed) continue;
          space_of[voxel] = seed;
          waiting.push_back(next);
        }
    }
    around[space_of[seed]].push_back(of);
  }
  for (const auto& [space, surfaces] : around) {
    add_enclosure(surfaces, width_m(0, surfaces.front().air[0]));
    if (std::none_of(surfaces.begin(), surfaces.end(), [](const AirSurface& of) { return of.of_cable; }))
      add_moving_air(surfaces);
  }
}

/// Radiation in one section's space, length_m along x.
void HeatBalance::add_enclosure(const std::vector<AirSurface>& around, double length_m) {
  constexpr double sigma_w_m2k4 = 5.670374419e-8;  // CODATA 2018
  std::vector<SectionFace> faces;
  std::vector<int> unknowns;
  SectionCable cable;
  double staircase_m2 = 0.0;
  for (const AirSurface& of : around) {
    if (of.of_cable) {
      staircase_m2 += of.area_m2;
      cable.emissivity = stuff_[static_cast<std::size_t>(of.unknown)].emissivity;
      continue;
    }
    const auto& ys = wall_.grid.y_m;
    const auto& zs = wall_.grid.z_m;
    const int j = of.air[1], k = of.air[2];
    std::array<int, 3> solid = of.air;
    solid[of.axis] += of.way;
    SectionFace face{ys[j], zs[k], ys[j + 1], zs[k + 1], 0, 0, 0.9};
    (of.axis == 1 ? face.ny : face.nz) = -of.way;
    if (of.axis == 1) face.y0_m = face.y1_m = ys[of.way > 0 ? j + 1 : j];
    if (of.axis == 2) face.z0_m = face.z1_m = zs[of.way > 0 ? k + 1 : k];
    face.emissivity =
        stuff_[static_cast<std::size_t>(unknown_of_voxel_[wall_.grid.at(solid[0], solid[1], solid[2])])].emissivity;
    faces.push_back(face);
    unknowns.push_back(of.unknown);
  }
  if (staircase_m2 > 0.0) {
    if (wall_.cables.size() != 1) throw std::invalid_argument("air round one of several cables");
    const sim::Cable& of = wall_.cables.front();
    if (of.flat[0] != sim::Axis::z || of.route_m[0][0] == of.route_m[1][0])
      throw std::invalid_argument("air round a cable that does not lie flat along x");
    cable.y_m = of.route_m[0][1], cable.z_m = of.route_m[0][2];
    cable.width_m = of.type.width_m, cable.thickness_m = of.type.thickness_m;
    const int surface = static_cast<int>(capacities_.size());
    capacities_.push_back(0.0);
    unknowns.push_back(surface);
    const double share = cable.outline_m() * length_m / staircase_m2;
    for (const AirSurface& face : around)
      if (face.of_cable)
        faces_.push_back({face.unknown, surface, face.axis, share * face.area_m2, face.half_m, 0.0, 0.0});
  }
  const Eigen::MatrixXd exchange = exchange_m(faces, cable);
  for (Eigen::Index i = 0; i < exchange.rows(); ++i)
    for (Eigen::Index j = i + 1; j < exchange.rows(); ++j)
      if (exchange(i, j) > 0.0)
        exchanges_.push_back({unknowns[static_cast<std::size_t>(i)], unknowns[static_cast<std::size_t>(j)],
                              sigma_w_m2k4 * length_m * exchange(i, j)});
}

/// Between the surfaces on both sides of every row of air along z.
void HeatBalance::add_moving_air(const std::vector<AirSurface>& around) {
  double low_m = 1e9, high_m = -1e9;
  for (const AirSurface& of : around) {
    low_m = std::min(low_m, wall_.grid.y_m[of.air[1]]);
    high_m = std::max(high_m, wall_.grid.y_m[of.air[1] + 1]);
  }
  for (const AirSurface& near : around)
    for (const AirSurface& far : around)
      if (near.axis == 2 && far.axis == 2 && near.way < 0 && far.way > 0 && near.air[1] == far.air[1])
        moving_.push_back({near.unknown, far.unknown, near.area_m2,
                           wall_.grid.z_m[far.air[2] + 1] - wall_.grid.z_m[near.air[2]], high_m - low_m});
}

double HeatBalance::radiated_w_k(const Exchange& pair, const double* rise_k) {
  const double a_k = sim::datum_k + rise_k[pair.a], b_k = sim::datum_k + rise_k[pair.b];
  return pair.w_k4 * (a_k * a_k + b_k * b_k) * (a_k + b_k);
}

double HeatBalance::moving_w_k(const MovingAir& air, const double* rise_k) const {
  const double a_k = sim::datum_k + rise_k[air.a], b_k = sim::datum_k + rise_k[air.b];
  const double times = std::max(1.0, upright_layer_nusselt(a_k, b_k, air.thickness_m, air.height_m));
  return air.area_m2 * (times - 1.0) * tabled_air_w_mk(0.5 * (a_k + b_k)) / air.thickness_m;
}

}  // namespace warmbay::tests
