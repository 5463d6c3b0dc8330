#pragma once
// Radiation in spaces of air, for tests/standards/heat_balance: exact where sim/air_spaces.hpp is a star. Each face of
// a section is a surface of its own; how much of it sees each other is found by rays; the exchange of grey surfaces
// follows from that by Gebhart's absorption factors (Siegel & Howell, from memory), with T^4 and the surfaces' own
// temperatures.
//
// What it covers: spaces that run along x with one section throughout, closed by solids or by cuts at their ends in x;
// at most one cable in a space, along x, not touching its sides.

#include <Eigen/Core>
#include <vector>

namespace warmbay::tests {

/// A face of a section across x: from (y0, z0) to (y1, z1), the air on the side that (ny, nz) points to.
struct SectionFace {
  double y0_m, z0_m, y1_m, z1_m;
  int ny, nz;
  double emissivity;
};

/// A rectangle with round ends: the outline of a cable with its short side along z.
struct SectionCable {
  double y_m = 0.0, z_m = 0.0, width_m = 0.0, thickness_m = 0.0;  // width_m 0: no cable
  double emissivity = 0.9;
  [[nodiscard]] double outline_m() const;
};

/// Exchange of a section's surfaces: heat from i to j is (i, j) sigma (Ti^4 - Tj^4) per metre of x. Symmetric; the
/// cable, if there is one, is the last.
[[nodiscard]] Eigen::MatrixXd exchange_m(const std::vector<SectionFace>& faces, const SectionCable& cable);

/// Nusselt number of an upright layer (ElSherbiny, Raithby & Hollands 1982) and of a ring round a lying cylinder
/// (Raithby & Hollands 1975), with air by Incropera, table A.4; all from memory.
[[nodiscard]] double upright_layer_nusselt(double warm_k, double cold_k, double thickness_m, double height_m);
[[nodiscard]] double ring_nusselt(double warm_k, double cold_k, double inner_m, double outer_m);
/// Conductivity of air, W/(m K), by the same table.
[[nodiscard]] double tabled_air_w_mk(double temperature_k);

}  // namespace warmbay::tests
