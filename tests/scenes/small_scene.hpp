#pragma once
// A scene of a few thousand voxels that brings its own materials and cable.

#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>
#include <string>

#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/play/player.hpp"
#include "tests/support/temporary_folder.hpp"

namespace warmbay::tests {

/// A cable in foam behind board. `steps`: [[step]] tables, or none.
inline std::string small_scene(const std::string& steps) {
  return R"(format = 1
title = "Cable in foam"
summary = "A small wall for tests."
cautions = []
[grid]
coarse_mm = 12.0
fine_mm = 3.0
growth = 2.0
[wall]
width_mm = 120.0
height_mm = 96.0
start_c = 20.0
[[wall.layer]]
name = "board"
material = "test board"
thickness_mm = 12.0
[[wall.layer]]
name = "foam"
material = "test foam"
thickness_mm = 36.0
[[surroundings]]
name = "room"
temperature_c = 20.0
film_w_m2k = 8.0
[[surroundings]]
name = "attic, unused"
temperature_c = 35.0
film_w_m2k = 8.0
[faces]
room = "room"
far = "room"
[[material]]
name = "test board"
conductivity_w_mk = 0.2
density_kg_m3 = 700.0
heat_capacity_j_kgk = 1000.0
source = "made up for tests"
[[material]]
name = "test foam"
conductivity_w_mk = 0.04
density_kg_m3 = 30.0
heat_capacity_j_kgk = 1400.0
source = "made up for tests"
[[material]]
name = "test plastic"
conductivity_w_mk = 0.2
density_kg_m3 = 1300.0
heat_capacity_j_kgk = 1200.0
source = "made up for tests"
[[cable_type]]
name = "test cable"
loaded = 2
conductor_mm2 = 1.5
core_mm = 3.0
width_mm = 9.0
thickness_mm = 6.0
insulation = "test plastic"
sheath = "test plastic"
rated_c = 40.0
source = "made up for tests"
[[cable]]
name = "feed"
type = "test cable"
route_mm = [[0.0, 48.0, 30.0], [120.0, 48.0, 30.0]]
flat = "z"
[supply]
kind = "bench"
[[thermocouple]]
name = "sheath"
on = "feed"
along_mm = 60.0
where = "sheath"
[[thermocouple]]
name = "face, \"room\""
at_mm = [60.0, 48.0, 0.0]
)" + steps;
}

/// Two steps: a rest, then a current that takes the conductor over its 40 °C within minutes.
inline const std::string two_steps = R"(
[[step]]
title = "Light"
current_a = 5.0
hold_min = 2.0
[[step]]
title = "Heavy"
current_a = 25.0
hold_min = 4.0
)";

struct SmallScene {
  std::shared_ptr<const scenes::Scene> scene;
  std::shared_ptr<const sim::Wall> wall;
};

inline SmallScene read_small(const std::string& steps) {
  const scenes::DataFiles none;
  const scenes::ReadScene read = scenes::read_scene_text(small_scene(steps), "small.toml", none);
  for (const scenes::Fault& fault : read.faults) UNSCOPED_INFO(scenes::to_line(fault));
  REQUIRE(read.scene);
  return {std::make_shared<const scenes::Scene>(*read.scene), scenes::paint(*read.scene, none)};
}

inline std::string content_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream all;
  all << in.rdbuf();
  return all.str();
}

}  // namespace warmbay::tests
