// The reader against the contract: what it takes, what it refuses, and that it says where.

#include "scenes/file/scene_file.hpp"

#include <fstream>
#include <random>
#include <sstream>

#include "tests/scenes/shipped.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

std::string text_of(const std::filesystem::path& file) {
  std::ifstream stream(file);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

const std::string& base() {
  static const std::string text = text_of(test_scene("faults-base.toml"));
  return text;
}

/// A change of the base text that makes it faulty. In `to`, '^' stands before the place that the fault must name.
struct Slip {
  std::string from;
  std::string to;
  std::string says;
};

void check_slip(const Slip& slip) {
  auto text = base();
  const auto at = text.find(slip.from);
  INFO("replacing: " << slip.from << "\nby: " << slip.to);
  REQUIRE(at != std::string::npos);
  REQUIRE(text.find(slip.from, at + 1) == std::string::npos);
  text.replace(at, slip.from.size(), slip.to);
  const auto place = text.find('^');
  REQUIRE(place != std::string::npos);
  text.erase(place, 1);
  const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(place), '\n');
  const auto column = place - (text.substr(0, place).rfind('\n') + 1) + 1;
  const auto read = scenes::read_scene_text(text, "wall.toml", shipped_data_files());
  INFO("faults:\n" << lines_of(read.faults));
  CHECK_FALSE(read.scene);
  REQUIRE(read.faults.size() == 1);
  CHECK(read.faults[0].line == line);
  CHECK(read.faults[0].column == static_cast<int>(column));
  CHECK(read.faults[0].text.find(slip.says) != std::string::npos);
}

scenes::Scene read_fine(const std::string& text) {
  const auto read = scenes::read_scene_text(text, "scene", shipped_data_files());
  INFO(lines_of(read.faults) << text);
  REQUIRE(read.scene);
  return *read.scene;
}

}  // namespace

TEST_CASE("a scene is read into SI units") {
  const auto scene = read_fine(text_of(test_scene("kitchen-sink.toml")));
  CHECK(scene.title == "Kitchen \"sink\"\nwith a line end");
  CHECK(scene.cautions == std::vector<std::string>{"live-test", "toxic-smoke"});
  CHECK(scene.grid.fine_m == 0.0025);
  CHECK(scene.wall.width_m == 0.9);
  CHECK(scene.wall.start_k == 24.1 + 273.15);
  REQUIRE(scene.wall.layers.size() == 2);
  CHECK(scene.wall.layers[1].studs->first_m == -0.019);
  REQUIRE(scene.boxes.size() == 3);
  CHECK(scene.boxes[1].fine);
  CHECK(scene.boxes[2].surroundings == "room");
  REQUIRE(scene.surroundings.size() == 3);
  CHECK(scene.surroundings[0].film == sim::Film::given);
  CHECK(scene.surroundings[1].film == sim::Film::natural);
  CHECK(scene.surroundings[2].film == sim::Film::held);
  CHECK(scene.faces[static_cast<std::size_t>(sim::Side::far)] == "outside, north");
  CHECK(scene.faces[static_cast<std::size_t>(sim::Side::left)].empty());
  CHECK(scene.materials[1].material.conductivity_w_mk.at(297.45) == 0.0451);
  CHECK(scene.cable_types[0].conductor_m2 == Approx(2.081e-6).epsilon(1e-3));
  CHECK(scene.cable_types[1].resistance_20_ohm_m == Approx(7.41e-3));
  REQUIRE(scene.cables.size() == 2);
  CHECK(scene.cables[0].flat == sim::Axis::z);
  CHECK_FALSE(scene.cables[1].flat);
  CHECK(scene.cables[0].squeeze == scenes::Squeeze::staple);
  CHECK(scene.cables[0].squeeze_at_m == 0.4);
  CHECK(scene.cables[1].squeeze == scenes::Squeeze::pinched);
  CHECK_FALSE(scene.cables[1].squeeze_at_m);
  CHECK(scene.supply == scenes::Supply{scenes::SupplyKind::branch, 120.0, "NA 15"});
  CHECK(scene.thermocouples[0].slips);
  CHECK_FALSE(scene.thermocouples[1].slips);
  CHECK(scene.thermocouples[1].on_conductor);
  CHECK(scene.steps[0].hold_s == 1500.0);
  CHECK(scene.steps[0].ask->tolerance_k == 5.0);
  CHECK(scene.steps[0].stop_at == std::vector<std::string>{"smoke", "short"});
  CHECK_FALSE(scene.steps[0].kind);
  CHECK_FALSE(scene.steps[0].device);
  CHECK(scene.steps[1].kind == scenes::SupplyKind::bench);
  CHECK(scene.steps[1].device == "gG 32");
  CHECK(scene.steps[1].until_reading->reading == "copper > sheath");
  CHECK(scene.steps[1].until_reading->above_k == 90.5 + 273.15);
  CHECK(scene.steps[1].surroundings_k[1].first == "outside, north");
}

