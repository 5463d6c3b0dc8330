#pragma once
// [[material]] and [[cable_type]] tables, which scenes and data files write alike.

#include <optional>
#include <vector>

#include "scenes/read/toml_reader.hpp"
#include "scenes/scene.hpp"

namespace warmbay::scenes {

/// Which keys a [[material]] may have: data files also give a surface's emissivity, whether it is air
/// that radiation crosses, and whether it may fill a stud bay.
enum class MaterialKeys { of_a_scene, of_a_data_file };

/// A material, good or not (then faults say so; the name still stands, so that references to it resolve).
[[nodiscard]] SourcedMaterial read_material(const toml::table& table, MaterialKeys keys, Faults& faults);

/// A cable type, and where the names of its materials stand (to be resolved by whoever knows all materials).
struct ReadCableType {
  SourcedCableType type;
  Mark name;
  Mark insulation;
  Mark sheath;
  bool fine = false;
};
[[nodiscard]] ReadCableType read_cable_type(const toml::table& table, Faults& faults);

/// 'conductivity_w_mk' of a table, which must be there: a number or a table [[temperature_c, value], ...], W/(m K).
[[nodiscard]] sim::Curve read_conductivity(TableReader& reader);

/// Cross-section of a solid conductor of a gauge number, m². awg: 0 to 40. Source: ASTM B258, d = 0.127 mm ·
/// 92^((36−n)/39).
[[nodiscard]] double area_of_awg_m2(int awg);

/// Resistance of one conductor at 20 °C, Ω/m: as given, else annealed copper's 1.7241e-8 Ω·m (IEC 60028) over the area.
[[nodiscard]] double resistance_20_ohm_m(const SourcedCableType& type);

}  // namespace warmbay::scenes
