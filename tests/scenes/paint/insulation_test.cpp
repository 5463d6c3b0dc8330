// Whatever the insulation panel does to a scene, the result is a scene that its file could hold.

#include "scenes/paint/insulation.hpp"

#include "scenes/paint/painter.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;
using Kind = scenes::InsulationPart::Kind;

namespace {

scenes::Scene shipped(const std::string& name) {
  const auto read =
      scenes::read_scene(std::filesystem::path(WARMBAY_SOURCE_DIR) / "scenes" / "library" / name, shipped_data_files());
  INFO(lines_of(read.faults));
  REQUIRE(read.scene);
  return *read.scene;
}

/// Writes the scene out and reads it again; fails where that gives faults or another scene.
void check_holds(const scenes::Scene& scene) {
  const auto text = scenes::write_scene(scene);
  const auto read = scenes::read_scene_text(text, "laid out", shipped_data_files());
  INFO(lines_of(read.faults) << text);
  REQUIRE(read.scene);
  CHECK(*read.scene == scene);
}

template <typename List>
const typename List::value_type& of(const List& list, const std::string& name) {
  for (const auto& one : list) {
    if (one.part.name.find(name) != std::string::npos) return one;
  }
  FAIL("nothing is named " << name);
  return list.front();
}

}  // namespace

TEST_CASE("the laundry wall offers its bays' fills, its foam's thickness and its channel") {
  const auto choices = scenes::insulation_choices(shipped("laundry-wall.toml"), shipped_data_files());
  CHECK(of(choices.fills, "stud bays").part.kind == Kind::layer);
  const auto& foam = of(choices.fills, "rigid foam");
  CHECK(foam.part.kind == Kind::box);
  CHECK(foam.materials.front() == "xps");
  CHECK(std::count(foam.materials.begin(), foam.materials.end(), "loose cellulose") == 1);
  CHECK(std::count(foam.materials.begin(), foam.materials.end(), "softwood") == 0);
  REQUIRE(choices.channels.size() == 1);
  CHECK(choices.channels[0].part.name == "box 'channel in the foam'");
  const auto& thickness = of(choices.thicknesses, "rigid foam");
  CHECK(thickness.least_m < 0.03);
  CHECK(thickness.most_m == Approx(0.089));
}

TEST_CASE("the insulation that a scene has gives that scene back") {
  for (const auto& file : shipped_scenes()) {
    INFO(file);
    const auto scene = shipped(file.filename().string());
    CHECK(scenes::with_insulation(scene, scenes::insulation_of(scene), shipped_data_files()) == scene);
  }
}

TEST_CASE("another fill changes that bay and nothing else") {
  const auto scene = shipped("laundry-wall.toml");
  auto insulation = scenes::insulation_of(scene);
  const auto foam = of(scenes::insulation_choices(scene, shipped_data_files()).fills, "rigid foam").part.index;
  insulation.box_material[foam] = "mineral wool";
  auto changed = scenes::with_insulation(scene, insulation, shipped_data_files());
  check_holds(changed);
  CHECK(changed.boxes[foam].material == "mineral wool");
  changed.boxes[foam].material = "xps";
  CHECK(changed == scene);
  insulation.box_material[foam] = "no such thing";  // not on offer: ignored
  CHECK(scenes::with_insulation(scene, insulation, shipped_data_files()) == scene);
}

TEST_CASE("without its channel the cable lies tight in the foam") {
  const auto scene = shipped("laundry-wall.toml");
  auto insulation = scenes::insulation_of(scene);
  const auto channel = scenes::insulation_choices(scene, shipped_data_files()).channels.at(0).part.index;
  insulation.box_there[channel] = false;
  const auto changed = scenes::with_insulation(scene, insulation, shipped_data_files());
  check_holds(changed);
  REQUIRE(changed.boxes.size() + 1 == scene.boxes.size());
  const auto wall = scenes::paint(changed, shipped_data_files());
  const auto& g = wall->grid;
  const auto beside =
      wall->voxels[g.at(g.find(sim::Axis::x, 0.628), g.find(sim::Axis::y, 0.5075), g.find(sim::Axis::z, 0.0572))];
  CHECK(wall->materials[beside.index].name == "xps");
}

TEST_CASE("a thinner foam shrinks about the cable and still holds its channel") {
  const auto scene = shipped("laundry-wall.toml");
  const auto thickness = of(scenes::insulation_choices(scene, shipped_data_files()).thicknesses, "rigid foam");
  auto insulation = scenes::insulation_of(scene);
  const auto i = thickness.part.index;
  insulation.box_thickness_m[i] = 0.051;
  auto changed = scenes::with_insulation(scene, insulation, shipped_data_files());
  check_holds(changed);
  CHECK(changed.boxes[i].to_m[2] - changed.boxes[i].from_m[2] == Approx(0.051).margin(1e-6));
  CHECK(0.5 * (changed.boxes[i].to_m[2] + changed.boxes[i].from_m[2]) == Approx(0.0572).margin(1e-6));
  insulation.box_thickness_m[i] = 0.0;  // out of range: as thin as its channel lets it be
  changed = scenes::with_insulation(scene, insulation, shipped_data_files());
  check_holds(changed);
  CHECK(changed.boxes[i].from_m[2] < 0.0507);
  CHECK(changed.boxes[i].to_m[2] > 0.0637);
  CHECK(changed.boxes[i].to_m[2] - changed.boxes[i].from_m[2] == Approx(thickness.least_m).margin(1e-6));
}

TEST_CASE("a thicker layer moves what lies behind it, and leaves what lies in it") {
  const auto scene = shipped("laundry-wall.toml");
  auto insulation = scenes::insulation_of(scene);
  insulation.layer_thickness_m[1] = 0.140;
  const auto changed = scenes::with_insulation(scene, insulation, shipped_data_files());
  check_holds(changed);
  CHECK(scenes::wall_depth_m(changed.wall) - scenes::wall_depth_m(scene.wall) == Approx(0.051).margin(1e-7));
  CHECK(changed.cables[0].route_m == scene.cables[0].route_m);
  CHECK(changed.boxes[0].to_m[2] == Approx(0.1527));                      // the loose fill still reaches the sheathing
  CHECK(changed.thermocouples.back().at_m[2] == Approx(0.1248 + 0.051));  // the far face's
}

TEST_CASE("every insulation on offer gives a scene that its file could hold") {
  for (const auto& file : shipped_scenes()) {
    const auto scene = shipped(file.filename().string());
    const auto choices = scenes::insulation_choices(scene, shipped_data_files());
    INFO(file);
    for (const auto& fill : choices.fills) {
      for (const auto& material : fill.materials) {
        auto insulation = scenes::insulation_of(scene);
        (fill.part.kind == Kind::layer ? insulation.layer_material : insulation.box_material)[fill.part.index] =
            material;
        check_holds(scenes::with_insulation(scene, insulation, shipped_data_files()));
      }
    }
    for (const auto& thick : choices.thicknesses) {
      CHECK(thick.least_m <= thick.most_m);
      for (const double share : {0.0, 0.37, 1.0}) {
        auto insulation = scenes::insulation_of(scene);
        (thick.part.kind == Kind::layer ? insulation.layer_thickness_m : insulation.box_thickness_m)[thick.part.index] =
            thick.least_m + share * (thick.most_m - thick.least_m);
        for (const auto& channel : choices.channels) insulation.box_there[channel.part.index] = share < 0.5;
        check_holds(scenes::with_insulation(scene, insulation, shipped_data_files()));
      }
    }
  }
}
