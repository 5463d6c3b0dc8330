#pragma once
// What a wall is, in SI units, before anything moves: the grid, what every voxel is made of, the cables, the
// surroundings and where the instruments sit. A plain description: made once (by scenes/paint), then never changed.

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "sim/curve.hpp"
#include "sim/damage/rules.hpp"
#include "sim/grid.hpp"
#include "sim/supply/device.hpp"
#include "sim/units.hpp"

namespace warmbay::sim {

struct Material {
  std::string name;
  Curve conductivity_w_mk;
  double density_kg_m3 = 0.0;
  double heat_capacity_j_kgk = 0.0;
  double emissivity = 0.9;               // of its surface; building materials and plastics
  bool air_space = false;                // a gas: radiation crosses it and it moves (sim/air_spaces.hpp)
  std::shared_ptr<const Damage> damage;  // what heat does to it; nullptr: nothing that matters here
  friend bool operator==(const Material&, const Material&) = default;
};

enum class Film : std::uint8_t {
  natural,  // buoyant convection + radiation from the surface's own temperature (sim/film.hpp)
  given,    // a constant film coefficient, film_w_m2k
  held,     // the surface itself is held at temperature_k
};

struct Surroundings {
  std::string name;
  double temperature_k = datum_k;
  Film film = Film::natural;
  double film_w_m2k = 0.0;     // for Film::given
  double natural_times = 1.0;  // factor on Film::natural, to see what its uncertainty does
  friend bool operator==(const Surroundings&, const Surroundings&) = default;
};

/// What a voxel is: an index into Wall::materials, or, with `outside` set, into Wall::surroundings. Two bytes: a wall
/// has millions of them.
struct Voxel {
  static constexpr int most_index = 0x7FFF;
  Voxel() = default;
  Voxel(int index_of_it, bool is_outside) : index(index_of_it & most_index), outside(is_outside) {}
  std::uint16_t index : 15 = 0;
  std::uint16_t outside : 1 = 0;
  friend bool operator==(const Voxel&, const Voxel&) = default;
};

struct CableType {
  std::string name;
  int loaded = 2;                    // conductors that carry the current
  double conductor_m2 = 0.0;         // cross-section of one loaded conductor
  double earth_m2 = 0.0;             // cross-section of the unloaded conductor beside them; 0: none
  double resistance_20_ohm_m = 0.0;  // of one loaded conductor at 20 °C
  double core_m = 0.0;               // diameter over a core's insulation
  double width_m = 0.0;              // the sheath's outside, long side
  double thickness_m = 0.0;          // and short side; equal for a round cable
  Material insulation;
  Material sheath;
  double rated_k = 0.0;  // conductor temperature the cable is rated for
};

/// How hard something presses on a cable, at one place of its route.
enum class Squeeze : std::uint8_t { none, staple, pinched };

/// A cable in the wall. Every leg of route_m runs along one axis; flat[i] is the axis along which the short side of
/// leg i lies (never the leg's own axis).
struct Cable {
  std::string name;
  CableType type;
  std::vector<Vec3> route_m;  // two or more corners
  std::vector<Axis> flat;     // one per leg
  Squeeze squeeze = Squeeze::none;
  double squeeze_at_m = 0.0;  // from the start of the route
};

/// A thermocouple in the wall (cable < 0: at at_m), or on a cable (at along_m from the start of its route).
struct Thermocouple {
  std::string name;
  int cable = -1;
  bool on_conductor = false;  // else on the sheath
  double along_m = 0.0;
  Vec3 at_m{};
  bool slips = false;  // from the cable, once the foam beside it draws back
};

/// What drives the current: a source that holds the set current whatever happens, or mains voltage and a load behind a
/// protective device.
enum class SupplyKind : std::uint8_t { bench, branch };

struct Mains {
  double voltage_v = 230.0;
  double source_ohm = 0.0;  // of everything between the source of the mains and the cable: it limits a short's current
};

struct Wall {
  Grid grid;
  std::vector<Material> materials;
  std::vector<Surroundings> surroundings;
  std::array<int, 6> faces{-1, -1, -1, -1, -1, -1};  // by Side: index into surroundings, or -1 for insulated
  std::vector<Voxel> voxels;                         // grid.count() of them, x fastest
  std::vector<Cable> cables;
  std::vector<Thermocouple> thermocouples;
  DamageRules damage;
  Mains mains;
  std::vector<Device> devices;  // that a branch may be protected by
};

/// What may change while an experiment runs.
struct Conditions {
  double current_a = 0.0;              // bench: in every loaded conductor of every cable; branch: what the load draws
  std::vector<double> surroundings_k;  // one per Wall::surroundings
  SupplyKind supply = SupplyKind::bench;
  int device = -1;  // of a branch: index into Wall::devices, or -1 for none
  TripTime trip_time = TripTime::typical;
  friend bool operator==(const Conditions&, const Conditions&) = default;
};

/// The conditions a wall starts with: no current, its surroundings as described.
[[nodiscard]] Conditions initial_conditions(const Wall& wall);

/// The box [from, to] in metres that the sheath of leg `leg` (0-based) of a cable fills. Free ends stop at the route's
/// end; at a corner the leg reaches to the far side of the next leg, so that the two overlap and the sheath is closed.
struct LegBox {
  Vec3 from_m;
  Vec3 to_m;
  Axis along;
};
[[nodiscard]] LegBox leg_box(const Cable& cable, int leg);
/// Length of a cable's route, m.
[[nodiscard]] double route_length_m(const Cable& cable);
/// The point of a route at along_m from its start (clamped to its ends), m.
[[nodiscard]] Vec3 route_point(const Cable& cable, double along_m);

}  // namespace warmbay::sim
