// The cable's cross-section, factorised: conductors at 1, everything outside the outline at 0.

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "tests/standards/heat_balance.hpp"

namespace warmbay::tests {
namespace {

struct Disc {
  double u_m, v_m, radius_m;
  [[nodiscard]] bool holds(double u, double v) const { return std::hypot(u - u_m, v - v_m) < radius_m; }
};

double radius_m(double area_m2) {
  return std::sqrt(area_m2 / std::numbers::pi);
}

/// The middles of the loaded cores: beside each other in a flat cable, touching in a ring in a round one.
std::vector<Disc> loaded_cores(const sim::CableType& type) {
  std::vector<Disc> cores;
  const int n = type.loaded;
  const bool flat = type.width_m > 1.05 * type.thickness_m;
  const double ends_m = type.width_m - type.thickness_m, radius = 0.5 * type.core_m;
  const double pitch_m = n > 1 ? std::max(2.0 * radius, ends_m / (n - 1)) : 0.0;
  const double ring_m =
      n > 1 ? std::min(radius / std::sin(std::numbers::pi / n), std::max(0.0, 0.5 * type.thickness_m - radius)) : 0.0;
  for (int c = 0; c < n; ++c) {
    const double angle = 2.0 * std::numbers::pi * c / n;
    if (flat)
      cores.push_back({pitch_m * (c - 0.5 * (n - 1)), 0.0, radius});
    else
      cores.push_back({ring_m * std::cos(angle), ring_m * std::sin(angle), radius});
  }
  return cores;
}

/// Conductivity of the cross-section at a point: 0 outside, negative in a loaded conductor.
double section_w_mk(const sim::CableType& type, const std::vector<Disc>& cores, double u, double v) {
  const double end_m = 0.5 * (type.width_m - type.thickness_m), beyond_m = std::max(0.0, std::abs(u) - end_m);
  if (std::hypot(beyond_m, v) > 0.5 * type.thickness_m) return 0.0;
  const double sheath_w_mk = type.sheath.conductivity_w_mk.at(type.rated_k);
  for (const Disc& core : cores)
    if (Disc{core.u_m, core.v_m, radius_m(type.conductor_m2)}.holds(u, v)) return -1.0;
  for (const Disc& core : cores)
    if (core.holds(u, v)) return type.insulation.conductivity_w_mk.at(type.rated_k);
  const bool flat = type.width_m > 1.05 * type.thickness_m;
  // Metal beside plastic is at one temperature; sim/cross_section.cpp says 'a hundred times the plastic'.
  if (flat && std::hypot(u, v) < radius_m(type.earth_m2)) return 100.0 * sheath_w_mk;
  return sheath_w_mk;
}

}  // namespace

double direct_coupling_w_mk(const sim::CableType& type, int cells) {
  const double cell_m = type.width_m / cells;
  const int rows = static_cast<int>(std::ceil(type.thickness_m / cell_m));
  const std::vector<Disc> cores = loaded_cores(type);
  const auto k_at = [&](int u, int v) {
    return section_w_mk(type, cores, (u + 0.5 - 0.5 * cells) * cell_m, (v + 0.5 - 0.5 * rows) * cell_m);
  };
  std::vector<Eigen::Triplet<double>> entries;
  Eigen::VectorXd heat = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(cells) * rows);
  for (int v = 0; v < rows; ++v)
    for (int u = 0; u < cells; ++u) {
      const double k = k_at(u, v);
      const int row = u + cells * v;
      if (k <= 0.0) entries.emplace_back(row, row, 1.0);
      for (const auto& [du, dv] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
        const double beside = k_at(u + du, v + dv);
        if (k <= 0.0) continue;
        const double g = beside > 0.0 ? 2.0 * k * beside / (k + beside) : 2.0 * k;  // a held cell is held at its face
        entries.emplace_back(row, row, g);
        if (beside > 0.0) entries.emplace_back(row, row + du + cells * dv, -g);
        if (beside < 0.0) heat[row] += g;
      }
    }
  Eigen::SparseMatrix<double> matrix(heat.size(), heat.size());
  matrix.setFromTriplets(entries.begin(), entries.end());
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factors(matrix);
  const Eigen::VectorXd t = factors.solve(heat);
  // What the conductors give is g (1 - t) over the cells that touch them; heat holds each such cell's sum of g.
  return heat.sum() - heat.dot(t);
}

}  // namespace warmbay::tests
