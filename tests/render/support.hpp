#pragma once
// A small scene for the tests of the window: one cable in a filled bay, two steps; and waiting for other threads.

#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <thread>

#include "scenes/data/data_files.hpp"
#include "scenes/file/scene_file.hpp"
#include "scenes/places.hpp"
#include "scenes/text/text.hpp"

namespace warmbay::render::testing {

/// Waits until it is so. Gives up after a minute, which only a machine that hangs takes.
inline bool becomes(const std::function<bool()>& so) {
  const auto until = std::chrono::steady_clock::now() + std::chrono::minutes(1);
  while (!so()) {
    if (std::chrono::steady_clock::now() > until) return false;
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  return true;
}

inline const char* const small_scene = R"(
format = 1
title = "Small wall"
summary = "One cable in one filled bay."
cautions = ["live-test"]
[grid]
coarse_mm = 30.0
fine_mm = 3.0
growth = 1.6
[wall]
width_mm = 200.0
height_mm = 200.0
[[wall.layer]]
name = "board"
material = "gypsum board"
thickness_mm = 12.7
[[wall.layer]]
name = "fill"
material = "mineral wool"
thickness_mm = 60.0
[[surroundings]]
name = "room"
temperature_c = 20.0
film_w_m2k = 7.69
[[surroundings]]
name = "outside"
temperature_c = 20.0
film_w_m2k = 25.0
[faces]
room = "room"
far = "outside"
[[cable_type]]
name = "flat"
loaded = 2
conductor_mm2 = 2.5
core_mm = 3.4
width_mm = 10.3
thickness_mm = 6.0
insulation = "pvc"
sheath = "pvc"
rated_c = 70.0
source = "a test"
[[cable]]
name = "feed"
type = "flat"
route_mm = [[0.0, 100.0, 40.0], [200.0, 100.0, 40.0]]
[supply]
kind = "bench"
[[thermocouple]]
name = "sheath"
on = "feed"
along_mm = 100.0
where = "sheath"
[[step]]
title = "Some current"
say = "It gets warm."
current_a = 20.0
hold_min = 10.0
[[step]]
title = "More current"
say = "It gets hot."
current_a = 30.0
hold_min = 10.0
)";

struct SmallScene {
  scenes::Places places = scenes::find_places();
  scenes::DataFiles data;
  std::shared_ptr<const scenes::Scene> scene;
  std::shared_ptr<const scenes::Text> text;
  std::string faults;

  SmallScene() {
    auto read_data = scenes::read_data_files(places.assets);
    data = std::move(read_data.data);
    std::vector<scenes::Fault> found = std::move(read_data.faults);
    text = std::make_shared<scenes::Text>(scenes::Text::read(places.assets / "text" / "en.toml", found));
    auto read = scenes::read_scene_text(small_scene, "small", data);
    found.insert(found.end(), read.faults.begin(), read.faults.end());
    for (const auto& fault : found) faults += scenes::to_line(fault) + "\n";
    if (read.scene) scene = std::make_shared<const scenes::Scene>(std::move(*read.scene));
  }
};

}  // namespace warmbay::render::testing
