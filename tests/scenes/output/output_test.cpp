// Files that are whole or absent, and the shapes of CSV and JSON.

#include <sys/resource.h>

#include <nlohmann/json.hpp>

#include "scenes/output/csv.hpp"
#include "scenes/output/json.hpp"
#include "scenes/output/write_file.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
namespace fs = std::filesystem;

namespace {

std::size_t files_in(const fs::path& folder) {
  return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

}  // namespace

TEST_CASE("a file is written whole and replaces the one before") {
  const tests::TemporaryFolder folder;
  const fs::path path = folder.path() / "result.json";
  CHECK_FALSE(scenes::write_file(path, "first"));
  CHECK_FALSE(scenes::write_file(path, std::string("second\0with a zero", 18)));
  CHECK(tests::content_of(path) == std::string("second\0with a zero", 18));
  CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("a disk that fills up in the middle of a file leaves the old one and says why") {
  const tests::TemporaryFolder folder;
  const fs::path path = folder.write("readings.csv", "old");
  rlimit before{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  rlimit small = before;
  small.rlim_cur = 1000;
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  const auto fault = scenes::write_file(path, std::string(5000, 'x'));
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &before) == 0);
  REQUIRE(fault);
  CHECK(scenes::to_line(*fault) == path.string() + ": cannot be written: File too large");
  CHECK(tests::content_of(path) == "old");
  CHECK(files_in(folder.path()) == 1);
}

TEST_CASE("a file cannot be written into a folder that is not there") {
  const auto fault = scenes::write_file("/no-such-folder/x.csv", "x");
  REQUIRE(fault);
  CHECK(scenes::to_line(*fault) == "/no-such-folder/x.csv: cannot be written: No such file or directory");
}

TEST_CASE("a folder is made with those above it; a file in its place is said to be one") {
  const tests::TemporaryFolder folder;
  CHECK_FALSE(scenes::make_folder(folder.path() / "a" / "b"));
  CHECK(fs::is_directory(folder.path() / "a" / "b"));
  CHECK(files_in(folder.path() / "a" / "b") == 0);
  const fs::path file = folder.write("c", "");
  const auto fault = scenes::make_folder(file);
  REQUIRE(fault);
  CHECK(scenes::to_line(*fault) == file.string() + ": is a file; the name of a folder was expected");
  CHECK(scenes::make_folder("/proc/warmbay-cannot-be-here"));
}

TEST_CASE("fields are quoted as RFC 4180 has it") {
  CHECK(scenes::csv_field("plain, not") == "\"plain, not\"");
  CHECK(scenes::csv_field("plain") == "plain");
  CHECK(scenes::csv_field("say \"ah\"") == "\"say \"\"ah\"\"\"");
  CHECK(scenes::csv_field("two\nlines") == "\"two\nlines\"");
}

TEST_CASE("readings.csv has the contract's columns and a row per reading") {
  const tests::SmallScene small = tests::read_small("");
  sim::Reading row;
  row.time_s = 12345.5;
  row.current_a = 15.0;
  row.voltage_v = 0.25;
  row.power_w = 3.75;
  row.thermocouple_k = {300.15, 293.15};
  row.cables = {{333.15, 0.06, 0.25, 3.75}};
  CHECK(scenes::readings_csv(*small.wall, {row}) ==
        "time_s,current_a,voltage_v,power_w,smoke_mg_s,void_cm3,sheath_c,\"face, \"\"room\"\"_c\",feed_hottest_c\n"
        "12345.5,15,0.25,3.75,0,0,27.000,20.000,60.000\n");
}

TEST_CASE("smoke is in milligrams a second and the void in cubic centimetres") {
  const tests::SmallScene small = tests::read_small("");
  sim::Reading row;
  row.smoke_kg_s = 0.35e-6;
  row.void_m3 = 12.5e-6;
  row.thermocouple_k = {293.15, 293.15};
  row.cables = {{293.15, 0.06, 0.0, 0.0}};
  const std::string csv = scenes::readings_csv(*small.wall, {row});
  CHECK(csv.find("\n0,0,0,0,0.35,12.5,20.000,") != std::string::npos);
}

TEST_CASE("result.json says where all of the heat went, and what flows in each cable") {
  const tests::SmallScene small = tests::read_small("");
  sim::Reading reading;
  reading.current_a = 40.0;
  reading.thermocouple_k = {293.15, 293.15};
  reading.cables = {{293.15, 0.06, 0.5, 12.0, 25.0}};
  reading.surroundings = {{1.0, 294.15, 293.15, 0.1}, {}};
  sim::Conditions conditions = sim::initial_conditions(*small.wall);
  const scenes::StateOutput state{"t", *small.wall, conditions, reading, 0.5, 0.0};
  const std::vector<scenes::Event> none;
  const std::string json = scenes::run_json(state, {60.0, 0.5, {5.0, 4.0, 0.5, 0.25, 0.125}, none});
  const auto parsed = nlohmann::json::parse(json);
  CHECK(parsed["energy"] == nlohmann::json::parse(R"({"generated_j": 5.0, "stored_j": 4.0, "left_j": 0.5,
                                                      "taken_up_j": 0.25, "with_gas_j": 0.125})"));
  CHECK(parsed["cables"]["feed"]["current_a"] == 25.0);
}

TEST_CASE("events.csv has the contract's columns") {
  CHECK(scenes::events_csv({{61.25, "over-rating", "feed", 40.5, "one, two"}}) ==
        "time_s,event,where,value,text\n61.25,over-rating,feed,40.5,\"one, two\"\n");
}

TEST_CASE("the heat balance is what the contract says") {
  sim::Reading reading;
  CHECK(scenes::heat_balance(reading) == 0.0);
  reading.power_w = 4.0;
  reading.surroundings = {{5.0, 0.0, 0.0, 1.0}, {-2.0, 0.0, 0.0, 1.0}};
  CHECK(scenes::heat_balance(reading) == Approx(0.2));  // |4 - 3| / 5
  reading.power_w = -10.0;
  CHECK(scenes::heat_balance(reading) == Approx(1.3));
}
