// Thermal resistance between a cable's conductors and its sheath's surface: div(k grad T) = 0 on a square grid laid
// over the cross-section, conductors held at 1, everything outside at 0, by conjugate gradients. Limits: the space
// between the cores counts as sheath; a paper or powder filling is not known to it.

#include "sim/cross_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <mutex>
#include <numbers>
#include <vector>

#include "sim/limits.hpp"

namespace warmbay::sim {
namespace {

using std::numbers::pi;

struct Spot {
  double u_m, v_m;
};

double diameter_m(double area_m2) {
  return std::sqrt(4.0 * area_m2 / pi);
}

bool is_flat(const CableType& type) {
  return type.width_m > 1.05 * type.thickness_m;
}

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
          if (away_m < copper_m)
            part = Part::copper;
          else if (away_m < core_m && part != Part::copper)
            part = Part::insulation;
        }
      }
  }

  /// Heat per metre and kelvin from the conductors to the outline, W/(m K).
  double conductance(double insulation_w_mk, double sheath_w_mk) const {
    // Copper beside plastic has one temperature whatever its conductivity: a hundred times the plastics' is enough for
    // the earth conductor and keeps the iteration quick.
    const double k[] = {0.0, 0.0, insulation_w_mk, sheath_w_mk, 100.0 * sheath_w_mk};
    const std::size_t n = part_.size();
    const std::ptrdiff_t steps[] = {1, nu_};
    std::vector<double> t(n, 0.0), face[2] = {std::vector<double>(n, 0.0), std::vector<double>(n, 0.0)};
    std::vector<double> sum(n, 0.0);
    for (std::size_t c = 0; c < n; ++c) {
      t[c] = part_[c] == Part::copper ? 1.0 : 0.0;
      for (int d = 0; d < 2; ++d) {
        if (c + steps[d] >= n) continue;
        const double ka = k[static_cast<int>(part_[c])], kb = k[static_cast<int>(part_[c + steps[d]])];
        face[d][c] = ka == 0.0 || kb == 0.0 ? 2.0 * std::max(ka, kb) : 2.0 * ka * kb / (ka + kb);
        sum[c] += face[d][c];
        sum[c + steps[d]] += face[d][c];
      }
    }
    // Heat flowing into every free cell at t; conjugate gradients bring it to nothing.
    auto flow_into = [&](const std::vector<double>& at, std::vector<double>& flow) {
      for (std::size_t c = nu_; c + nu_ < n; ++c)
        flow[c] = !free_cell(c) ? 0.0
                                : face[0][c] * (at[c + 1] - at[c]) + face[0][c - 1] * (at[c - 1] - at[c]) +
                                      face[1][c] * (at[c + nu_] - at[c]) + face[1][c - nu_] * (at[c - nu_] - at[c]);
    };
    std::vector<double> r(n, 0.0), p(n, 0.0), ap(n, 0.0);
    flow_into(t, r);
    double rz = 0.0, first_rz = 0.0;
    for (int round = 0; round < 2000; ++round) {
      double next = 0.0;
      for (std::size_t c = 0; c < n; ++c)
        if (free_cell(c)) next += r[c] * r[c] / sum[c];
      if (round == 0) first_rz = next;
      if (next <= 1e-14 * first_rz) break;
      for (std::size_t c = 0; c < n; ++c)
        if (free_cell(c)) p[c] = r[c] / sum[c] + (round == 0 ? 0.0 : next / rz * p[c]);
      rz = next;
      flow_into(p, ap);
      double pap = 0.0;
      for (std::size_t c = 0; c < n; ++c) pap -= p[c] * ap[c];
      for (std::size_t c = 0; c < n; ++c) {
        t[c] += rz / pap * p[c];
        r[c] += rz / pap * ap[c];
      }
    }
    double heat = 0.0;
    for (std::size_t c = nu_; c + nu_ < n; ++c)
      if (part_[c] == Part::copper)
        heat += face[0][c] * (1.0 - t[c + 1]) + face[0][c - 1] * (1.0 - t[c - 1]) + face[1][c] * (1.0 - t[c + nu_]) +
                face[1][c - nu_] * (1.0 - t[c - nu_]);
    return heat;
  }

 private:
  [[nodiscard]] bool free_cell(std::size_t c) const { return part_[c] != Part::outside && part_[c] != Part::copper; }
  [[nodiscard]] std::size_t at(int u, int v) const { return static_cast<std::size_t>(v) * nu_ + u; }
  double h_m_;
  int nu_ = 0, nv_ = 0;
  std::vector<Part> part_;
};

