#pragma once
// Where a wall meets its surroundings: which faces those are, the films on them, and the heat through them.
//
// A face conducts G = A / (D/2k + 1/h), from the middle of its voxel through the half voxel and the film h. Films that
// follow the surface's own temperature come from tables (sim/film_table.hpp).

#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "sim/crew.hpp"
#include "sim/field.hpp"
#include "sim/film_table.hpp"
#include "sim/material_map.hpp"

namespace warmbay::sim {

/// By axis: conductance of the face from a voxel to its neighbour along +axis, W/K, as a padded field.
using FaceConductances = std::array<Field, 3>;

/// A face between a voxel of the wall and surroundings.
struct SurfaceFace {
  std::uint32_t solid;    // padded index of the wall's voxel
  std::uint32_t outside;  // and of the surroundings' voxel or ghost
  std::uint32_t face;     // index into the conductances of its axis
  Axis axis;
  std::int16_t surroundings;
  std::int32_t film;  // index into the film tables; -1: film_w_m2k does not vary
  float area_m2;
  float half_m;      // from the voxel's centre to the surface
  float film_w_m2k;  // now; infinite for a held surface
};

class Surfaces {
 public:
  Surfaces(const MaterialMap& map, Crew& crew);

  /// In the order of their voxels.
  [[nodiscard]] const std::vector<SurfaceFace>& faces() const { return faces_; }
  [[nodiscard]] const std::vector<FilmTable>& film_tables() const { return film_tables_; }
  /// The surroundings' temperatures now, K; one per Wall::surroundings.
  [[nodiscard]] const std::vector<double>& surroundings_k() const { return surroundings_k_; }

  /// Sets the surroundings' temperatures in the field's ghosts and outside voxels.
  void set_surroundings(const std::vector<double>& temperature_k, Field& rise_k);
  /// Brings films and conductances up to date where a surface's voxel has moved by more than limits::surface_change_k;
  /// all: everywhere. rise_k: the whole padded field.
  void refresh(const Field& rise_k, bool all, FaceConductances& conductance);
  void set_film(std::size_t surface, float film_w_m2k) { faces_[surface].film_w_m2k = film_w_m2k; }

  /// Film coefficient, W/(m2 K), at a surface that touches an outside voxel or ghost; 0 when none does.
  [[nodiscard]] double film_beside_w_m2k(std::size_t outside_voxel) const;

  /// Heat from the wall into the surroundings of one surface, W. rise_k: padded, single or double precision.
  template <class Temperatures>
  [[nodiscard]] static double leaving_by_w(const SurfaceFace& face, const FaceConductances& conductance,
                                           const Temperatures& rise_k) {
    const double w_k = conductance[static_cast<std::size_t>(face.axis)][face.face];
    return w_k * (static_cast<double>(rise_k[face.solid]) - rise_k[face.outside]);
  }
  /// Surface temperature of a face, K above the datum: where the half voxel and the film share one flow.
  template <class Temperatures>
  [[nodiscard]] static double surface_rise(const SurfaceFace& face, const FaceConductances& conductance,
                                           const Temperatures& rise_k) {
    const double outside_k = rise_k[face.outside];
    if (std::isinf(face.film_w_m2k)) return outside_k;
    return outside_k + leaving_by_w(face, conductance, rise_k) / (static_cast<double>(face.film_w_m2k) * face.area_m2);
  }
  /// Calls work(share, face) for every surface, shared out among the crew; within a share one after the other. How
  /// many shares there are does not depend on the number of threads, so that sums by share do not, either.
  static constexpr int shares = 16;
  template <class Work>
  void each(const Work& work) const {
    crew_.each(shares, [&](int share) {
      const std::size_t from = faces_.size() * share / shares, to = faces_.size() * (share + 1) / shares;
      for (std::size_t n = from; n < to; ++n) work(static_cast<std::size_t>(share), faces_[n]);
    });
  }
  /// Heat from the wall into all surroundings together, W; for every step, so shared out among the crew.
  [[nodiscard]] double leaving_w(const FaceConductances& conductance, const Field& rise_k) const;

  /// Per surface: its voxel's temperature when its film was taken, K above the datum; NaN: it is looked at again.
  [[nodiscard]] const std::vector<float>& taken_k() const { return taken_k_; }
  /// The way back for what taken_k() and the faces' films were, one each per surface; empty: left alone.
  void restore(const std::vector<float>& taken_k, const std::vector<float>& films_w_m2k);

 private:
  void find();
  void add(std::array<int, 3> ijk, Axis normal, bool towards_positive);
  int film_for(int surroundings, Facing facing, double length_m, double emissivity);
  [[nodiscard]] double natural_length_m(std::array<int, 3> ijk, Axis normal, bool towards_positive) const;
  [[nodiscard]] double run_length_m(std::array<int, 3> ijk, Axis normal, bool towards_positive, Axis along) const;
  [[nodiscard]] const SurfaceFace* find_face(std::size_t solid, std::size_t outside) const;

  const MaterialMap& map_;
  Crew& crew_;
  std::vector<SurfaceFace> faces_;
  std::vector<float> taken_k_;
  std::vector<FilmTable> film_tables_;
  std::vector<double> surroundings_k_;
};

}  // namespace warmbay::sim
