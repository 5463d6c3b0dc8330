// [[material]], [[cable_type]], [[cable]], [[thermocouple]] and [supply] of a scene.

#include <fmt/format.h>

#include "scenes/data/data_reader.hpp"
#include "scenes/file/scene_parts.hpp"
#include "scenes/read/file_units.hpp"

namespace warmbay::scenes {

namespace {

/// The corners of a route, with where each stands.
void read_route(TableReader& reader, CableRun& cable, CableMark& mark) {
  constexpr std::string_view key = "route_mm";
  const auto* node = reader.node(key);
  if (!node) return reader.missing(key, "two or more corners [[x, y, z], ...]");
  const auto* corners = node->as_array();
  if (!corners || corners->size() < 2) {
    return reader.fault(key, "'route_mm' needs two or more corners, expected [[x, y, z], [x, y, z], ...]");
  }
  for (const auto& corner : *corners) {
    const auto* xyz = corner.as_array();
    if (!xyz || xyz->size() != 3) {
      reader.fault_at(mark_of(corner.source()), "'route_mm' holds something else than corners [x, y, z]");
      continue;
    }
    sim::Vec3 point{};
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const auto mm = reader.number_in(*xyz->get(axis), key, bounds::place_mm);
      point[axis] = millimetre.to_si(mm.value_or(0.0));
    }
    cable.route_m.push_back(point);
    mark.corners.push_back(mark_of(corner.source()));
  }
}

void read_squeeze(TableReader& reader, CableRun& cable, CableMark& mark) {
  if (const auto kind = reader.choice("squeeze", {"none", "staple", "pinched"})) {
    cable.squeeze = static_cast<Squeeze>(*kind);
  }
  if (const auto mm = reader.number("squeeze_at_mm", between(0.0, 1e6))) cable.squeeze_at_m = millimetre.to_si(*mm);
  mark.squeeze_at = reader.mark("squeeze_at_mm");
}

void read_cable(const toml::table& table, Scene& scene, SceneMarks& marks, Faults& faults) {
  TableReader reader(table, "[[cable]]", faults);
  CableRun cable;
  CableMark mark;
  cable.name = reader.need_text("name");
  if (!cable.name.empty()) reader.rename(fmt::format("cable '{}'", cable.name));
  cable.type = reader.need_text("type");
  if (!cable.type.empty()) {
    marks.references.push_back({Named::cable_type, cable.type, reader.mark("type"), reader.label()});
  }
  read_route(reader, cable, mark);
  if (const auto axis = reader.choice("flat", {"x", "y", "z"})) cable.flat = static_cast<sim::Axis>(*axis);
  read_squeeze(reader, cable, mark);
  reader.done();
  mark.label = reader.label();
  mark.table = reader.mark();
  mark.fine = reader.fine();
  marks.given.push_back({Named::cable, cable.name, reader.mark("name"), reader.label()});
  marks.cables.push_back(std::move(mark));
  scene.cables.push_back(std::move(cable));
}

/// Where a thermocouple sits: on a cable, or at a point.
void read_spot(TableReader& reader, ThermocoupleSpot& spot, SceneMarks& marks) {
  const bool on_cable = reader.has("on");
  const bool at_point = reader.has("at_mm");
  spot.on = reader.text("on").value_or("");
  const auto along = reader.number("along_mm", between(0.0, 1e6));
  const auto where = reader.choice("where", {"sheath", "conductor"});
  const auto slips = reader.flag("slips");
  const auto at = reader.triple("at_mm", bounds::place_mm);
  if (on_cable && at_point) {
    reader.fault("at_mm", fmt::format("{} has both 'on' and 'at_mm', expected one of them", reader.label()));
  } else if (!on_cable && !at_point) {
    reader.missing("at_mm", "that or 'on' with 'along_mm'");
  } else if (on_cable && !reader.has("along_mm")) {
    reader.missing("along_mm", "how far along the cable it sits");
  }
  for (const auto* key : {"along_mm", "where", "slips"}) {
    if (at_point && !on_cable && reader.has(key)) {
      reader.fault(key, fmt::format("'{}' needs 'on', a cable; {} sits at a point", key, reader.label()));
    }
  }
  if (on_cable && slips == true && where == 1u) {
    reader.fault("slips", fmt::format("'slips' is true, expected that only on the \"sheath\": {} is on the conductor",
                                      reader.label()));
  }
  if (!spot.on.empty()) marks.references.push_back({Named::cable, spot.on, reader.mark("on"), reader.label()});
  spot.along_m = millimetre.to_si(along.value_or(0.0));
  spot.on_conductor = where == 1u;
  spot.slips = slips.value_or(false);
  if (at) spot.at_m = metres_from_mm(*at);
}

}  // namespace

