// Finite volumes as sim/conduction.hpp documents them, and copper as sim/copper.hpp and sim/cross_section.hpp do, in
// double precision and as a list of faces: slow, and easy to check by eye.

#include "tests/standards/heat_balance.hpp"

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "sim/cross_section.hpp"
#include "sim/limits.hpp"

namespace warmbay::tests {
namespace {

/// A curve's value, straight between its points and constant beyond them.
double value_at(const sim::Curve& curve, double temperature_k) {
  const std::vector<double>& t = curve.temperature_k;
  if (t.size() == 1 || temperature_k <= t.front()) return curve.value.front();
  for (std::size_t n = 1; n < t.size(); ++n)
    if (temperature_k <= t[n])
      return curve.value[n - 1] +
             (curve.value[n] - curve.value[n - 1]) * (temperature_k - t[n - 1]) / (t[n] - t[n - 1]);
  return curve.value.back();
}

/// Share of a rectangle of the cross-section that the outline (a rectangle with round ends) covers: chord by chord.
double covered_share(const sim::CableType& type, double u0, double u1, double v0, double v1) {
  constexpr int chords = 400;
  const double radius_m = 0.5 * type.thickness_m, end_m = 0.5 * (type.width_m - type.thickness_m);
  double sum_m = 0.0;
  for (int n = 0; n < chords; ++n) {
    const double v = v0 + (n + 0.5) / chords * (v1 - v0);
    if (std::abs(v) >= radius_m) continue;
    const double half_m = end_m + std::sqrt(radius_m * radius_m - v * v);
    sum_m += std::max(0.0, std::min(u1, half_m) - std::max(u0, -half_m));
  }
  return sum_m / chords / (u1 - u0);
}

const sim::Surroundings& of(const sim::Wall& wall, int surroundings) {
  return wall.surroundings[static_cast<std::size_t>(surroundings)];
}

}  // namespace

double upright_film_w_m2k(double surface_k, double around_k, double height_m, double emissivity) {
  constexpr double t_k[] = {250.0, 300.0, 350.0, 400.0, 450.0},
                   nu_m2_s[] = {11.44e-6, 15.89e-6, 20.92e-6, 26.41e-6, 32.39e-6};
  constexpr double k_w_mk[] = {22.3e-3, 26.3e-3, 30.0e-3, 33.8e-3, 37.3e-3},
                   prandtl[] = {0.720, 0.707, 0.700, 0.690, 0.686};
  const double film_k = 0.5 * (surface_k + around_k);
  int n = 0;
  while (n < 3 && film_k > t_k[n + 1]) ++n;
  const double share = (film_k - t_k[n]) / (t_k[n + 1] - t_k[n]);
  const auto between = [&](const double* of_air) { return of_air[n] + share * (of_air[n + 1] - of_air[n]); };
  const double nu = between(nu_m2_s), k = between(k_w_mk), pr = between(prandtl);
  const double rayleigh = 9.80665 / film_k * std::abs(surface_k - around_k) * std::pow(height_m, 3) / (nu * nu) * pr;
  const double root =
      0.825 + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / std::pow(1.0 + std::pow(0.492 / pr, 9.0 / 16.0), 8.0 / 27.0);
  constexpr double sigma_w_m2k4 = 5.670374419e-8;  // CODATA 2018
  return root * root * k / height_m +
         emissivity * sigma_w_m2k4 * (surface_k * surface_k + around_k * around_k) * (surface_k + around_k);
}

HeatBalance::HeatBalance(const sim::Wall& wall) : wall_(wall), unknown_of_voxel_(wall.voxels.size(), -1) {
  const sim::Grid& grid = wall.grid;
  for (std::size_t voxel = 0; voxel < wall.voxels.size(); ++voxel) {
    if (wall.voxels[voxel].outside) continue;
    const sim::Material& material = wall.materials[wall.voxels[voxel].index];
    unknown_of_voxel_[voxel] = static_cast<int>(stuff_.size());
    stuff_.push_back({&material.conductivity_w_mk, 0.0, 0.0, -1, material.air_space, material.emissivity});
    varies_ = varies_ || !material.conductivity_w_mk.constant();
    const std::size_t i = voxel % grid.nx(), j = voxel / grid.nx() % grid.ny(), k = voxel / grid.nx() / grid.ny();
    capacities_.push_back(material.density_kg_m3 * material.heat_capacity_j_kgk * width_m(0, static_cast<int>(i)) *
                          width_m(1, static_cast<int>(j)) * width_m(2, static_cast<int>(k)));
  }
  for (std::size_t cable = 0; cable < wall.cables.size(); ++cable) lay_out_cable(static_cast<int>(cable));
  find_faces();
  find_air();
  const std::vector<double> anywhere(capacities_.size(), 0.0);
  const auto fixed = [&](int unknown) {
    const auto n = static_cast<std::size_t>(unknown);
    return n >= stuff_.size() || !stuff_[n].conductivity_w_mk || stuff_[n].conductivity_w_mk->constant();
  };
  for (Face& face : faces_)
    if (fixed(face.a) && fixed(face.b)) face.fixed_w_k = face_w_k(face, anywhere.data());
  capacity_j_k_ = Eigen::Map<const Vector>(capacities_.data(), static_cast<Eigen::Index>(capacities_.size()));
}

double HeatBalance::width_m(int axis, int n) const {
  const std::vector<double>& edges = wall_.grid.edges_m(static_cast<sim::Axis>(axis));
  return edges[static_cast<std::size_t>(n) + 1] - edges[static_cast<std::size_t>(n)];
}

/// Turns the voxels that the outline covers by more than half into sheath and hangs a line of copper nodes, one for
/// every slab that the route crosses, on them.
void HeatBalance::lay_out_cable(int index) {
  const sim::Cable& cable = wall_.cables[static_cast<std::size_t>(index)];
  if (cable.route_m.size() != 2) throw std::invalid_argument("a cable with corners");
  const sim::CrossSection section = sim::cross_section(cable.type);
  const double coupling_w_mk = direct_coupling_w_mk(cable.type, sim::limits::cross_section_cells);
  int d = 0;
  while (cable.route_m[0][d] == cable.route_m[1][d]) ++d;
  const int v = sim::index_of(cable.flat[0]), u = 3 - d - v;
  const auto& us = wall_.grid.edges_m(static_cast<sim::Axis>(u));
  const auto& vs = wall_.grid.edges_m(static_cast<sim::Axis>(v));
  const auto& ds = wall_.grid.edges_m(static_cast<sim::Axis>(d));
  struct Cell {
    int u, v;
    double area_m2;
  };
  std::vector<Cell> cells;
  double area_m2 = 0.0;
  for (int b = 0; b + 1 < static_cast<int>(vs.size()); ++b)
    for (int a = 0; a + 1 < static_cast<int>(us.size()); ++a) {
      const double u_m = cable.route_m[0][u], v_m = cable.route_m[0][v];
      if (covered_share(cable.type, us[a] - u_m, us[a + 1] - u_m, vs[b] - v_m, vs[b + 1] - v_m) <= 0.5) continue;
      cells.push_back({a, b, (us[a + 1] - us[a]) * (vs[b + 1] - vs[b])});
      area_m2 += cells.back().area_m2;
    }
  if (cells.empty()) throw std::invalid_argument("a cable thinner than a voxel");
  const double low_m = std::min(cable.route_m[0][d], cable.route_m[1][d]);
  const double high_m = std::max(cable.route_m[0][d], cable.route_m[1][d]);
  const bool rising = cable.route_m[1][d] > cable.route_m[0][d];
  const int slabs = static_cast<int>(ds.size()) - 1;
  first_node_.push_back(static_cast<int>(capacities_.size()));
  double length_before_m = 0.0;
  for (int n = 0; n < slabs; ++n) {
    const int slab = rising ? n : slabs - 1 - n;
    const double length_m = std::min(high_m, ds[slab + 1]) - std::max(low_m, ds[slab]);
    if (length_m < 1e-7) continue;
    const int node = static_cast<int>(capacities_.size());
    capacities_.push_back(section.copper_capacity_j_mk * length_m);
    const double ohm = cable.type.loaded * cable.type.resistance_20_ohm_m * length_m;
    sources_.push_back({node, ohm, 0.00393 * ohm});  // IEC 60028
    if (length_before_m > 0.0)
      links_.push_back({node - 1, node, section.copper_axial_w_m_k / (0.5 * (length_before_m + length_m))});
    length_before_m = length_m;
    const bool sheath_here = 0.5 * (ds[slab] + ds[slab + 1]) > low_m && 0.5 * (ds[slab] + ds[slab + 1]) < high_m;
    for (const Cell& cell : cells) {
      std::array<int, 3> at{};
      at[d] = slab, at[u] = cell.u, at[v] = cell.v;
      const int solid = unknown_of_voxel_[wall_.grid.at(at[0], at[1], at[2])];
      links_.push_back({solid, node, coupling_w_mk * length_m * cell.area_m2 / area_m2});
      if (!sheath_here) continue;
      stuff_[static_cast<std::size_t>(solid)] = {
          nullptr, sim::limits::sheath_spreading_w_mk, section.sheath_axial_w_m_k / area_m2, d,
          false,   cable.type.sheath.emissivity};
      capacities_[static_cast<std::size_t>(solid)] =
          section.sheath_capacity_j_mk * cell.area_m2 / area_m2 * (ds[slab + 1] - ds[slab]);
    }
  }
  nodes_.push_back(static_cast<int>(capacities_.size()) - first_node_.back());
}

void HeatBalance::find_faces() {
  const std::array<int, 3> counts{wall_.grid.nx(), wall_.grid.ny(), wall_.grid.nz()};
  for (int k = 0; k < counts[2]; ++k)
    for (int j = 0; j < counts[1]; ++j)
      for (int i = 0; i < counts[0]; ++i) {
        if (unknown_of_voxel_[wall_.grid.at(i, j, k)] < 0) continue;
        for (int axis = 0; axis < 3; ++axis)
          for (const int way : {-1, 1}) find_face({i, j, k}, axis, way);
      }
}

/// The face of a voxel along an axis: to another voxel (once, from its lower side) or to surroundings.
void HeatBalance::find_face(const std::array<int, 3>& here, int axis, int way) {
  const int a = (axis + 1) % 3, b = (axis + 2) % 3;
  const double area_m2 = width_m(a, here[a]) * width_m(b, here[b]), half_m = 0.5 * width_m(axis, here[axis]);
  const int solid = unknown_of_voxel_[wall_.grid.at(here[0], here[1], here[2])];
  std::array<int, 3> there = here;
  there[axis] += way;
  const int last = static_cast<int>(wall_.grid.edges_m(static_cast<sim::Axis>(axis)).size()) - 2;
  const bool beyond = there[axis] < 0 || there[axis] > last;
  int outside = -1;
  if (beyond) outside = wall_.faces[static_cast<std::size_t>(2 * axis + (way > 0 ? 1 : 0))];
  if (beyond && outside < 0) return;  // insulated
  if (!beyond) {
    const std::size_t voxel = wall_.grid.at(there[0], there[1], there[2]);
    const int other = unknown_of_voxel_[voxel];
    if (other >= 0) {
      const Face face{solid, other, axis, area_m2, half_m, 0.5 * width_m(axis, there[axis]), 0.0};
      if (way > 0 && !find_air_face(here, there, face)) faces_.push_back(face);
      return;
    }
    outside = wall_.voxels[voxel].index;
  }
  double height_m = 0.0;
  if (of(wall_, outside).film == sim::Film::natural) {
    if (!beyond || axis == 1) throw std::invalid_argument("a natural film that is not on an upright outer face");
    height_m = wall_.grid.y_m.back() - wall_.grid.y_m.front();
    varies_ = true;
  }
  surfaces_.push_back({solid, axis, outside, area_m2, half_m, height_m});
}

double HeatBalance::conductivity_w_mk(int solid, int axis, double rise_k) const {
  const Stuff& stuff = stuff_[static_cast<std::size_t>(solid)];
  if (stuff.conductivity_w_mk) return value_at(*stuff.conductivity_w_mk, sim::datum_k + rise_k);
  return axis == stuff.along ? stuff.along_w_mk : stuff.fixed_w_mk;
}

double HeatBalance::face_w_k(const Face& face, const double* rise_k) const {
  if (face.fixed_w_k > 0.0) return face.fixed_w_k;
  const auto half_m2k_w = [&](int unknown, double half_m) {  // a surface has no thickness
    return half_m > 0.0 ? half_m / conductivity_w_mk(unknown, face.axis, rise_k[unknown]) : 0.0;
  };
  return face.area_m2 / (half_m2k_w(face.a, face.half_a_m) + half_m2k_w(face.b, face.half_b_m));
}

double HeatBalance::surface_w_k(const Surface& surface, const double* rise_k) const {
  const sim::Surroundings& around = of(wall_, surface.surroundings);
  const double own_k = sim::datum_k + rise_k[surface.solid];
  // A sheath that ends in a surface spreads heat there as it does across itself.
  const double half_m2k_w = surface.half_m / conductivity_w_mk(surface.solid, -1, rise_k[surface.solid]);
  if (around.film == sim::Film::held) return surface.area_m2 / half_m2k_w;
  double film_w_m2k = around.film_w_m2k;
  if (around.film == sim::Film::natural) {
    const double emissivity = 0.9;  // the wall's own outermost materials, as sim::Material has it by default
    film_w_m2k = 8.0;
    for (int round = 0; round < 30; ++round) {
      const double surface_k = around.temperature_k + (own_k - around.temperature_k) / (1.0 + half_m2k_w * film_w_m2k);
      const double next = upright_film_w_m2k(surface_k, around.temperature_k, surface.height_m, emissivity);
      const bool done = std::abs(next - film_w_m2k) < 1e-9 * next;
      film_w_m2k = next;
      if (done) break;
    }
  }
  return surface.area_m2 / (half_m2k_w + 1.0 / film_w_m2k);
}

void HeatBalance::flow_w(const double* rise_k, double current_a, double* flow) const {
  std::fill(flow, flow + unknowns(), 0.0);
  const auto exchange = [&](int a, int b, double w_k) {
    const double w = w_k * (rise_k[b] - rise_k[a]);
    flow[a] += w;
    flow[b] -= w;
  };
  for (const Face& face : faces_) exchange(face.a, face.b, face_w_k(face, rise_k));
  for (const Link& link : links_) exchange(link.a, link.b, link.w_k);
  for (const Exchange& pair : exchanges_) exchange(pair.a, pair.b, radiated_w_k(pair, rise_k));
  for (const MovingAir& air : moving_) exchange(air.a, air.b, moving_w_k(air, rise_k));
  for (const Surface& surface : surfaces_)
    flow[surface.solid] += surface_w_k(surface, rise_k) *
                           (of(wall_, surface.surroundings).temperature_k - sim::datum_k - rise_k[surface.solid]);
  const double twenty_k = sim::kelvin_from_celsius(20.0) - sim::datum_k;
  for (const Source& source : sources_)
    flow[source.node] += current_a * current_a * (source.ohm_20 + source.ohm_per_k * (rise_k[source.node] - twenty_k));
}

HeatBalance::Matrix HeatBalance::matrix(const double* rise_k, double current_a) const {
  std::vector<Eigen::Triplet<double>> entries;
  entries.reserve(4 * (faces_.size() + links_.size()) + surfaces_.size() + sources_.size());
  const auto couple = [&](int a, int b, double w_k) {
    entries.emplace_back(a, a, w_k);
    entries.emplace_back(b, b, w_k);
    entries.emplace_back(a, b, -w_k);
    entries.emplace_back(b, a, -w_k);
  };
  for (const Face& face : faces_) couple(face.a, face.b, face_w_k(face, rise_k));
  for (const Link& link : links_) couple(link.a, link.b, link.w_k);
  for (const Exchange& pair : exchanges_) couple(pair.a, pair.b, radiated_w_k(pair, rise_k));
  for (const MovingAir& air : moving_) couple(air.a, air.b, moving_w_k(air, rise_k));
  for (const Surface& surface : surfaces_)
    entries.emplace_back(surface.solid, surface.solid, surface_w_k(surface, rise_k));
  for (const Source& source : sources_)
    entries.emplace_back(source.node, source.node, -current_a * current_a * source.ohm_per_k);
  Matrix made(unknowns(), unknowns());
  made.setFromTriplets(entries.begin(), entries.end());
  return made;
}

/// T + A(T)^-1 flow(T), from the datum on, until nothing moves by 1e-9 K.
HeatBalance::Vector HeatBalance::settle(double current_a) const {
  Vector rise_k = Vector::Zero(unknowns()), flow(unknowns());
  Eigen::SimplicialLDLT<Matrix> factors;
  for (int round = 0; round < 100; ++round) {
    if (round == 0 || varies_) {
      const Matrix now = matrix(rise_k.data(), current_a);
      if (round == 0) factors.analyzePattern(now);
      factors.factorize(now);
      if (factors.info() != Eigen::Success) throw std::runtime_error("the matrix cannot be factorised");
    }
    flow_w(rise_k.data(), current_a, flow.data());
    const Vector moved_k = factors.solve(flow);
    rise_k += moved_k;
    if (moved_k.lpNorm<Eigen::Infinity>() < 1e-9) return rise_k;
  }
  throw std::runtime_error("the wall did not settle by repeated direct solves");
}

}  // namespace warmbay::tests
