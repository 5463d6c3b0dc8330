// Heat in = stored + taken up by damage + carried off as gas + out, wherever a scene that ships stops and after each of
// its steps, as it is and of materials that nothing happens to. (energy.case.toml looks at each scene's end alone.)

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "scenes/paint/painter.hpp"
#include "scenes/play/player.hpp"
#include "sim/bench.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

std::vector<std::string> shipped_scenes() {
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator(WARMBAY_SOURCE_DIR "/scenes/library"))
    if (entry.path().extension() == ".toml") paths.push_back("scenes/library/" + entry.path().filename().string());
  std::sort(paths.begin(), paths.end());
  return paths;
}

std::shared_ptr<const sim::Wall> without_damage(const sim::Wall& wall) {
  auto sound = std::make_shared<sim::Wall>(wall);
  for (sim::Material& material : sound->materials) material.damage.reset();
  for (sim::Cable& cable : sound->cables) cable.type.insulation.damage = cable.type.sheath.damage = nullptr;
  return sound;
}

/// Closes the books of a bench now. They are measured against the most that was generated, stored or let out in all, or
/// that flows through the wall in a minute (a settled wall without a source neither gains nor loses).
void check_books(const sim::Bench& bench) {
  const sim::Bench::Energy energy = bench.energy();
  const double accounted_j = energy.stored_j + energy.left_j + energy.taken_up_j + energy.with_gas_j;
  double through_w = 0.0;
  for (const sim::SurroundingsReading& side : bench.reading().surroundings)
    through_w = std::max(through_w, std::abs(side.heat_w));
  const double moved_j =
      std::max({std::abs(energy.generated_j), std::abs(energy.stored_j), std::abs(energy.left_j), 60.0 * through_w});
  INFO("after " << bench.time_s() << " s: generated " << energy.generated_j << " J, stored " << energy.stored_j
                << " J, let out " << energy.left_j << " J, taken up " << energy.taken_up_j << " J, carried off "
                << energy.with_gas_j << " J");
  CHECK(moved_j > 0.0);
  CHECK(std::abs(energy.generated_j - accounted_j) <= 1e-3 * moved_j);
}

/// Plays a scene to its end as people do, and closes the books wherever it stops on the way and after every step.
/// Returns the heat that damage took up or carried off, J.
double play(const scenes::Scene& scene, const std::shared_ptr<const sim::Wall>& wall) {
  scenes::PlayerOptions options;
  options.stop_between_steps = true;
  options.every_s = 600.0;
  options.threads = 1;
  scenes::Player player(std::make_shared<const scenes::Scene>(scene), wall, options);
  for (bool over = false; !over;) {
    while (!player.waiting()) player.advance(600.0);
    INFO("step " << player.step() + 1);
    check_books(player.bench());
    over = player.ended() || (player.step_over() && player.step() + 1 == static_cast<int>(scene.steps.size()));
    if (over) break;
    if (player.step_over())
      player.next();
    else
      player.go_on();
  }
  return player.bench().energy().taken_up_j + player.bench().energy().with_gas_j;
}

}  // namespace

TEST_CASE("the books of heat close within 0.1 % after every step of every scene that ships", "[slow]") {
  const scenes::DataFiles data = shipped_data();
  int played = 0, damaged = 0;
  for (const std::string& path : shipped_scenes()) {
    INFO(path);
    const scenes::Scene scene = read_case(path);
    if (scene.steps.empty()) continue;
    ++played;
    damaged += play(scene, scenes::paint(scene, data)) > 0.0;
  }
  CHECK(played >= 5);
  CHECK(damaged >= 1);  // or the books of damage were never opened
}

TEST_CASE("they close with materials that nothing happens to as well", "[slow]") {
  const scenes::DataFiles data = shipped_data();
  for (const std::string& path : shipped_scenes()) {
    INFO(path);
    const scenes::Scene scene = read_case(path);
    if (!scene.steps.empty()) CHECK(play(scene, without_damage(*scenes::paint(scene, data))) == 0.0);
  }
}
