// Numbers that no wall can have are refused with the range that is allowed, and what is allowed can be computed.

#include "scenes/read/bounds.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "scenes/play/conditions.hpp"
#include "sim/settled.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

struct Key {
  std::string written;  // in the small scene
  scenes::Bounds bounds;
};

const std::vector<Key>& keys() {
  using namespace scenes::bounds;
  static const std::vector<Key> list{{"conductivity_w_mk = 0.2", conductivity_w_mk},
                                     {"density_kg_m3 = 700.0", density_kg_m3},
                                     {"heat_capacity_j_kgk = 1000.0", heat_capacity_j_kgk},
                                     {"film_w_m2k = 8.0", film_w_m2k},
                                     {"thickness_mm = 12.0", size_mm},
                                     {"conductor_mm2 = 1.5", conductor_mm2},
                                     {"growth = 2.0", growth},
                                     {"start_c = 20.0", celsius}};
  return list;
}

scenes::ReadScene read_with(const Key& key, const std::string& number) {
  std::string text = tests::small_scene("");
  const auto at = text.find(key.written);
  REQUIRE(at != std::string::npos);
  text.replace(at, key.written.size(), key.written.substr(0, key.written.find('=')) + "= " + number);
  return scenes::read_scene_text(text, "s.toml", scenes::DataFiles{});
}

}  // namespace

TEST_CASE("a number too small for single precision is a fault that states the range") {
  for (const auto& key : keys()) {
    for (const char* number : {"1e-40", "-1e-40", "1e-300", "4.9e-324"}) {
      if (key.bounds.least < 0.0) continue;
      const auto lines = tests::lines_of(read_with(key, number).faults);
      INFO(key.written << " becomes " << number << ":\n" << lines);
      CHECK(lines.find(fmt::format("expected a number from {:g} to {:g}", key.bounds.least, key.bounds.most)) !=
            std::string::npos);
    }
  }
}

TEST_CASE("numbers just outside their range are refused, those at its ends are not") {
  for (const auto& key : keys()) {
    const double inf = std::numeric_limits<double>::infinity();
    for (const double outside : {std::nextafter(key.bounds.least, -inf), std::nextafter(key.bounds.most, inf)}) {
      const auto lines = tests::lines_of(read_with(key, fmt::format("{:.17e}", outside)).faults);
      CHECK(lines.find("expected a number from") != std::string::npos);
    }
    for (const double end : {key.bounds.least, key.bounds.most}) {
      const auto lines = tests::lines_of(read_with(key, fmt::format("{:.17e}", end)).faults);
      INFO(lines);
      CHECK(lines.find("expected a number from") == std::string::npos);
    }
  }
}

TEST_CASE("a wall of the least and the most that materials and films may have still settles") {
  // Every temperature lies between those of the surroundings when no current flows (the maximum principle).
  for (const auto& key : keys()) {
    if (key.written.starts_with("thickness") || key.written.starts_with("growth") ||
        key.written.starts_with("conductor") || key.written.starts_with("start"))
      continue;
    for (const double end : {key.bounds.least, key.bounds.most}) {
      INFO(key.written << " becomes " << end);
      const auto read = read_with(key, fmt::format("{:.17e}", end));
      REQUIRE(read.scene);
      const auto wall = scenes::paint(*read.scene, scenes::DataFiles{});
      const auto settled = sim::settle(wall, scenes::first_conditions(*read.scene, *wall), 1);
      REQUIRE(settled.outcome == sim::SettledOutcome::settled);
      for (const double kelvin : settled.state->reading.thermocouple_k) CHECK(kelvin == Approx(293.15).margin(0.01));
    }
  }
}

TEST_CASE("a box thinner than the grid can be is told, not lost") {
  const auto read = scenes::read_scene_text(
      tests::small_scene(
          "[[box]]\nmaterial = \"test foam\"\nx_mm = [1.0, 1.001]\ny_mm = [1.0, 2.0]\nz_mm = [1.0, 2.0]\n"),
      "s.toml", scenes::DataFiles{});
  CHECK(tests::lines_of(read.faults).find("'x_mm' is 0.001 mm thin, expected at least 0.005") != std::string::npos);
}
