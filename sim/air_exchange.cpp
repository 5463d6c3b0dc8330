// What radiation and moving air carry across the air spaces at the temperatures that they have.
//
// Radiation between a side and a slab's node: eps' sigma (T^4 - Tr^4) = eps' sigma (T^2 + Tr^2)(T + Tr) (T - Tr), T of
// the side's surface, Tr of the node; 1 / eps' = 1 / F + (1 - eps) / eps (Carroll). T and Tr follow from the couplings
// themselves, hence the rounds. Linearising about one mean temperature instead, as 4 sigma Tm^3, loses 5 % across 180
// K, and more where the mean is one over area and a small hot cable hardly counts in it.

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sim/air_spaces.hpp"
#include "sim/film.hpp"
#include "sim/material_map.hpp"

namespace warmbay::sim {
namespace {

/// A face as the rounds see it.
struct RadiantFace {
  double t_k;         // of its voxel
  double half_m2k_w;  // from there to the surface
  double area_m2;
  double emits_w_m2k4;   // eps' sigma
  double surface_share;  // of the way from the voxel's temperature to the node's at which the surface's lies
  double coupling_w_k;
};

/// What moving air carries to or from a slab's sides.
struct MovingAir {
  double round_cable_w_k = 0.0;      // per slab: between cables and sides
  double between_sides_w_m2k = 0.0;  // between its two upright sides
  double cable_m2 = 0.0;
  double spread_m2 = 0.0;  // of the sides, each weighted with its share of the plume
};

double plume(const AirGroup& group) {
  return group.normal != Axis::y ? plume_beside : group.looks_up ? plume_below : plume_above;
}

Axis across(const AirSlab& slab) {
  return slab.along == Axis::z ? Axis::x : Axis::z;
}

/// Area and temperature of the surfaces of several groups together.
struct Mean {
  double m2 = 0.0, m2_k = 0.0;
  void add(double area_m2, double area_k) { m2 += area_m2, m2_k += area_k; }
  [[nodiscard]] double or_else(double k) const { return m2 > 0.0 ? m2_k / m2 : k; }
};

/// groups: of the slab. m2_k: per group, area times temperature of its faces' surfaces.
MovingAir moving_air(const AirSlab& slab, const AirGroup* groups, const std::vector<double>& m2_k) {
  Mean cable, sides, looking[2];
  MovingAir moving;
  for (std::size_t g = 0; g < m2_k.size(); ++g) {
    const AirGroup& group = groups[g];
    (group.cable >= 0 ? cable : sides).add(group.area_m2, m2_k[g]);
    if (group.cable >= 0) continue;
    moving.spread_m2 += group.area_m2 * plume(group);
    if (group.normal == across(slab)) looking[group.looks_up].add(group.area_m2, m2_k[g]);
  }
  moving.cable_m2 = cable.m2;
  const double whole_k = (cable.m2_k + sides.m2_k) / (cable.m2 + sides.m2);
  const double side_k = sides.or_else(whole_k), cable_k = cable.or_else(side_k);
  const double air_w_mk = air_at(whole_k).conductivity_w_mk;
  // Round the cable: 2 pi (k_eff - k) / ln(Do/Di) per metre in all, half of the resistance on either side.
  if (cable.m2 > 0.0 && sides.m2 > 0.0 && slab.enclosure_m > AirSpaces::narrowest_annulus * slab.cable_m &&
      slab.along != Axis::y)
    moving.round_cable_w_k = 2.0 * std::numbers::pi * air_w_mk * slab.length_m /
                             std::log(slab.enclosure_m / slab.cable_m) *
                             (annulus_nusselt(cable_k, side_k, slab.cable_m, slab.enclosure_m) - 1.0);
  // And between the upright sides: (Nu - 1) k / d, likewise.
  moving.between_sides_w_m2k =
      (layer_nusselt(looking[1].or_else(side_k), looking[0].or_else(side_k), slab.thickness_m, slab.height_m) - 1.0) *
      air_w_mk / slab.thickness_m;
  return moving;
}

/// Couplings to the radiant node, and where the surfaces' temperatures lie. Returns the node's temperature, K.
double settle_radiation(std::vector<RadiantFace>& faces) {
  double emitted = 0.0, emits = 0.0;
  for (const RadiantFace& face : faces) {
    const double all_w_k4 = face.area_m2 * face.emits_w_m2k4, square_k2 = face.t_k * face.t_k;
    emits += all_w_k4;
    emitted += all_w_k4 * square_k2 * square_k2;
  }
  double node_k = std::sqrt(std::sqrt(emitted / emits));
  for (int round = 0; round < AirSpaces::radiant_rounds; ++round) {
    double through = 0.0, into = 0.0;
    for (RadiantFace& face : faces) {
      const double surface_k = face.t_k + face.surface_share * (node_k - face.t_k);
      const double bare_w_m2k = face.emits_w_m2k4 * (surface_k * surface_k + node_k * node_k) * (surface_k + node_k);
      const double ahead = face.half_m2k_w * bare_w_m2k, part = 1.0 / (1.0 + ahead);
      face.surface_share = ahead * part;
      face.coupling_w_k = face.area_m2 * bare_w_m2k * part;
      through += face.coupling_w_k;
      into += face.coupling_w_k * face.t_k;
    }
    node_k = into / through;
  }
  return node_k;
}

}  // namespace

void AirSpaces::refresh_slab(std::size_t s, const Field& rise_k) {
  const AirSlab& slab = slabs_[s];
  const std::size_t groups = slab.last_group - slab.first_group, count = slab.last_face - slab.first_face;
  thread_local std::vector<RadiantFace> faces;  // kept between calls: no allocation after the first
  thread_local std::vector<double> of_group;
  faces.resize(count);
  of_group.resize(groups);
  for (std::size_t g = 0; g < groups; ++g) {
    const AirGroup& group = groups_[slab.first_group + g];
    of_group[g] = stefan_boltzmann_w_m2k4 / (1.0 / group.view + (1.0 - group.emissivity) / group.emissivity);
  }
  for (std::size_t n = 0; n < count; ++n) {
    const AirFace& face = faces_[slab.first_face + n];
    const double half_m2k_w =
        face.half_m /
        wall_.conductivity_w_mk(face.voxel, groups_[static_cast<std::size_t>(face.group)].normal, rise_k[face.voxel]);
    faces[n] = {datum_k + rise_k[face.voxel],
                half_m2k_w,
                face.area_m2,
                of_group[static_cast<std::size_t>(face.group) - slab.first_group],
                0.0,
                0.0};
  }
  const double node_k = settle_radiation(faces);

  std::fill(of_group.begin(), of_group.end(), 0.0);
  for (std::size_t n = 0; n < count; ++n) {
    const AirFace& face = faces_[slab.first_face + n];
    of_group[static_cast<std::size_t>(face.group) - slab.first_group] +=
        face.area_m2 * (faces[n].t_k + faces[n].surface_share * (node_k - faces[n].t_k));
  }
  const MovingAir air = moving_air(slab, &groups_[slab.first_group], of_group);
  for (std::size_t g = 0; g < groups; ++g) {
    const AirGroup& group = groups_[slab.first_group + g];
    of_group[g] = 2.0 * air.round_cable_w_k * (group.cable >= 0 ? 1.0 / air.cable_m2 : plume(group) / air.spread_m2);
    if (group.cable < 0 && group.normal == across(slab)) of_group[g] += 2.0 * air.between_sides_w_m2k;
  }
  std::size_t carrier = slab.first_face;
  double radiant_w_k = 0.0, convective_w_k = 0.0;  // carried
  for (std::size_t n = 0; n < count; ++n) {
    const AirFace& face = faces_[slab.first_face + n];
    if (face.voxel != faces_[carrier].voxel) {
      carrier = slab.first_face + n;
      radiant_w_k = convective_w_k = 0.0;
    } else {
      coupling_w_k_[0][slab.first_face + n] = coupling_w_k_[1][slab.first_face + n] = 0.0F;
    }
    radiant_w_k += faces[n].coupling_w_k;
    const double moving_w_m2k = of_group[static_cast<std::size_t>(face.group) - slab.first_group];
    if (moving_w_m2k > 0.0) convective_w_k += face.area_m2 * moving_w_m2k / (1.0 + faces[n].half_m2k_w * moving_w_m2k);
    coupling_w_k_[0][carrier] = static_cast<float>(radiant_w_k);
    coupling_w_k_[1][carrier] = static_cast<float>(convective_w_k);
  }
}

double AirSpaces::run_extra_w_mk(const AirRun& run, const Field& rise_k) const {
  double side_k[2], half_m2k_w[2];
  for (int n = 0; n < 2; ++n) {
    const float rise = rise_k[run.side[n]];
    side_k[n] = datum_k + rise;
    half_m2k_w[n] = run.half_m[n] / wall_.conductivity_w_mk(run.side[n], run.axis, rise);
  }
  const double d = run.length_m, slim = d / run.across_m, apart_k = side_k[0] - side_k[1];
  const double exchange =
      1.0 / run.emissivity[0] + 1.0 / run.emissivity[1] - 2.0 + 2.0 / (1.0 + std::sqrt(1.0 + slim * slim) - slim);
  const double air_w_mk = air_at(0.5 * (side_k[0] + side_k[1])).conductivity_w_mk;
  double first_k = side_k[0], last_k = side_k[1], extra_w_mk = 0.0;
  for (int round = 0; round < run_rounds; ++round) {
    extra_w_mk = radiant_film_w_m2k(first_k, last_k, 1.0) / exchange * d;
    if (run.axis != Axis::y) extra_w_mk += (layer_nusselt(first_k, last_k, d, run.height_m) - 1.0) * air_w_mk;
    const double flux_w_m2 = apart_k / (half_m2k_w[0] + d / (extra_w_mk + air_w_mk) + half_m2k_w[1]);
    first_k = side_k[0] - flux_w_m2 * half_m2k_w[0];
    last_k = side_k[1] + flux_w_m2 * half_m2k_w[1];
  }
  return extra_w_mk;
}

}  // namespace warmbay::sim
