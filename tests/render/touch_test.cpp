// assets/touch.toml: what ships holds the published thresholds, and what is wrong is said with its place.

#include "render/touch.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>

#include "scenes/text/text.hpp"
#include "tests/support/temporary_folder.hpp"

namespace warmbay::render {

namespace {

const std::filesystem::path& assets() {
  static const std::filesystem::path path = std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets";
  return path;
}

const Touch& shipped() {
  static const Touch touch = [] {
    std::vector<scenes::Fault> faults;
    Touch read = read_touch(assets() / "touch.toml", faults);
    for (const scenes::Fault& fault : faults) UNSCOPED_INFO(scenes::to_line(fault));
    REQUIRE(faults.empty());
    return read;
  }();
  return touch;
}

sim::Material material(double k, double rho, double c) {
  sim::Material made;
  made.conductivity_w_mk = {k};
  made.density_kg_m3 = rho;
  made.heat_capacity_j_kgk = c;
  return made;
}

/// The one fault of a file, as a line without the file's name.
std::string fault_of(const std::string& toml) {
  const tests::TemporaryFolder folder;
  const auto file = folder.write("touch.toml", toml);
  std::vector<scenes::Fault> faults;
  const Touch touch = read_touch(file, faults);
  CHECK(touch.classes.empty());
  REQUIRE(faults.size() == 1);
  std::string error;
  CHECK(read_feels(file, error).empty());
  CHECK(error == scenes::to_line(faults[0]));
  return scenes::to_line(faults[0]).substr(file.string().size() + 1);
}

const std::string good_rest =
    "[[feel]]\nfrom_c = 20.0\ntext = \"x\"\n[hand]\ntemperature_c = 33.0\neffusivity_w_s05_m2k = 1000.0\nsource = "
    "\"x\"\n[[surface]]\ntext = \"x\"\neffusivity_w_s05_m2k = 500.0\nsource = \"x\"\n";

}  // namespace

TEST_CASE("the shipped burn thresholds are those of ISO 13732-1", "[touch]") {
  // Lower ends at 1 s and 10 s; any material: 51 °C for 1 min, 48 °C for 10 min, 43 °C for 8 h. From memory.
  struct Published {
    const char* text;
    double at_1_s, at_10_s;
  };
  const std::vector<Published> published{{"touch.metal", 65.0, 55.0},
                                         {"touch.stone", 80.0, 66.0},
                                         {"touch.plastic", 85.0, 71.0},
                                         {"touch.wood", 110.0, 89.0}};
  REQUIRE(shipped().classes.size() == published.size());
  for (std::size_t n = 0; n < published.size(); ++n) {
    const sim::BurnClass& surface = shipped().classes[n];
    INFO(surface.name);
    CHECK(surface.name == published[n].text);
    CHECK(sim::longest_contact_s(surface, 273.15 + published[n].at_1_s) == Approx(1.0));
    CHECK(sim::longest_contact_s(surface, 273.15 + published[n].at_10_s) == Approx(10.0));
    CHECK(sim::longest_contact_s(surface, 273.15 + 51.0) == Approx(60.0));
    CHECK(sim::longest_contact_s(surface, 273.15 + 48.0) == Approx(600.0));
    CHECK(sim::longest_contact_s(surface, 273.15 + 43.0) == Approx(8.0 * 3600.0));
    CHECK(std::isinf(sim::longest_contact_s(surface, 273.15 + 42.9)));
  }
}

TEST_CASE("every word that the hand needs is in the catalogue", "[touch]") {
  std::vector<scenes::Fault> faults;
  const scenes::Text text = scenes::Text::read(assets() / "text" / "en.toml", faults);
  for (const sim::BurnClass& surface : shipped().classes) CHECK(text.has(surface.name));
  for (const Feel& feel : shipped().feels) CHECK(text.has(feel.text));
}

TEST_CASE("a hand may stay on a board of forty degrees for as long as it likes", "[touch]") {
  // Gypsum board: sqrt(0.25 x 900 x 1000) = 474.3; (1180 x 33 + 474.3 x 40) / 1654.3 = 35.007 °C.
  const HandReading board = hand_on(shipped(), material(0.25, 900.0, 1000.0), 313.15);
  CHECK(board.surface == "touch.plastic");
  CHECK(board.contact_k - 273.15 == Approx(35.007).margin(1e-3));
  CHECK(std::isinf(board.longest_contact_s));
}

TEST_CASE("steel, concrete, board and wood are each in their own class", "[touch]") {
  CHECK(hand_on(shipped(), material(50.0, 7800.0, 450.0), 300.0).surface == "touch.metal");
  CHECK(hand_on(shipped(), material(1.65, 2200.0, 1000.0), 300.0).surface == "touch.stone");
  CHECK(hand_on(shipped(), material(0.17, 1390.0, 900.0), 300.0).surface == "touch.plastic");
  CHECK(hand_on(shipped(), material(0.13, 500.0, 1600.0), 300.0).surface == "touch.wood");
  CHECK(hand_on(shipped(), material(0.03, 32.0, 1450.0), 300.0).surface == "touch.wood");
}

TEST_CASE("what is wrong with the file is one line with its place", "[touch]") {
  CHECK(fault_of(good_rest + "burns = [[1.0, 65.0], [10.0, 65.0]]\n") ==
        "12:23: 'burns' needs times that rise and temperatures that fall from point to point");
  CHECK(fault_of(good_rest + "burns = [[1.0]]\n") ==
        "12:10: 'burns' holds something else than [seconds of contact, temperature of the surface in °C]");
  CHECK(fault_of(good_rest + "burns = [[-1.0, 60.0]]\n") ==
        "12:11: 'burns' is -1, expected a number above 0, at most 1e+06");
  CHECK(fault_of(good_rest + "burns = 7\n").find("12:9: 'burns' is no list of points") == 0);
  CHECK(fault_of(good_rest).find("8:1: [[surface]] has no 'burns'") == 0);
  CHECK(fault_of(good_rest + "burns = [[1.0, 65.0]]\ncolour = 3\n").find("13:1: [[surface]] has no key 'colour'") == 0);
  CHECK(fault_of("hand = \n").find("this is not TOML 1.0") != std::string::npos);
}

TEST_CASE("a file that is not there is one fault", "[touch]") {
  std::vector<scenes::Fault> faults;
  static_cast<void>(read_touch("no-such-folder/touch.toml", faults));
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].line == 0);
}

}  // namespace warmbay::render