void read_scene_materials(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("material")) {
    scene.materials.push_back(read_material(*table, MaterialKeys::of_a_scene, faults));
    const auto& name = scene.materials.back().material.name;
    const auto* node = table->get("name");
    marks.given.push_back({Named::material, name, mark_of(node ? node->source() : table->source()), name});
  }
}

void read_scene_cable_types(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("cable_type")) {
    const auto read = read_cable_type(*table, faults);
    const auto label = fmt::format("cable type '{}'", read.type.name);
    if (!read.fine) marks.faulty_types.push_back(read.type.name);
    marks.given.push_back({Named::cable_type, read.type.name, read.name, label});
    if (!read.type.insulation.empty()) {
      marks.references.push_back({Named::material, read.type.insulation, read.insulation, label});
    }
    if (!read.type.sheath.empty()) {
      marks.references.push_back({Named::material, read.type.sheath, read.sheath, label});
    }
    scene.cable_types.push_back(read.type);
  }
}

void read_cables(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("cable")) read_cable(*table, scene, marks, faults);
}

void read_thermocouples(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  for (const auto* table : root.tables("thermocouple")) {
    TableReader reader(*table, "[[thermocouple]]", faults);
    ThermocoupleSpot spot;
    spot.name = reader.need_text("name");
    if (!spot.name.empty()) reader.rename(fmt::format("thermocouple '{}'", spot.name));
    read_spot(reader, spot, marks);
    reader.done();
    marks.given.push_back({Named::thermocouple, spot.name, reader.mark("name"), reader.label()});
    marks.thermocouples.push_back({reader.label(), reader.mark(spot.on.empty() ? "at_mm" : "along_mm"), reader.fine()});
    scene.thermocouples.push_back(std::move(spot));
  }
}

SupplyKeys read_supply_keys(TableReader& reader, SceneMarks& marks) {
  SupplyKeys keys;
  if (const auto kind = reader.choice("kind", {"bench", "branch"})) keys.kind = static_cast<SupplyKind>(*kind);
  if (reader.has("kind") && !keys.kind) marks.supply_kinds_fine = false;
  keys.device = reader.text("device");
  if (keys.device) marks.references.push_back({Named::device, *keys.device, reader.mark("device"), reader.label()});
  if (reader.has("device")) marks.branch_keys.push_back({"device", reader.label(), reader.mark("device")});
  return keys;
}

void read_supply(TableReader& root, Scene& scene, SceneMarks& marks, Faults& faults) {
  const auto* table = root.table("supply");
  if (!table) return;
  TableReader reader(*table, "[supply]", faults);
  const auto keys = read_supply_keys(reader, marks);
  scene.supply.kind = keys.kind.value_or(SupplyKind::bench);
  scene.supply.device = keys.device.value_or("");
  scene.supply.voltage_v = reader.number("voltage_v", bounds::voltage_v);
  if (reader.has("voltage_v")) marks.branch_keys.push_back({"voltage_v", reader.label(), reader.mark("voltage_v")});
  reader.done();
}

}  // namespace warmbay::scenes
