// Thermal resistance between a cable's conductors and its sheath's surface: div(k grad T) = 0 on a square grid laid over
// the cross-section, conductors held at 1, everything outside at 0, by successive over-relaxation. Limits: the space
// between the cores counts as sheath; a paper or powder filling is not known to it.

#include "sim/cross_section.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

using std::numbers::pi;

struct Spot {
  double u_m, v_m;
};

double diameter_m(double area_m2) { return std::sqrt(4.0 * area_m2 / pi); }

bool is_flat(const CableType& type) { return type.width_m > 1.05 * type.thickness_m; }

std::vector<Spot> core_centres(const CableType& type) {
  std::vector<Spot> centres;
  const int n = type.loaded;
  if (is_flat(type)) {
    const double room_m = type.width_m - type.thickness_m;  // between the centres of the round ends
    const double pitch_m = n < 2 ? 0.0 : std::max(type.core_m, room_m / (n - 1));
    for (int c = 0; c < n; ++c) centres.push_back({(c - 0.5 * (n - 1)) * pitch_m, 0.0});
    return centres;
  }
  const double room_m = std::max(0.0, 0.5 * (type.thickness_m - type.core_m));
  const double ring_m = n < 2 ? 0.0 : std::min(room_m, 0.5 * type.core_m / std::sin(pi / n));
  for (int c = 0; c < n; ++c) centres.push_back({ring_m * std::cos(2 * pi * c / n), ring_m * std::sin(2 * pi * c / n)});
  return centres;
}

enum class Part : unsigned char { outside, copper, insulation, sheath, earth };

class Section {
 public:
  explicit Section(const CableType& type) : h_m_(type.width_m / limits::cross_section_cells) {
    nu_ = limits::cross_section_cells + 2;
    nv_ = static_cast<int>(std::ceil(type.thickness_m / h_m_)) + 2;
    part_.resize(static_cast<std::size_t>(nu_) * nv_);
    const std::vector<Spot> cores = core_centres(type);
    const double copper_m = 0.5 * diameter_m(type.conductor_m2), core_m = 0.5 * type.core_m;
    const double earth_m = is_flat(type) ? 0.5 * diameter_m(type.earth_m2) : 0.0;
    for (int v = 0; v < nv_; ++v)
      for (int u = 0; u < nu_; ++u) {
        const double u_m = (u + 0.5 - 0.5 * nu_) * h_m_, v_m = (v + 0.5 - 0.5 * nv_) * h_m_;
        Part& part = part_[at(u, v)];
        part = inside_outline(type, u_m, v_m) ? Part::sheath : Part::outside;
        if (part == Part::outside) continue;
        if (std::hypot(u_m, v_m) < earth_m) part = Part::earth;
        for (const Spot& core : cores) {
          const double away_m = std::hypot(u_m - core.u_m, v_m - core.v_m);
          if (away_m < copper_m) part = Part::copper;
          else if (away_m < core_m && part != Part::copper) part = Part::insulation;
        }
      }
  }

  /// Heat per metre and kelvin from the conductors to the outline, W/(m K).
  double conductance(double insulation_w_mk, double sheath_w_mk) const {
    // Copper beside plastic has one temperature whatever its conductivity: a hundred times the plastics' is enough for
    // the earth conductor and keeps the iteration quick.
    const double k[] = {0.0, 0.0, insulation_w_mk, sheath_w_mk, 100.0 * sheath_w_mk};
    std::vector<double> t(part_.size(), 0.0);
    for (std::size_t c = 0; c < t.size(); ++c) t[c] = part_[c] == Part::copper ? 1.0 : 0.0;
    auto face = [&](std::size_t a, std::size_t b) {  // per metre of depth, square cells
      const double ka = k[static_cast<int>(part_[a])], kb = k[static_cast<int>(part_[b])];
      if (ka == 0.0 && kb == 0.0) return 0.0;
      if (ka == 0.0 || kb == 0.0) return 2.0 * std::max(ka, kb);
      return 2.0 * ka * kb / (ka + kb);
    };
    const double over = 2.0 / (1.0 + pi / std::max(nu_, nv_));
    const std::ptrdiff_t steps[] = {1, -1, nu_, -nu_};
    for (int sweep = 0; sweep < 4000; ++sweep) {
      double moved = 0.0;
      for (int v = 1; v + 1 < nv_; ++v)
        for (int u = 1; u + 1 < nu_; ++u) {
          const std::size_t c = at(u, v);
          if (part_[c] == Part::outside || part_[c] == Part::copper) continue;
          double sum = 0.0, flow = 0.0;
          for (const std::ptrdiff_t s : steps) {
            const double g = face(c, c + s);
            sum += g;
            flow += g * t[c + s];
          }
          const double change = over * (flow / sum - t[c]);
          t[c] += change;
          moved = std::max(moved, std::abs(change));
        }
      if (moved < 1e-7) break;
    }
    double heat = 0.0;
    for (std::size_t c = 0; c < t.size(); ++c)
      if (part_[c] == Part::copper)
        for (const std::ptrdiff_t s : steps)
          if (part_[c + s] != Part::copper) heat += face(c, c + s) * (1.0 - t[c + s]);
    return heat;
  }

 private:
  std::size_t at(int u, int v) const { return static_cast<std::size_t>(v) * nu_ + u; }
  double h_m_;
  int nu_ = 0, nv_ = 0;
  std::vector<Part> part_;
};

}  // namespace

bool inside_outline(const CableType& type, double u_m, double v_m) {
  const double radius_m = 0.5 * type.thickness_m;
  const double straight_m = std::max(0.0, 0.5 * (type.width_m - type.thickness_m));
  return std::hypot(std::max(0.0, std::abs(u_m) - straight_m), v_m) <= radius_m;
}

double resistance_ohm_m(const CableType& type, double temperature_k) {
  return type.resistance_20_ohm_m + resistance_slope_ohm_mk(type) * (temperature_k - kelvin_from_celsius(20.0));
}

double resistance_slope_ohm_mk(const CableType& type) { return type.resistance_20_ohm_m * copper_alpha20_1_k; }

CrossSection cross_section(const CableType& type) {
  const double outline_m2 = pi / 4 * type.thickness_m * type.thickness_m +
                            (type.width_m - type.thickness_m) * type.thickness_m;
  const double cores_m2 = type.loaded * (pi / 4 * type.core_m * type.core_m - type.conductor_m2);
  const double copper_m2 = type.loaded * type.conductor_m2;
  const double sheath_m2 = std::max(0.0, outline_m2 - cores_m2 - copper_m2 - type.earth_m2);
  const double insulation_w_mk = type.insulation.conductivity_w_mk.at(type.rated_k);
  const double sheath_w_mk = type.sheath.conductivity_w_mk.at(type.rated_k);
  auto capacity = [](const Material& m) { return m.density_kg_m3 * m.heat_capacity_j_kgk; };
  CrossSection section{};
  section.coupling_w_mk = Section(type).conductance(insulation_w_mk, sheath_w_mk);
  section.copper_capacity_j_mk = copper_m2 * copper_capacity_j_m3k;
  section.copper_axial_w_m_k = copper_m2 * copper_conductivity_w_mk;
  section.sheath_capacity_j_mk = cores_m2 * capacity(type.insulation) + sheath_m2 * capacity(type.sheath) +
                                 type.earth_m2 * copper_capacity_j_m3k;
  section.sheath_axial_w_m_k = cores_m2 * insulation_w_mk + sheath_m2 * sheath_w_mk +
                               type.earth_m2 * copper_conductivity_w_mk;
  return section;
}

}  // namespace warmbay::sim
