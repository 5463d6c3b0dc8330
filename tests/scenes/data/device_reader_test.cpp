// assets/devices.toml and its reader: what ships is inside its bands, what is wrong is said with its place.

#include "scenes/data/device_reader.hpp"

#include <catch2/catch.hpp>

#include "scenes/read/by_name.hpp"
#include "tests/scenes/small_scene.hpp"

namespace warmbay::scenes {

namespace {

struct Read {
  DeviceFile file;
  std::vector<std::string> lines;  // LINE:COLUMN: text
};

Read read(const std::string& toml) {
  const tests::TemporaryFolder folder;
  std::vector<Fault> faults;
  Read result{read_device_file(folder.write("devices.toml", toml), faults), {}};
  for (const Fault& fault : faults)
    result.lines.push_back(std::to_string(fault.line) + ":" + std::to_string(fault.column) + ": " + fault.text);
  return result;
}

/// A file whose only family is the lines of a good one, some of them replaced.
std::string family_with(std::string_view key, const std::string& value) {
  const std::vector<std::pair<std::string, std::string>> lines{
      {"names", "\"X{}\""},
      {"kind", "\"circuit breaker\""},
      {"rated_a", "[10.0, 16]"},
      {"cools_s", "60.0"},
      {"band",
       "[{ at = 1.1, least_s = 3600.0 }, { at = 1.5, most_s = 3600.0 }, { at = 4.0, least_s = 1.0, most_s = 9.0 }]"},
      {"earliest", "[[1.2, 100.0], [4.0, 2.0]]"},
      {"typical", "[[1.3, 200.0], [4.0, 4.0]]"},
      {"latest", "[[1.4, 400.0], [4.0, 8.0]]"},
      {"source", "\"a test\""},
  };
  std::string toml = "format = 1\n[mains]\nsource_ohm = 0.3\nsource = \"a test\"\n[[family]]\n";
  for (const auto& [name, standard] : lines)
    if (name != key || !value.empty()) toml += name + " = " + (name == key ? value : standard) + "\n";
  return toml;
}

}  // namespace

TEST_CASE("the devices that ship are read without a fault, each family in all its ratings", "[device]") {
  std::vector<Fault> faults;
  const auto file = read_device_file(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "devices.toml", faults);
  for (const Fault& fault : faults) UNSCOPED_INFO(to_line(fault));
  CHECK(faults.empty());
  CHECK(file.source_ohm == 0.35);
  CHECK(file.devices.size() == 3 * 8 + 3 + 5);
  for (const char* name : {"B6", "B40", "C16", "D32", "NA 15", "NA 20", "NA 30", "gG 16", "gG 35"})
    CHECK(index_by_name(file.devices, name) >= 0);
  CHECK(index_by_name(file.devices, "E16") == -1);
  const int c16 = index_by_name(file.devices, "C16");
  REQUIRE(c16 >= 0);
  CHECK(file.devices[static_cast<std::size_t>(c16)].rated_a == 16.0);
  CHECK(file.devices[static_cast<std::size_t>(c16)].kind == "circuit breaker");
  for (const sim::Device& device : file.devices) CHECK_FALSE(device.source.empty());
}

TEST_CASE("a family becomes one device per rating", "[device]") {
  const Read good = read(family_with("", ""));
  CHECK(good.lines.empty());
  REQUIRE(good.file.devices.size() == 2);
  CHECK(good.file.devices[0].name == "X10");
  CHECK(good.file.devices[1].name == "X16");
  CHECK(good.file.devices[1].rated_a == 16.0);
  CHECK(good.file.devices[1].cools_s == 60.0);
  CHECK(good.file.devices[1].curves[1].multiple == std::vector{1.3, 4.0});
  CHECK(good.file.source_ohm == 0.3);
}

TEST_CASE("a device that must hold for ever is said with holds = true", "[device]") {
  const std::string band = "[{ at = 1.2, holds = true }, { at = 4.0, most_s = 9.0 }]";
  const Read held = read(family_with("band", band));
  REQUIRE(held.lines.size() == 1);
  CHECK(held.lines[0] == "11:12: 'earliest' opens after 100 s at 1.2 times the rated current, expected never");
}

TEST_CASE("what is wrong with a device is one line with its place", "[device]") {
  const auto only = [](std::string_view key, const std::string& value) {
    const Read bad = read(family_with(key, value));
    CHECK(bad.file.devices.empty());
    REQUIRE(bad.lines.size() == 1);
    return bad.lines[0];
  };
  CHECK(only("band", "[{ at = 1.5, least_s = 60.0, most_s = 20.0 }]") ==
        "10:31: 'least_s' is 60 and 'most_s' 20, expected the smaller one first");
  CHECK(only("band", "[{ at = 1.5, most_s = 900.0 }, { at = 1.5, least_s = 2.0 }]") ==
        "10:39: family 'X{}': 'band' goes from 1.5 to 1.5, expected 'at' that rises");
  CHECK(only("band", "[{ at = 1.5 }]") ==
        "10:9: a point of the band of family 'X{}' has no 'least_s', expected that, 'most_s', both of them, or holds = "
        "true");
  CHECK(only("latest", "[[1.4, 400.0], [4.0, 10.0]]") ==
        "13:10: 'latest' opens after 10 s at 4 times the rated current, expected 9 s at the latest");
  CHECK(only("earliest", "[[1.2, 100.0], [4.0, 0.5]]") ==
        "11:12: 'earliest' opens after 0.5 s at 4 times the rated current, expected not before 1 s");
  CHECK(only("latest", "[[1.6, 400.0], [4.0, 8.0]]") ==
        "13:10: 'latest' opens never at 1.5 times the rated current, expected 3600 s at the latest");
  CHECK(only("typical", "[[1.3, 200.0], [1.3, 4.0]]") ==
        "12:26: 'typical' goes from 1.3 to 1.3 times the rated current, expected multiples that rise");
  CHECK(only("typical", "[[1.3, 2.0], [4.0, 4.0]]") ==
        "12:24: 'typical' goes from 2 s to 4 s, expected times that fall as the current rises");
  CHECK(only("typical", "[[1.3, 200.0], [4.0]]") ==
        "12:26: 'typical' holds something else than [multiple of the rated current, seconds]");
  CHECK(only("typical", "[[1.3, 200.0], [4.0, 8.5]]") ==
        "12:11: 'typical' opens after 8.5 s at 4 times the rated current, expected not after 'latest', which opens "
        "after 8 s");
  CHECK(only("typical", "[[0.9, 200.0]]") == "12:13: 'typical' is 0.9, expected a number above 1, at most 1000");
  CHECK(only("rated_a", "[-3.0]") == "8:12: 'rated_a' is -3, expected a number from 0.001 to 10000");
  CHECK(only("rated_a", "[]") == "8:11: 'rated_a' is no list of numbers, expected rated currents such as [16.0, 20.0]");
  CHECK(only("kind", "\"relay\"") == "7:8: 'kind' is 'relay', expected one of: circuit breaker, fuse");
  CHECK(only("names", "\"X\"") == "6:9: 'names' is 'X', expected {} in it, where the rated current stands");
  CHECK(only("source", "").find("has no 'source'") != std::string::npos);
  CHECK(only("cools_s", "").find("has no 'cools_s'") != std::string::npos);
  CHECK(only("source", "\"a test\"\ncolour = 1") ==
        "15:1: family 'X{}' has no key 'colour', expected one of: names, kind, rated_a, cools_s, band, earliest, "
        "typical, latest, source");
}

TEST_CASE("two devices of one name are a fault, and the first one stands", "[device]") {
  const Read twice = read(family_with("rated_a", "[16, 16.0]"));
  REQUIRE(twice.lines.size() == 1);
  CHECK(twice.lines[0] == "8:11: 'X16' is there twice, expected names that differ");
  CHECK(twice.file.devices.size() == 1);
}

TEST_CASE("a device file without mains or families says so", "[device]") {
  const Read empty = read("format = 1\n");
  REQUIRE(empty.lines.size() == 2);
  CHECK(empty.lines[0] == "1:1: this file has no 'mains', expected [mains] with 'source_ohm' and 'source'");
  CHECK(empty.lines[1] == "1:1: this file has no 'family', expected [[family]] tables of devices");
  CHECK(read("format = 1\n[mains]\nsource_ohm = -1.0\nsource = \"x\"\n[[family]]\n").lines[0] ==
        "3:14: 'source_ohm' is -1, expected a number from 1e-06 to 100");
  CHECK(read("format = \n").lines[0].find("this is not TOML 1.0") != std::string::npos);
}

TEST_CASE("a device file that is not there is one fault", "[device]") {
  std::vector<Fault> faults;
  static_cast<void>(read_device_file("no-such-folder/devices.toml", faults));
  REQUIRE(faults.size() == 1);
  CHECK(to_line(faults[0]) ==
        "no-such-folder/devices.toml: cannot be read: No such file or directory; expected a data file that ships with "
        "the program");
}

}  // namespace warmbay::scenes