TEST_CASE("defaults are the contract's") {
  const auto scene = read_fine(
      "format = 1\n[wall]\nwidth_mm = 10\nheight_mm = 20\nstart_c = 20\n[[wall.layer]]\nmaterial = \"brick\"\n"
      "thickness_mm = 30.0\n");
  CHECK(scene.grid == sim::GridRules{0.015, 0.0015, 1.25});
  CHECK(scenes::wall_depth_m(scene.wall) == 0.03);
  CHECK(scene.supply.kind == scenes::SupplyKind::bench);
  CHECK(scene.cables.empty());
  CHECK(scene.steps.empty());
}

TEST_CASE("writing a scene and reading it again gives an equal scene") {
  auto files = shipped_scenes();
  REQUIRE(files.size() >= 5);
  files.push_back(test_scene("kitchen-sink.toml"));
  files.push_back(test_scene("faults-base.toml"));
  for (const auto& file : files) {
    INFO(file);
    const auto scene = read_fine(text_of(file));
    const auto written = scenes::write_scene(scene);
    CHECK(read_fine(written) == scene);
    CHECK(scenes::write_scene(read_fine(written)) == written);
  }
}

TEST_CASE("every number of a file survives writing, bit by bit") {
  std::mt19937 random(20231);
  for (int n = 0; n < 300; ++n) {
    const auto upto = [&](double most) { return most * (static_cast<double>(random()) + 1.0) / 4294967297.0; };
    std::ostringstream text;
    text.precision(n % 3 == 0 ? 17 : 6);
    text << "format = 1\n[wall]\nwidth_mm = " << 10.0 + upto(1000.0) << "\nheight_mm = " << 10.0 + upto(1000.0)
         << "\nstart_c = " << upto(600.0) - 273.0
         << "\n[[wall.layer]]\nmaterial = \"brick\"\nthickness_mm = " << 1.0 + upto(500.0)
         << "\n[[step]]\nhold_min = " << 0.001 + upto(90.0) << "\ncurrent_a = " << upto(99.0) << "\n";
    const auto scene = read_fine(text.str());
    CHECK(read_fine(scenes::write_scene(scene)) == scene);
  }
}

