#pragma once
// Small walls for tests, built straight in voxels so that a test of sim needs no scene file.

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "sim/wall.hpp"

namespace warmbay::tests {

/// n + 1 edges, evenly spread over [0, length_m].
[[nodiscard]] std::vector<double> even_edges(double length_m, int n);

/// A material with constant properties.
[[nodiscard]] sim::Material material(const std::string& name, double conductivity_w_mk, double density_kg_m3,
                                     double heat_capacity_j_kgk);

/// A wall of one material that fills the grid; every face insulated, no cable.
[[nodiscard]] sim::Wall block(sim::Grid grid, const sim::Material& filling);

/// Adds a material and paints every voxel whose centre lies in the box [from, to] with it. Returns its index.
int paint_box(sim::Wall& wall, const sim::Vec3& from_m, const sim::Vec3& to_m, const sim::Material& filling);
/// Cuts every voxel for whose centre `inside` holds away: it becomes part of surroundings `index`.
void cut_away(sim::Wall& wall, int index, const std::function<bool(const sim::Vec3&)>& inside);

/// Adds surroundings; returns their index.
int add_film(sim::Wall& wall, const std::string& name, double temperature_k, double film_w_m2k);
int add_held(sim::Wall& wall, const std::string& name, double temperature_k);
int add_natural(sim::Wall& wall, const std::string& name, double temperature_k);
void expose(sim::Wall& wall, sim::Side side, int surroundings);

/// Adds a thermocouple in the wall; returns its index.
int add_spot(sim::Wall& wall, const sim::Vec3& at_m);
/// Adds a thermocouple on cable `cable`; returns its index.
int add_cable_spot(sim::Wall& wall, int cable, double along_m, bool on_conductor);

/// A round cable of two loaded conductors whose core insulation and sheath are of one material.
struct RoundCable {
  double conductor_m2 = 2.5e-6;
  double earth_m2 = 0.0;
  double resistance_20_ohm_m = 7.41e-3;
  double core_m = 3.4e-3;
  double sheath_m = 8.0e-3;  // outside
  sim::Material plastic;
};
[[nodiscard]] sim::CableType round_type(const RoundCable& cable);
/// Adds a cable; flat: the axis of the short side of every leg (any that is not the leg's own). Returns its index.
int add_cable(sim::Wall& wall, const std::string& name, const sim::CableType& type, std::vector<sim::Vec3> route_m);

/// What a closed-form cable test usually wants: edges graded from a cable's square outwards to half_m on both sides of
/// centre 0 shifted to half_m. square_m: side of the cable's square, split into `across` equal voxels.
[[nodiscard]] std::vector<double> edges_around(double half_m, double square_m, int across, double growth,
                                               double coarse_m);

/// A small wall with everything in it that can go wrong: gypsum board on 60 mm of foam whose conductivity rises with
/// temperature, a channel of air in the foam with a flat cable in it, natural films on both sides. About 20,000 voxels.
/// The surroundings are "room" (24 C) and "outside" (30 C).
[[nodiscard]] sim::Wall channel_wall(double coarse_m = 0.012, double fine_m = 0.0015);

/// The same wall with everything that heat can do to it: foam that collapses, board that gives off water, a cable whose
/// plastics fume and creep, air that radiates, a thermocouple that slips (number 1). Invented numbers of a plausible
/// size; the shipped ones are in assets/damage.toml.
[[nodiscard]] sim::Wall frail_wall(double coarse_m = 0.012, double fine_m = 0.0015);

[[nodiscard]] std::shared_ptr<const sim::Wall> share(sim::Wall wall);

}  // namespace warmbay::tests