/// Section::conductance, solved once for every shape and pair of plastics: it takes as long as tens of steps, and walls
/// are built again with the same cables.
double conductance_of(const CableType& type, double insulation_w_mk, double sheath_w_mk) {
  static std::mutex mutex;
  static std::map<std::array<double, 8>, double> solved;
  const std::array<double, 8> question{type.width_m,      type.thickness_m, type.core_m,
                                       type.conductor_m2, type.earth_m2,    static_cast<double>(type.loaded),
                                       insulation_w_mk,   sheath_w_mk};
  {
    const std::lock_guard lock(mutex);
    if (const auto found = solved.find(question); found != solved.end()) return found->second;
  }
  const double answer = Section(type).conductance(insulation_w_mk, sheath_w_mk);
  const std::lock_guard lock(mutex);
  if (solved.size() >= limits::kept_cross_sections) solved.clear();
  solved.emplace(question, answer);
  return answer;
}

}  // namespace

bool inside_outline(const CableType& type, double u_m, double v_m) {
  const double radius_m = 0.5 * type.thickness_m;
  const double straight_m = std::max(0.0, 0.5 * (type.width_m - type.thickness_m));
  return std::hypot(std::max(0.0, std::abs(u_m) - straight_m), v_m) <= radius_m;
}

double outline_m(const CableType& type) {
  return pi * type.thickness_m + 2.0 * std::max(0.0, type.width_m - type.thickness_m);
}

double resistance_ohm_m(const CableType& type, double temperature_k) {
  return type.resistance_20_ohm_m + resistance_slope_ohm_mk(type) * (temperature_k - kelvin_from_celsius(20.0));
}

double resistance_slope_ohm_mk(const CableType& type) {
  return type.resistance_20_ohm_m * copper_alpha20_1_k;
}

OhmicHeat ohmic_heat(const CableType& type, double length_m, double current_a) {
  const double square_a2_m = current_a * current_a * type.loaded * length_m;
  return {square_a2_m * resistance_ohm_m(type, datum_k), square_a2_m * resistance_slope_ohm_mk(type)};
}

CrossSection cross_section(const CableType& type) {
  const double outline_m2 =
      pi / 4 * type.thickness_m * type.thickness_m + (type.width_m - type.thickness_m) * type.thickness_m;
  const double cores_m2 = type.loaded * (pi / 4 * type.core_m * type.core_m - type.conductor_m2);
  const double copper_m2 = type.loaded * type.conductor_m2;
  const double sheath_m2 = std::max(0.0, outline_m2 - cores_m2 - copper_m2 - type.earth_m2);
  const double insulation_w_mk = type.insulation.conductivity_w_mk.at(type.rated_k);
  const double sheath_w_mk = type.sheath.conductivity_w_mk.at(type.rated_k);
  auto capacity = [](const Material& m) { return m.density_kg_m3 * m.heat_capacity_j_kgk; };
  CrossSection section{};
  section.coupling_w_mk = conductance_of(type, insulation_w_mk, sheath_w_mk);
  section.copper_capacity_j_mk = copper_m2 * copper_capacity_j_m3k;
  section.copper_axial_w_m_k = copper_m2 * copper_conductivity_w_mk;
  section.sheath_capacity_j_mk =
      cores_m2 * capacity(type.insulation) + sheath_m2 * capacity(type.sheath) + type.earth_m2 * copper_capacity_j_m3k;
  section.sheath_axial_w_m_k =
      cores_m2 * insulation_w_mk + sheath_m2 * sheath_w_mk + type.earth_m2 * copper_conductivity_w_mk;
  section.insulation_kg_m = cores_m2 * type.insulation.density_kg_m3;
  section.sheath_kg_m = sheath_m2 * type.sheath.density_kg_m3;
  return section;
}

}  // namespace warmbay::sim