TEST_CASE("one fault is one line with its place: the frame") {
  check_slip({"format = 1", "format = ^2", "'format' is 2, expected a whole number from 1 to 1"});
  check_slip({"format = 1", "^title2 = \"x\"\nformat = 1", "this scene has no key 'title2'; did you mean 'title'?"});
  check_slip({"title = \"Base\"", "title = ^3", "'title' is a whole number, expected a text"});
  check_slip({"coarse_mm = 20.0", "coarse_mm = ^0.0", "'coarse_mm' is 0"});
  check_slip({"growth = 1.4", "growth = ^1.0", "'growth' is 1, expected a number from 1.001 to 100"});
  check_slip({"fine_mm = 2.5", "fine_mm = ^25.0", "expected at most 'coarse_mm'"});
  check_slip({"growth = 1.4", "^groth = 1.4", "[grid] has no key 'groth'; did you mean 'growth'?"});
  check_slip({"[wall]\nwidth_mm = 600.0", "^[wall]", "[wall] has no 'width_mm'"});
  check_slip({"width_mm = 600.0", "width_mm = ^\"600\"", "'width_mm' is a text, expected a number from 0.005"});
  check_slip({"width_mm = 600.0", "width_mm = ^nan", "'width_mm' is nan"});
  check_slip({"width_mm = 600.0", "width_mm = ^inf", "'width_mm' is inf"});
  check_slip({"height_mm = 400.0", "height_mm = 400.0\nstart_c = ^-273.15", "'start_c' is -273.15"});
  check_slip({"thickness_mm = 12.0", "thickness_mm = ^-12.0", "'thickness_mm' is -12"});
  check_slip({"material = \"gypsum board\"", "material = ^\"gypsum bord\"", "did you mean 'gypsum board'?"});
  check_slip({"spacing_mm = 300.0", "spacing_mm = ^20.0", "expected at least the studs' width"});
  check_slip({"depth_mm = 140.0\n\n[[wall.layer]]",
              "depth_mm = ^140.0\n[[wall.layer]]\nmaterial = \"brick\"\nthickness_mm = "
              "60.0\n[[wall.layer]]",
              "the layers are 160 mm thick together"});
  check_slip({"depth_mm = 140.0", "depth_mm = ^150.0", "nothing fills the wall at x 0 to 600"});
}

TEST_CASE("one fault is one line with its place: boxes and surroundings") {
  check_slip({"x_mm = [0.0, 600.0]", "x_mm = ^[0.0, 601.0]", "box 'back' leaves the wall: x runs from 0 to 601"});
  check_slip({"x_mm = [0.0, 600.0]", "x_mm = ^[600.0, 0.0]", "'x_mm' is empty"});
  check_slip({"x_mm = [0.0, 600.0]", "x_mm = ^[0.0]", "'x_mm' is an array of 1, expected [from, to]"});
  check_slip({"x_mm = [0.0, 600.0]", "x_mm = [0.0, ^\"a\"]", "'x_mm' is a text"});
  check_slip({"name = \"recess\"\nsurroundings = \"room\"",
              "name = \"recess\"\nmaterial = \"brick\"\nsurroundings = ^\"room\"", "expected one of them"});
  check_slip({"temperature_c = 20.0", "temperature_c = ^-300", "'temperature_c' is -300"});
  check_slip({"film_w_m2k = 7.69", "film_w_m2k = ^0", "'film_w_m2k' is 0"});
  check_slip({"film_w_m2k = 7.69", "film_w_m2k = ^\"still\"", "expected a number, \"natural\" or \"fixed\""});
  check_slip({"far = \"outside\"", "far = ^\"outdoors\"", "face 'far' names the surroundings 'outdoors'"});
  check_slip({"far = \"outside\"", "^fra = \"outside\"", "[faces] has no key 'fra'; did you mean 'far'?"});
  check_slip({"temperature_c = 5.0", "temperature_c = 5.0\n[[surroundings]]\nname = ^\"room\"\ntemperature_c = 1.0",
              "the surroundings 'room' is there already"});
}

