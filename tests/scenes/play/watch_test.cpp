// What the bench tells becomes events: named, placed and valued as the contract has it.

#include "scenes/play/watch.hpp"

#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using sim::Happening;

namespace {

std::shared_ptr<const sim::Wall> wall_with_device() {
  auto wall = std::make_shared<sim::Wall>(*tests::read_small("").wall);
  sim::Device device;
  device.name = "X10";
  device.rated_a = 10.0;
  for (sim::TripCurve& curve : device.curves) curve = {{1.2}, {60.0}};
  wall->devices = {device};
  return wall;
}

sim::Occurrence occurrence(Happening what, double time_s, int cable, const std::string& material, double value) {
  sim::Occurrence one;
  one.what = what;
  one.time_s = time_s;
  one.cable = cable;
  one.material = material;
  one.along_m = 0.06;
  one.value = value;
  return one;
}

sim::Reading at(double time_s) {
  sim::Reading reading;
  reading.time_s = time_s;
  return reading;
}

std::shared_ptr<const scenes::Text> english() {
  std::vector<scenes::Fault> faults;
  return std::make_shared<const scenes::Text>(
      scenes::Text::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml", faults));
}

/// One of everything that can happen, and the event that it must become.
struct Case {
  sim::Occurrence told;
  std::string event, where;
  double value;
  std::string said;  // a part of its sentence
};
std::vector<Case> everything() {
  return {
      {occurrence(Happening::softening, 1.0, 0, "", 353.15), "softening", "feed", 80.0, "80 °C"},
      {occurrence(Happening::melt_back, 2.0, -1, "test foam", 2.5e-6), "melt-back", "test foam", 2.5, "2.5 cm³"},
      {occurrence(Happening::smoke, 3.0, -1, "", 0.4e-6), "smoke", "", 0.4, "0.40 mg"},
      {occurrence(Happening::charring, 4.0, -1, "test board", 553.15), "char", "test board", 280.0, "280 °C"},
      {occurrence(Happening::short_circuit, 5.0, 0, "", 0.06), "short", "feed", 60.0, "60 mm"},
      {occurrence(Happening::open_circuit, 6.0, 0, "", 0.08), "open", "feed", 80.0, "80 mm"},
      {occurrence(Happening::trip, 7.0, -1, "", 22.5), "trip", "X10", 22.5, "X10 opened, at 22.5 A"},
      {occurrence(Happening::ignition_risk, 8.0, -1, "test foam", 623.65), "ignition-risk", "test foam", 350.5,
       "flames are not computed"},
  };
}

}  // namespace

TEST_CASE("every happening is an event with its name, place, value and sentence", "[watch]") {
  scenes::Watch watch(wall_with_device(), english());
  sim::Conditions conditions;
  conditions.device = 0;
  watch.conditions_changed(0.0, conditions);
  std::vector<sim::Occurrence> told;
  for (const Case& one : everything()) {
    INFO(one.event);
    told.push_back(one.told);
    const std::vector<scenes::Event> seen = watch.look(at(one.told.time_s + 0.5), 1.0, told);
    REQUIRE(seen.size() == 1);
    CHECK(seen[0].time_s == one.told.time_s);
    CHECK(seen[0].event == one.event);
    CHECK(seen[0].where == one.where);
    CHECK(seen[0].value == Approx(one.value));
    CHECK(seen[0].text.find(one.said) != std::string::npos);
    CHECK(seen[0].text.find('{') == std::string::npos);
  }
}

TEST_CASE("ignition risk is said with its signal word, and that the model ends", "[watch]") {
  scenes::Watch watch(wall_with_device(), english());
  const auto seen = watch.look(at(9.0), 1.0, {everything().back().told});
  REQUIRE(seen.size() == 1);
  CHECK(seen[0].text.find("DANGER") == 0);
  CHECK(seen[0].text.find("The model ends here") != std::string::npos);
}

TEST_CASE("what happened is told once, and after going back only what comes again", "[watch]") {
  scenes::Watch watch(wall_with_device(), nullptr);
  std::vector<sim::Occurrence> told{everything()[0].told};
  const scenes::Watch before = watch;
  CHECK(watch.look(at(1.5), 1.0, told).size() == 1);
  CHECK(watch.look(at(2.0), 1.0, told).empty());
  told.push_back(everything()[1].told);
  const auto next = watch.look(at(2.5), 1.0, told);
  REQUIRE(next.size() == 1);
  CHECK(next[0].event == "melt-back");
  CHECK(next[0].text.empty());  // no catalogue
  watch = before;
  CHECK(watch.look(at(1.5), 1.0, told).size() == 2);
}
