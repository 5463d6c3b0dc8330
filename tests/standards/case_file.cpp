#include "tests/standards/case_file.hpp"

#include <filesystem>
#include <stdexcept>

#include "scenes/file/scene_file.hpp"
#include "scenes/paint/painter.hpp"
#include "scenes/play/conditions.hpp"
#include "tests/tests_pch.hpp"

namespace warmbay::tests {
namespace {

const std::filesystem::path root = WARMBAY_SOURCE_DIR;

scenes::Scene fine(scenes::ReadScene read) {
  std::string faults;
  for (const scenes::Fault& fault : read.faults) faults += scenes::to_line(fault) + "\n";
  INFO(faults);
  REQUIRE(read.scene.has_value());
  return *read.scene;
}

}  // namespace

scenes::DataFiles shipped_data() {
  scenes::ReadDataFiles read = scenes::read_data_files(root / "assets");
  std::string faults;
  for (const scenes::Fault& fault : read.faults) faults += scenes::to_line(fault) + "\n";
  INFO(faults);
  REQUIRE(read.faults.empty());
  return read.data;
}

scenes::Scene read_case(const std::string& path) {
  return fine(scenes::read_scene(root / path, shipped_data()));
}

scenes::Scene read_case_text(const std::string& text, const std::string& name) {
  return fine(scenes::read_scene_text(text, name, shipped_data()));
}

std::shared_ptr<const sim::Wall> paint_case(const scenes::Scene& scene) {
  return scenes::paint(scene, shipped_data());
}

SolvedCase solve_case(const scenes::Scene& scene) {
  SolvedCase solved;
  solved.wall = paint_case(scene);
  solved.settled = sim::settle(solved.wall, scenes::first_conditions(scene, *solved.wall));
  INFO(scene.title << ": " << solved.wall->grid.count() << " voxels, balance " << solved.settled.balance);
  REQUIRE(solved.settled.outcome == sim::SettledOutcome::settled);
  REQUIRE(solved.settled.balance <= 1e-5);
  return solved;
}

double SolvedCase::celsius(const std::string& thermocouple) const {
  for (std::size_t n = 0; n < wall->thermocouples.size(); ++n) {
    if (wall->thermocouples[n].name == thermocouple) {
      return sim::celsius_from_kelvin(settled.state->reading.thermocouple_k[n]);
    }
  }
  throw std::invalid_argument("no thermocouple is named " + thermocouple);
}

const sim::SurroundingsReading& SolvedCase::side(const std::string& surroundings) const {
  for (std::size_t n = 0; n < wall->surroundings.size(); ++n) {
    if (wall->surroundings[n].name == surroundings) return settled.state->reading.surroundings[n];
  }
  throw std::invalid_argument("no surroundings are named " + surroundings);
}

double SolvedCase::heat_w(const std::string& surroundings) const {
  return side(surroundings).heat_w;
}

}  // namespace warmbay::tests
