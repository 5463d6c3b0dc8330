#pragma once
// What a wall section is before it is voxels: the content of a scene file (format 1), in SI units.

#include <optional>
#include <string>
#include <vector>

#include "sim/grid.hpp"
#include "sim/wall.hpp"

namespace warmbay::scenes {

struct Studs {
  std::string material;
  double width_m = 0.0;
  double spacing_m = 0.0;  // from one stud's left edge to the next one's
  double first_m = 0.0;    // left edge of the first
  friend bool operator==(const Studs&, const Studs&) = default;
};

struct Layer {
  std::string name;
  std::string material;
  double thickness_m = 0.0;
  std::optional<Studs> studs;
  friend bool operator==(const Layer&, const Layer&) = default;
};

/// A box painted over the layers: of a material, or (surroundings not empty) of surroundings that cut the wall away.
struct Box {
  std::string name;
  std::string material;
  std::string surroundings;
  sim::Vec3 from_m{};
  sim::Vec3 to_m{};
  bool fine = false;
  friend bool operator==(const Box&, const Box&) = default;
};

struct WallSection {
  double width_m = 0.0;
  double height_m = 0.0;
  std::optional<double> depth_m;  // default: the sum of the layers
  std::optional<double> start_k;  // default: the settled field with no current
  std::vector<Layer> layers;      // from the room inwards
  friend bool operator==(const WallSection&, const WallSection&) = default;
};

/// The names of the surroundings at each outer face, by sim::Side; empty: insulated.
using Faces = std::array<std::string, 6>;

/// A material with where its numbers come from.
struct SourcedMaterial {
  sim::Material material;
  std::string source;
  bool fills_bays = false;  // it may fill a stud bay: insulation, or the air of an empty one (data files only)
  friend bool operator==(const SourcedMaterial&, const SourcedMaterial&) = default;
};

/// A cable type as written: materials by name, with where its numbers come from.
struct SourcedCableType {
  std::string name;
  int loaded = 2;
  double conductor_m2 = 0.0;
  std::optional<int> awg;  // when the size was given as a gauge
  double earth_m2 = 0.0;
  std::optional<double> resistance_20_ohm_m;  // default: from the copper and the area
  double core_m = 0.0;
  double width_m = 0.0;
  double thickness_m = 0.0;
  std::string insulation;
  std::string sheath;
  double rated_k = 0.0;
  std::string source;
  friend bool operator==(const SourcedCableType&, const SourcedCableType&) = default;
};

using sim::Squeeze;

struct CableRun {
  std::string name;
  std::string type;
  std::vector<sim::Vec3> route_m;
  std::optional<sim::Axis> flat;
  Squeeze squeeze = Squeeze::none;
  std::optional<double> squeeze_at_m;
  friend bool operator==(const CableRun&, const CableRun&) = default;
};

using sim::SupplyKind;

struct Supply {
  SupplyKind kind = SupplyKind::bench;
  std::optional<double> voltage_v;
  std::string device;  // of a branch; empty: none
  friend bool operator==(const Supply&, const Supply&) = default;
};

struct ThermocoupleSpot {
  std::string name;
  std::string on;  // a cable's name, or empty for a point in the wall
  double along_m = 0.0;
  bool on_conductor = false;
  sim::Vec3 at_m{};
  bool slips = false;  // from the cable, once the foam beside it draws back
  friend bool operator==(const ThermocoupleSpot&, const ThermocoupleSpot&) = default;
};

/// "channel > 90": the reading of a thermocouple passes a temperature.
struct ReadingAbove {
  std::string reading;
  double above_k = 0.0;
  friend bool operator==(const ReadingAbove&, const ReadingAbove&) = default;
};

struct Ask {
  std::string question;
  std::string reading;
  double tolerance_k = 0.0;
  friend bool operator==(const Ask&, const Ask&) = default;
};

struct Step {
  std::string title;
  std::string say;  // key of the caption in assets/text, or the caption itself
  std::optional<double> current_a;
  std::vector<std::pair<std::string, double>> surroundings_k;
  std::optional<std::string> device;
  std::optional<SupplyKind> kind;
  double hold_s = 0.0;
  std::string until;                          // an event's name, or empty
  std::optional<ReadingAbove> until_reading;  // when `until` was "NAME > T"
  std::optional<Ask> ask;
  std::vector<std::string> stop_at;
  friend bool operator==(const Step&, const Step&) = default;
};

struct Scene {
  std::string title;
  std::string summary;
  std::vector<std::string> cautions;
  sim::GridRules grid;
  WallSection wall;
  std::vector<Box> boxes;
  std::vector<sim::Surroundings> surroundings;
  Faces faces;
  std::vector<SourcedMaterial> materials;
  std::vector<SourcedCableType> cable_types;
  std::vector<CableRun> cables;
  Supply supply;
  std::vector<ThermocoupleSpot> thermocouples;
  std::vector<Step> steps;
  friend bool operator==(const Scene&, const Scene&) = default;
};

/// How thick the layers are together, m; how deep the wall is, m; its size along x, y and z, m.
[[nodiscard]] double layers_m(const WallSection& wall);
[[nodiscard]] double wall_depth_m(const WallSection& wall);
[[nodiscard]] sim::Vec3 wall_size_m(const WallSection& wall);

}  // namespace warmbay::scenes
