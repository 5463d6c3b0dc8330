// Finds a wall's surfaces and keeps their films up to date.

#include "sim/surfaces.hpp"

#include <algorithm>
#include <cassert>
#include <limits>
#include <numeric>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

constexpr float look_again = std::numeric_limits<float>::quiet_NaN();

}  // namespace

Surfaces::Surfaces(const MaterialMap& map, Crew& crew)
    : map_(map), crew_(crew), surroundings_k_(map.wall().surroundings.size(), 0.0) {
  find();
}

void Surfaces::find() {
  const Layout& layout = map_.layout();
  for (int k = 0; k < layout.nz; ++k)
    for (int j = 0; j < layout.ny; ++j)
      for (int i = 0; i < layout.nx; ++i) {
        if (!map_.is_solid(layout.at(i, j, k))) continue;
        for (int axis = 0; axis < 3; ++axis)
          for (const bool positive : {false, true}) add({i, j, k}, static_cast<Axis>(axis), positive);
      }
  faces_.shrink_to_fit();
  taken_k_.assign(faces_.size(), look_again);
}

void Surfaces::add(std::array<int, 3> ijk, Axis normal, bool towards_positive) {
  const std::size_t solid = map_.layout().at(ijk[0], ijk[1], ijk[2]);
  const std::ptrdiff_t stride = map_.layout().stride(normal);
  const std::size_t outside = towards_positive ? solid + stride : solid - stride;
  const int s = map_.outside_index(outside);
  if (map_.is_solid(outside) || s < 0) return;
  SurfaceFace face{static_cast<std::uint32_t>(solid),
                   static_cast<std::uint32_t>(outside),
                   static_cast<std::uint32_t>(towards_positive ? solid : outside),
                   normal,
                   static_cast<std::int16_t>(s),
                   -1,
                   static_cast<float>(map_.grid().face_m2(normal, ijk)),
                   static_cast<float>(0.5 * map_.grid().width_m(normal, ijk[index_of(normal)])),
                   std::numeric_limits<float>::infinity()};
  const Surroundings& around = map_.wall().surroundings[static_cast<std::size_t>(s)];
  if (around.film == Film::given) face.film_w_m2k = static_cast<float>(around.film_w_m2k);
  if (around.film == Film::natural) {
    const Facing facing = normal != Axis::y ? Facing::sideways : towards_positive ? Facing::up : Facing::down;
    face.film = film_for(s, facing, natural_length_m(ijk, normal, towards_positive), map_.emissivity(solid));
    face.film_w_m2k = 8.0F;  // until the first refresh
  }
  faces_.push_back(face);
}

/// The length that buoyant convection goes by: an upright surface's height, a horizontal one's area over its perimeter.
double Surfaces::natural_length_m(std::array<int, 3> ijk, Axis normal, bool towards_positive) const {
  if (normal != Axis::y) return run_length_m(ijk, normal, towards_positive, Axis::y);
  const double x_m = run_length_m(ijk, normal, towards_positive, Axis::x);
  const double z_m = run_length_m(ijk, normal, towards_positive, Axis::z);
  return x_m * z_m / (2.0 * (x_m + z_m));
}

/// How far the surface goes on along an axis without an edge.
double Surfaces::run_length_m(std::array<int, 3> ijk, Axis normal, bool towards_positive, Axis along) const {
  const Layout& layout = map_.layout();
  const std::vector<double>& edges = map_.grid().edges_m(along);
  const int d = index_of(along);
  const int n = static_cast<int>(edges.size()) - 1;
  const std::ptrdiff_t outward = towards_positive ? layout.stride(normal) : -layout.stride(normal);
  auto faces_out = [&](int c) {
    std::array<int, 3> at = ijk;
    at[d] = c;
    const std::size_t voxel = layout.at(at[0], at[1], at[2]);
    return map_.is_solid(voxel) && !map_.is_solid(voxel + outward);
  };
  int low = ijk[d], high = ijk[d];
  while (low > 0 && faces_out(low - 1)) --low;
  while (high + 1 < n && faces_out(high + 1)) ++high;
  return edges[static_cast<std::size_t>(high) + 1] - edges[static_cast<std::size_t>(low)];
}

