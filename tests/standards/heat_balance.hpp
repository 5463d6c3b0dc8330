#pragma once
// A wall's heat balance, assembled from its description (sim::Wall) apart from the solver's own code: what independent
// general-purpose libraries solve in the tests, steady (Eigen) and in time (SUNDIALS CVODE).
//
// The unknowns are the wall's own voxels in the grid's order, then the nodes of its cables' copper; temperatures are K
// above sim::datum_k. What it covers: any materials, conductivities that vary, voxels cut away, films that are given or
// held, natural films on upright outer faces, straight cables, air spaces along x (tests/standards/air_enclosure;
// steady only: their surfaces are unknowns without heat capacity, after all others). What it does not: damage.

#include <Eigen/SparseCore>
#include <array>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::tests {

/// Conductance of a cable's cross-section from its conductors to the sheath's surface, W/(m K): sim/cross_section.hpp's
/// problem on a square grid of `cells` cells along the long side, factorised by Eigen.
[[nodiscard]] double direct_coupling_w_mk(const sim::CableType& type, int cells);

/// Natural film on an upright surface, W/(m2 K). Churchill & Chu (1975) with air from Incropera, table A.4 (from
/// memory), and radiation. surface_k, around_k: K; height_m: of the surface.
[[nodiscard]] double upright_film_w_m2k(double surface_k, double around_k, double height_m, double emissivity);

class HeatBalance {
 public:
  /// Throws std::invalid_argument for a wall that it does not cover. The wall must outlive it.
  explicit HeatBalance(const sim::Wall& wall);

  using Vector = Eigen::VectorXd;
  using Matrix = Eigen::SparseMatrix<double>;

  [[nodiscard]] Eigen::Index unknowns() const { return capacity_j_k_.size(); }
  [[nodiscard]] const Vector& capacity_j_k() const { return capacity_j_k_; }
  /// Unknown of a voxel, or -1 where it is cut away.
  [[nodiscard]] const std::vector<int>& unknown_of_voxel() const { return unknown_of_voxel_; }
  /// First node of a cable's copper; the others follow along the route.
  [[nodiscard]] int first_node(int cable) const { return first_node_[static_cast<std::size_t>(cable)]; }
  [[nodiscard]] int nodes(int cable) const { return nodes_[static_cast<std::size_t>(cable)]; }
  /// Whether conductivities or films change with temperature.
  [[nodiscard]] bool varies() const { return varies_; }

  /// Heat flowing into every unknown, W, current_a in every loaded conductor.
  void flow_w(const double* rise_k, double current_a, double* flow) const;
  /// Conductances at the temperatures (symmetric), W/K, less the slope of the copper's own heat: -d flow / d rise but
  /// for what the conductivities and films change.
  [[nodiscard]] Matrix matrix(const double* rise_k, double current_a) const;
  /// The steady temperatures: a sparse direct solve, repeated until heat, conductivities and films no longer move them.
  [[nodiscard]] Vector settle(double current_a) const;

 private:
  struct Face {
    int a, b, axis;
    double area_m2, half_a_m, half_b_m;
    double fixed_w_k;  // 0: varies
  };
  struct Surface {
    int solid, axis, surroundings;
    double area_m2, half_m, height_m;
  };
  struct Link {
    int a, b;
    double w_k;
  };
  struct Source {
    int node;
    double ohm_20, ohm_per_k;  // of all loaded conductors of its stretch in series
  };
  struct Exchange {  // by radiation: w_k4 (Ta^4 - Tb^4)
    int a, b;
    double w_k4;
  };
  struct AirSurface {
    int unknown;  // of the surface; of the voxel where that is a cable's
    bool of_cable;
    std::array<int, 3> air;  // the voxel of air before it
    int axis, way;           // where it lies from there
    double area_m2, half_m;  // of its voxel
  };
  struct MovingAir {  // between two upright surfaces that look at each other
    int a, b;
    double area_m2, thickness_m, height_m;
  };
  struct Stuff {  // of a voxel
    const sim::Curve* conductivity_w_mk = nullptr;
    double fixed_w_mk = 0.0, along_w_mk = 0.0;  // of a sheath: across the cable and along it
    int along = -1;
    bool air = false;
    double emissivity = 0.9;
  };

  void lay_out_cable(int cable);
  void find_faces();
  bool find_air_face(const std::array<int, 3>& here, const std::array<int, 3>& there, const Face& face);
  void find_air();
  void add_enclosure(const std::vector<AirSurface>& around, double length_m);
  void add_moving_air(const std::vector<AirSurface>& around);
  [[nodiscard]] static double radiated_w_k(const Exchange& pair, const double* rise_k);
  [[nodiscard]] double moving_w_k(const MovingAir& air, const double* rise_k) const;
  void find_face(const std::array<int, 3>& here, int axis, int way);
  [[nodiscard]] double conductivity_w_mk(int solid, int axis, double rise_k) const;
  [[nodiscard]] double face_w_k(const Face& face, const double* rise_k) const;
  [[nodiscard]] double surface_w_k(const Surface& surface, const double* rise_k) const;
  [[nodiscard]] double width_m(int axis, int n) const;

  const sim::Wall& wall_;
  bool varies_ = false;
  std::vector<int> unknown_of_voxel_, first_node_, nodes_;
  std::vector<Stuff> stuff_;  // per unknown that is a voxel
  std::vector<double> capacities_;
  Vector capacity_j_k_;
  std::vector<Face> faces_;
  std::vector<Surface> surfaces_;
  std::vector<Link> links_;
  std::vector<Exchange> exchanges_;
  std::vector<MovingAir> moving_;
  std::vector<AirSurface> air_surfaces_;
  std::vector<Source> sources_;
};

}  // namespace warmbay::tests