TEST_CASE("one fault is one line with its place: materials and cables") {
  check_slip({"conductivity_w_mk = 0.25", "conductivity_w_mk = ^0.0", "'conductivity_w_mk' is 0"});
  check_slip(
      {"conductivity_w_mk = 0.25", "conductivity_w_mk = [[20.0, 0.25], ^[10.0, 0.3]]", "temperatures that rise"});
  check_slip({"conductivity_w_mk = 0.25", "conductivity_w_mk = ^[]", "empty table"});
  check_slip({"density_kg_m3 = 900.0\n", "density_kg_m3 = 900.0\n^emissivity = 0.9\n", "has no key 'emissivity'"});
  check_slip({"conductor_mm2 = 2.5", "conductor_mm2 = 2.5\nawg = ^14", "expected one of them"});
  check_slip({"core_mm = 3.4", "core_mm = ^1.0", "not larger than the conductor"});
  check_slip({"thickness_mm = 6.0", "thickness_mm = ^11.0", "expected the short side"});
  check_slip({"insulation = \"pvc\"", "insulation = ^\"pcv\"", "did you mean 'pvc'?"});
  check_slip({"type = \"flat\"", "type = ^\"flatt\"", "names the cable type 'flatt'"});
  check_slip({"[600.0, 200.0, 60.0]", "^[600.0, 210.0, 60.0]", "does not run along one axis"});
  check_slip({"[600.0, 200.0, 60.0]", "^[600.5, 200.0, 60.0]", "cable 'feed' leaves the wall"});
  check_slip({"[600.0, 200.0, 60.0]", "[600.0, 200.0, 60.0], ^[300.0, 200.0, 60.0]", "runs back over leg 1"});
  check_slip({"[600.0, 200.0, 60.0]", "^[600.0, 200.0]", "something else than corners"});
  check_slip({"route_mm = [[0.0, 200.0, 60.0], [600.0, 200.0, 60.0]]", "route_mm = ^[[0.0, 200.0, 60.0]]",
              "two or more corners"});
  check_slip({"flat = \"z\"", "flat = ^\"w\"", "expected one of: x, y, z"});
  check_slip({"squeeze = \"none\"", "squeeze = ^\"clamp\"", "expected one of: none, staple, pinched"});
  check_slip({"squeeze = \"none\"", "squeeze = \"staple\"\nsqueeze_at_mm = ^600.5",
              "'squeeze_at_mm' is 600.5, expected at most the route's length, 600"});
  check_slip({"[[100.0, 350.0, 60.0], [400.0, 350.0, 60.0]]", "[[100.0, 204.0, 60.0], ^[400.0, 204.0, 60.0]]",
              "cable 'other' overlaps cable 'feed'"});
  check_slip({"[[100.0, 350.0, 60.0], [400.0, 350.0, 60.0]]", "[[500.0, 300.0, 10.0], ^[500.0, 390.0, 10.0]]",
              "runs through a box of the surroundings 'room'"});
  check_slip({"name = \"other\"", "name = ^\"feed\"", "the cable 'feed' is there already at line"});
}

TEST_CASE("one fault is one line with its place: instruments, supply and steps") {
  check_slip({"along_mm = 300.0", "along_mm = ^600.1", "expected at most its length, 600 mm"});
  check_slip({"on = \"feed\"", "on = ^\"feeds\"", "names the cable 'feeds', which there is not; did you mean 'feed'?"});
  check_slip({"where = \"sheath\"", "where = ^\"core\"", "expected one of: sheath, conductor"});
  check_slip({"at_mm = [300.0, 200.0, 0.0]", "at_mm = ^[300.0, 200.0, -1.0]", "sits outside the wall"});
  check_slip({"at_mm = [300.0, 200.0, 0.0]", "at_mm = ^[520.0, 360.0, 0.0]", "in a box of surroundings"});
  check_slip(
      {"at_mm = [300.0, 200.0, 0.0]", "at_mm = [300.0, 200.0, 0.0]\nslips = ^true", "'slips' needs 'on', a cable"});
  check_slip({"where = \"sheath\"", "where = \"conductor\"\nslips = ^true", "expected that only on the \"sheath\""});
  check_slip({"where = \"sheath\"", "where = \"sheath\"\nslips = ^1", "'slips' is a whole number"});
  check_slip({"current_a = 15.0", "current_a = ^-1.0", "'current_a' is -1"});
  check_slip({"hold_min = 25.0", "hold_min = ^0", "'hold_min' is 0"});
  check_slip({"until = \"settled\"", "until = ^\"setled\"", "expected \"NAME > T\" or one of"});
  check_slip({"until = \"settled\"", "until = ^\"sheeth > 90\"", "names the thermocouple 'sheeth'"});
  check_slip({"until = \"settled\"", "until = ^\"sheath > hot\"", "a thermocouple and a temperature"});
  check_slip({"until = \"settled\"", "until = ^\"sheath > nan\"", "a thermocouple and a temperature"});
  check_slip({"reading = \"sheath\"", "reading = ^\"sheet\"", "names the thermocouple 'sheet'"});
  check_slip({"tolerance_k = 5.0", "tolerance_k = ^0.0", "'tolerance_k' is 0"});
  check_slip({"stop_at = [\"smoke\"]", "stop_at = ^[\"smok\"]", "'stop_at' names 'smok'"});
  check_slip({"surroundings = { room = 30.0 }", "surroundings = { ^rom = 30.0 }", "did you mean 'room'?"});
  check_slip({"surroundings = { room = 30.0 }", "surroundings = { room = ^-400.0 }", "'room' is -400"});
}

