// The shipped data reads without faults and says where each number comes from; bad data is refused where it stands.

#include "scenes/data/data_files.hpp"

#include <cmath>
#include <fstream>

#include "scenes/data/data_reader.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const scenes::Scene no_scene;

const std::string no_damage =
    "format = 1\n[smoke]\nvisible_mg_s = 1\nextinction_m2_g = 1\nroom_m3 = 1\nreflecting_sign = 3\nlit_sign = 8\n"
    "alarm_db_m = 1\nsource = \"test\"\n[instruments]\nlag_s = 0\nslips_at_void_mm2 = 1\nslipped_air_share = 0\n"
    "source = \"test\"\n[cable]\nstaple_mm = 1\nmelting_copper_c = 1000\nsource = \"test\"\n";

/// Reads a folder with these two texts, a damage file that changes nothing, no unknowns and the devices that ship.
scenes::ReadDataFiles read_texts(const std::string& materials, const std::string& cables) {
  const auto folder = std::filesystem::temp_directory_path() / ("warmbay-data-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "materials.toml") << materials;
  std::ofstream(folder / "cables.toml") << cables;
  std::ofstream(folder / "damage.toml") << no_damage;
  std::ofstream(folder / "unknowns.toml") << "format = 1\n";
  std::filesystem::copy_file(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "devices.toml",
                             folder / "devices.toml");
  auto read = scenes::read_data_files(folder);
  std::filesystem::remove_all(folder);
  return read;
}

const std::string one_material =
    "format = 1\n[[material]]\nname = \"pvc\"\nconductivity_w_mk = 0.2\ndensity_kg_m3 = 1400.0\n"
    "heat_capacity_j_kgk = 1200.0\nsource = \"test\"\n";

}  // namespace

