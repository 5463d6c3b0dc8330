// The scene that ships as the default: its answers must not hang on the mesh, the threads or the frame rate.

#include <cmath>

#include "scenes/play/conditions.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/support/runs.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {
const std::string laundry = "scenes/library/laundry-wall.toml";
}

TEST_CASE("halving every voxel edge changes the conductor's rise in the default scene by less than 2 %", "[slow]") {
  scenes::Scene scene = read_case(laundry);
  const SolvedCase usual = solve_case(scene);
  scene.grid.coarse_m *= 0.5;
  scene.grid.fine_m *= 0.5;
  scene.grid.growth = std::sqrt(scene.grid.growth);  // half-sized voxels that grow as fast per metre
  const SolvedCase halved = solve_case(scene);
  INFO(usual.wall->grid.count() << " and " << halved.wall->grid.count() << " voxels");
  CHECK(halved.wall->grid.count() > 5 * usual.wall->grid.count());

  const sim::Reading& coarse = usual.settled.state->reading;
  const sim::Reading& fine = halved.settled.state->reading;
  REQUIRE(coarse.current_a > 0.0);
  double ambient_k = 1e9;
  for (const sim::Surroundings& s : usual.wall->surroundings) ambient_k = std::min(ambient_k, s.temperature_k);
  for (std::size_t n = 0; n < coarse.cables.size(); ++n) {
    INFO("cable " << usual.wall->cables[n].name << ": " << coarse.cables[n].hottest_k << " and "
                  << fine.cables[n].hottest_k << " K");
    CHECK(coarse.cables[n].hottest_k - ambient_k == Approx(fine.cables[n].hottest_k - ambient_k).epsilon(0.02));
  }
  // Every bay, not only the hottest: all thermocouples that sit on a cable.
  for (std::size_t n = 0; n < coarse.thermocouple_k.size(); ++n) {
    if (usual.wall->thermocouples[n].cable < 0) continue;
    INFO("thermocouple " << usual.wall->thermocouples[n].name);
    CHECK(coarse.thermocouple_k[n] - ambient_k == Approx(fine.thermocouple_k[n] - ambient_k).epsilon(0.02));
  }
}

TEST_CASE(
    "the default scene keeps its books: heat in is stored plus left within 0.1 %, bit-identical on 1 to 4 threads",
    "[slow]") {
  const scenes::Scene scene = read_case(laundry);
  const auto wall = paint_case(scene);
  CHECK(wall->grid.count() >= 250000);
  std::vector<float> first;
  for (const int threads : {1, 2, 3, 4}) {
    INFO(threads << " threads");
    sim::Bench bench = bench_at(wall, 24.0, 2.0, threads);
    bench.set_conditions(scenes::first_conditions(scene, *wall));
    bench.set_segment_end(240.0);
    // Other cuts for every count of threads: neither may matter.
    for (double t_s = 0.0; t_s < 240.0; t_s += 3.1 * threads) bench.advance_to(t_s);
    bench.advance_to(240.0);
    const auto energy = bench.energy();
    CHECK(energy.stored_j + energy.left_j == Approx(energy.generated_j).epsilon(1e-3));
    const auto field = bench.snapshot()->temperature_k;
    if (first.empty()) first = field;
    CHECK(field == first);
  }
}