TEST_CASE("one fault is one line with its place: a branch and its protective device") {
  check_slip({"kind = \"bench\"", "kind = ^\"brunch\"\ndevice = \"C16\"", "expected one of: bench, branch"});
  check_slip({"kind = \"bench\"", "kind = \"branch\"\ndevice = ^\"C17\"",
              "[supply] names the protective device 'C17', which there is not; did you mean 'C1"});
  check_slip({"kind = \"bench\"", "kind = \"branch\"\nvoltage_v = ^0.0", "'voltage_v' is 0"});
  check_slip({"kind = \"bench\"", "kind = \"bench\"\ndevice = ^\"C16\"",
              "[supply] has 'device', expected that only where [supply] or a step has kind = \"branch\""});
  check_slip(
      {"kind = \"bench\"", "kind = \"bench\"\nvoltage_v = ^120.0", "[supply] has 'voltage_v', expected that only"});
  check_slip({"surroundings = { room = 30.0 }", "device = ^\"C16\"", "step 'Second' has 'device', expected that only"});
  check_slip({"surroundings = { room = 30.0 }", "kind = \"branch\"\ndevice = ^\"gG32\"",
              "step 'Second' names the protective device 'gG32', which there is not; did you mean 'gG 32'?"});
  check_slip({"surroundings = { room = 30.0 }", "kind = ^\"mains\"", "expected one of: bench, branch"});
}

TEST_CASE("a bench may have the device of a branch that a later step switches to") {
  auto text = base();
  const auto put = [&](const std::string& from, const std::string& to) {
    text.replace(text.find(from), from.size(), to);
  };
  put("kind = \"bench\"", "kind = \"bench\"\nvoltage_v = 120.0\ndevice = \"NA 15\"");
  put("surroundings = { room = 30.0 }", "kind = \"branch\"");
  const auto scene = read_fine(text);
  CHECK(scene.supply == scenes::Supply{scenes::SupplyKind::bench, 120.0, "NA 15"});
  CHECK(scene.steps[1].kind == scenes::SupplyKind::branch);
}

TEST_CASE("text that is not TOML is one fault where it stops being TOML") {
  check_slip({"growth = 1.4", "growth = 1.4\ngrowth = ^1.5", "this is not TOML 1.0"});
}