TEST_CASE("the data that ships has no faults, and a source for everything") {
  const auto read = scenes::read_data_files(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets");
  INFO(lines_of(read.faults));
  CHECK(read.faults.empty());
  CHECK(read.data.materials.size() >= 25);
  CHECK(read.data.cable_types.size() >= 14);
  for (const auto& one : read.data.materials) CHECK(one.source.size() > 10);
  for (const auto& one : read.data.cable_types) CHECK(one.source.size() > 10);
  CHECK(read.data.devices.size() >= 20);
  for (const auto& one : read.data.devices) CHECK(one.source.size() > 10);
}

TEST_CASE("the materials and cables that people ask for by name are there") {
  const auto& data = shipped_data_files();
  for (const auto* name : {"gypsum board",    "softwood",          "plywood",  "osb",   "glass fibre batt",
                           "mineral wool",    "loose cellulose",   "eps",      "xps",   "polyisocyanurate",
                           "spray foam open", "spray foam closed", "concrete", "brick", "mortar",
                           "steel",           "aluminium",         "copper",   "pvc",   "xlpe",
                           "rubber",          "still air"}) {
    INFO(name);
    CHECK(scenes::find_material(no_scene, data, name) != nullptr);
  }
  for (const auto* name :
       {"flat 2x1.0+1.0", "flat 2x1.5+1.0", "flat 2x2.5+1.5", "flat 2x4+1.5", "flat 2x6+2.5", "flat 2x10+4",
        "awg14 2+earth 60C", "awg14 2+earth 90C", "awg12 2+earth 60C", "awg10 2+earth 90C", "awg8 2+earth 60C"}) {
    INFO(name);
    CHECK(scenes::find_cable_type(no_scene, data, name) != nullptr);
  }
}

TEST_CASE("still air conducts as the handbook's table says") {
  // Incropera, table A.4: 0.0263 at 300 K, 0.0300 at 350 K, 0.0338 at 400 K, 0.0407 at 500 K; they agree within 2 %.
  const auto& k = scenes::find_material(no_scene, shipped_data_files(), "still air")->material.conductivity_w_mk;
  CHECK(k.at(300.0) == Approx(0.0263).epsilon(0.02));
  CHECK(k.at(350.0) == Approx(0.0300).epsilon(0.02));
  CHECK(k.at(400.0) == Approx(0.0338).epsilon(0.02));
  CHECK(k.at(500.0) == Approx(0.0407).epsilon(0.02));
}

TEST_CASE("what fills a bay conducts more the hotter it is, up to where it gives way") {
  for (const auto& one : shipped_data_files().materials) {
    if (!one.fills_bays) continue;
    INFO(one.material.name);
    const auto& value = one.material.conductivity_w_mk.value;
    REQUIRE(value.size() > 2);
    for (std::size_t i = 1; i < value.size(); ++i) CHECK(value[i] > value[i - 1]);
  }
}

TEST_CASE("loose insulation conducts as the air in it does, its solid, and radiation in proportion to T^3") {
  const auto k = [](const char* name, double celsius) {
    return scenes::find_material(no_scene, shipped_data_files(), name)
        ->material.conductivity_w_mk.at(sim::kelvin_from_celsius(celsius));
  };
  const auto without_air = [&](const char* name, double celsius) { return k(name, celsius) - k("still air", celsius); };
  const auto cube = [](double celsius) { return std::pow(sim::kelvin_from_celsius(celsius), 3.0); };
  struct Case {
    const char* name;
    double cold_c, warm_c, hot_c;
  };
  // Points of the tables, whose last digit (5e-5) is 1 % of the smaller difference.
  for (const auto& [name, cold_c, warm_c, hot_c] :
       {Case{"glass fibre batt", 24.0, 200.0, 500.0}, Case{"mineral wool", 24.0, 200.0, 500.0},
        Case{"loose cellulose", 24.0, 110.0, 200.0}, Case{"spray foam open", 24.0, 110.0, 200.0}}) {
    INFO(name);
    const double first = (without_air(name, warm_c) - without_air(name, cold_c)) / (cube(warm_c) - cube(cold_c));
    const double second = (without_air(name, hot_c) - without_air(name, warm_c)) / (cube(hot_c) - cube(warm_c));
    CHECK(first == Approx(second).epsilon(0.02));
    CHECK(without_air(name, cold_c) > first * cube(cold_c));  // the rest is its solid
  }
}

TEST_CASE("a gauge's cross-section is ASTM B258's, and copper of that size has IEC 60028's resistance") {
  CHECK(scenes::area_of_awg_m2(14) == Approx(2.081e-6).epsilon(1e-3));
  CHECK(scenes::area_of_awg_m2(12) == Approx(3.309e-6).epsilon(1e-3));
  CHECK(scenes::area_of_awg_m2(36) == Approx(0.012668e-6).epsilon(1e-3));
  scenes::SourcedCableType type;
  type.conductor_m2 = scenes::area_of_awg_m2(10);
  CHECK(scenes::resistance_20_ohm_m(type) == Approx(3.277e-3).epsilon(1e-3));
  type.resistance_20_ohm_m = 0.004;
  CHECK(scenes::resistance_20_ohm_m(type) == 0.004);
}

TEST_CASE("what a scene brings hides what ships under the same name") {
  scenes::Scene scene;
  scene.materials.push_back(*scenes::find_material(no_scene, shipped_data_files(), "xps"));
  scene.materials.back().material.density_kg_m3 = 1.0;
  CHECK(scenes::find_material(scene, shipped_data_files(), "xps")->material.density_kg_m3 == 1.0);
  CHECK(scenes::find_material(scene, shipped_data_files(), "eps") != nullptr);
  CHECK(scenes::find_material(scene, shipped_data_files(), "no such") == nullptr);
}

TEST_CASE("faults of data files name file, line and column") {
  SECTION("a material without a source, one that is there twice") {
    const auto read = read_texts(one_material +
                                     "[[material]]\nname = \"pvc\"\nconductivity_w_mk = -1\n"
                                     "density_kg_m3 = 1.0\nheat_capacity_j_kgk = 1.0\n",
                                 "format = 1\n");
    const auto lines = lines_of(read.faults);
    INFO(lines);
    REQUIRE(read.faults.size() == 3);
    CHECK(lines.find("materials.toml:8:1: 'pvc' is there twice") != std::string::npos);
    CHECK(lines.find("materials.toml:8:1: material 'pvc' has no 'source'") != std::string::npos);
    CHECK(lines.find("materials.toml:10:21: 'conductivity_w_mk' is -1") != std::string::npos);
  }
  SECTION("a cable of a material that there is not, with two sizes") {
    const auto read = read_texts(
        one_material,
        "format = 1\n[[cable_type]]\nname = \"a\"\nloaded = 2\nawg = 14\nconductor_mm2 = 2.5\ncore_mm = 3.0\n"
        "width_mm = 9.0\nthickness_mm = 5.0\ninsulation = \"pvx\"\nsheath = \"pvc\"\nrated_c = 60\nsource = \"s\"\n");
    const auto lines = lines_of(read.faults);
    INFO(lines);
    REQUIRE(read.faults.size() == 2);
    CHECK(lines.find("cables.toml:5:7: cable type 'a' has both") != std::string::npos);
    CHECK(lines.find("cables.toml:10:14: no material is named 'pvx'") != std::string::npos);
  }
  SECTION("no file at all") {
    const auto read = scenes::read_data_files("/there/is/no/such/folder");
    REQUIRE(read.faults.size() == 5);
    for (const auto& fault : read.faults) CHECK(fault.line == 0);
    for (const auto* name : {"materials.toml: cannot", "cables.toml: cannot", "damage.toml: cannot",
                             "devices.toml: cannot", "unknowns.toml: cannot"}) {
      CHECK(lines_of(read.faults).find(name) != std::string::npos);
    }
  }
}