int Surfaces::film_for(int surroundings, Facing facing, double length_m, double emissivity) {
  for (std::size_t t = 0; t < film_tables_.size(); ++t)
    if (film_tables_[t].fits(surroundings, facing, length_m, emissivity)) return static_cast<int>(t);
  const double times = map_.wall().surroundings[static_cast<std::size_t>(surroundings)].natural_times;
  film_tables_.emplace_back(surroundings, facing, length_m, emissivity, times);
  return static_cast<int>(film_tables_.size()) - 1;
}

void Surfaces::set_surroundings(const std::vector<double>& temperature_k, Field& rise_k) {
  assert(temperature_k.size() == surroundings_k_.size());
  for (FilmTable& table : film_tables_) {
    const double air_k = temperature_k[static_cast<std::size_t>(table.surroundings())];
    if (air_k != surroundings_k_[static_cast<std::size_t>(table.surroundings())]) table.tabulate(air_k);
  }
  if (surroundings_k_ != temperature_k) std::fill(taken_k_.begin(), taken_k_.end(), look_again);
  surroundings_k_ = temperature_k;
  for (std::size_t v = 0; v < map_.layout().size; ++v)
    if (const int s = map_.outside_index(v); s >= 0)
      rise_k[v] = static_cast<float>(temperature_k[static_cast<std::size_t>(s)] - datum_k);
}

void Surfaces::refresh(const Field& rise_k, bool all, FaceConductances& conductance) {
  crew_.run([&](int part, int parts) {
    const std::size_t from = faces_.size() * part / parts, to = faces_.size() * (part + 1) / parts;
    for (std::size_t n = from; n < to; ++n) {
      SurfaceFace& face = faces_[n];
      float& g = conductance[static_cast<std::size_t>(face.axis)][face.face];
      const bool kept = std::abs(rise_k[face.solid] - taken_k_[n]) <= limits::surface_change_k;
      if (kept && g != 0.0F && !all) continue;  // 0: its row has been refreshed
      taken_k_[n] = rise_k[face.solid];
      const float half_m2k_w = face.half_m * 2.0F * map_.half_resistivity(face.solid, rise_k[face.solid]);
      if (face.film >= 0) {
        const float drop_k = rise_k[face.solid] - rise_k[face.outside];
        const float surface_k = drop_k / (1.0F + half_m2k_w * face.film_w_m2k);  // above the surroundings
        face.film_w_m2k = film_tables_[static_cast<std::size_t>(face.film)].at(surface_k);
      }
      g = face.area_m2 / (half_m2k_w + 1.0F / face.film_w_m2k);
    }
  });
}

void Surfaces::restore(const std::vector<float>& taken_k, const std::vector<float>& films_w_m2k) {
  if (taken_k.size() == faces_.size()) taken_k_ = taken_k;
  for (std::size_t n = 0; n < films_w_m2k.size(); ++n) faces_[n].film_w_m2k = films_w_m2k[n];
}

double Surfaces::film_beside_w_m2k(std::size_t outside_voxel) const {
  const Layout& layout = map_.layout();
  for (const Axis axis : {Axis::x, Axis::y, Axis::z})
    for (const bool positive : {false, true}) {  // the wall lies on the outside voxel's negative or positive side
      const std::ptrdiff_t stride = layout.stride(axis);
      const std::ptrdiff_t solid = static_cast<std::ptrdiff_t>(outside_voxel) + (positive ? stride : -stride);
      if (solid < 0 || solid >= static_cast<std::ptrdiff_t>(layout.size) ||
          !map_.is_solid(static_cast<std::size_t>(solid)))
        continue;
      const SurfaceFace* face = find_face(static_cast<std::size_t>(solid), outside_voxel);
      if (face) return face->film_w_m2k;
    }
  return 0.0;
}

const SurfaceFace* Surfaces::find_face(std::size_t solid, std::size_t outside) const {
  const auto from = std::lower_bound(faces_.begin(), faces_.end(), solid,
                                     [](const SurfaceFace& face, std::size_t voxel) { return face.solid < voxel; });
  for (auto face = from; face != faces_.end() && face->solid == solid; ++face)
    if (face->outside == outside) return &*face;
  return nullptr;
}

double Surfaces::leaving_w(const FaceConductances& conductance, const Field& rise_k) const {
  std::array<double, shares> of_share{};
  each([&](std::size_t share, const SurfaceFace& face) { of_share[share] += leaving_by_w(face, conductance, rise_k); });
  return std::accumulate(of_share.begin(), of_share.end(), 0.0);
}

}  // namespace warmbay::sim