TEST_CASE("all faults of a file are reported, in the order of its lines") {
  const auto read = scenes::read_scene(test_scene("many-faults.toml"), shipped_data_files());
  CHECK_FALSE(read.scene);
  INFO(lines_of(read.faults));
  std::vector<int> lines;
  for (const auto& fault : read.faults) lines.push_back(fault.line);
  CHECK(std::is_sorted(lines.begin(), lines.end()));
  const auto text = text_of(test_scene("many-faults.toml"));
  std::istringstream stream(text);
  std::string line;
  std::vector<int> marked;  // lines that say in a comment that they are at fault
  for (int n = 1; std::getline(stream, line); ++n) {
    if (line.find("# fault") != std::string::npos) marked.push_back(n);
  }
  CHECK(lines == marked);
}

TEST_CASE("a file that cannot be read is one fault without a line") {
  for (const auto* file : {"/there/is/no/such.toml", "/tmp"}) {
    const auto read = scenes::read_scene(file, shipped_data_files());
    CHECK_FALSE(read.scene);
    REQUIRE(read.faults.size() == 1);
    CHECK(read.faults[0].line == 0);
  }
}

TEST_CASE("a wall without any surroundings needs a start temperature") {
  const std::string closed =
      "format = 1\n[wall]\nwidth_mm = 10\nheight_mm = 20\n[[wall.layer]]\nmaterial = \"brick\"\nthickness_mm = 30.0\n";
  const auto read = scenes::read_scene_text(closed, "closed", shipped_data_files());
  REQUIRE(read.faults.size() == 1);
  CHECK(read.faults[0].line == 2);
  CHECK(read.faults[0].text.find("no settled start") != std::string::npos);
}

TEST_CASE("a grid that no machine could hold is refused before it is laid") {
  for (const auto* grid : {"fine_mm = 0.01\ncoarse_mm = 0.01", "coarse_mm = 2.0\nfine_mm = 0.5"}) {
    const auto text = std::string("format = 1\n[grid]\n") + grid +
                      "\n[wall]\nwidth_mm = 2000\nheight_mm = 2000\nstart_c = 20\n[[wall.layer]]\nmaterial = "
                      "\"brick\"\nthickness_mm = 300.0\n";
    const auto read = scenes::read_scene_text(text, "huge", shipped_data_files());
    INFO(lines_of(read.faults));
    REQUIRE(read.faults.size() == 1);
    CHECK(read.faults[0].line == 2);
  }
}

TEST_CASE("damaged scene texts are read or refused with a place, never worse") {
  std::mt19937 random(4711);
  const auto pick = [&](std::size_t count) { return static_cast<std::size_t>(random()) % count; };
  const std::vector<std::string> bits = {"\"", "[", "]",    "{",   "}",           "=",         "\n",
                                         "-",  "0", "9e99", "nan", "[[cable]]\n", "true",      ",",
                                         "#",  ".", "\xff", "1",   "\\",          "[[box]]\n", "0.0"};
  std::vector<std::string> sources = {text_of(test_scene("kitchen-sink.toml")), base()};
  int scenes_read = 0, refused = 0;
  for (int n = 0; n < 6000; ++n) {
    auto text = sources[pick(sources.size())];
    for (std::size_t changes = 1 + pick(3); changes > 0; --changes) {
      const auto at = pick(text.size());
      switch (pick(4)) {
        case 0:
          text.erase(at, 1 + pick(12));
          break;
        case 1:
          text.insert(at, bits[pick(bits.size())]);
          break;
        case 2:
          text[at] = static_cast<char>('0' + pick(10));
          break;
        default:
          text.replace(at, 1, bits[pick(bits.size())]);
          break;
      }
    }
    const auto read = scenes::read_scene_text(text, "damaged", shipped_data_files());
    (read.scene ? scenes_read : refused) += 1;
    if (read.scene.has_value() == !read.faults.empty()) FAIL("neither a scene nor faults:\n" << text);
    for (const auto& fault : read.faults) {
      const bool one_line = fault.text.find('\n') == std::string::npos && !fault.text.empty();
      if (fault.line < 1 || fault.column < 1 || !one_line) FAIL("a fault without a place:\n" << text);
    }
  }
  CHECK(scenes_read > 100);
  CHECK(refused > 300);
}
