// Round cables in square voxels: how little the answer hangs on how many voxels stand for the sheath.

#include <cmath>

#include "scenes/play/conditions.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/support/closed_forms.hpp"
#include "tests/support/runs.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

TEST_CASE("a cable in foam follows a heated core on 6, 12 and 24 voxels across its sheath (Carslaw & Jaeger 13.7)",
          "[slow]") {
  const HeatedCore twin{0.0036, 60.0, 0.6, 0.035, 0.035 / (20.0 * 1450.0), 23.3237};
  scenes::Scene scene = read_case("tests/standards/heated-core.toml");
  for (const int across : {6, 12, 24}) {
    scene.grid.fine_m = 0.0072 / across;
    const auto wall = paint_case(scene);
    sim::Bench bench = bench_at(wall, 20.0, 2.0);
    bench.set_conditions(scenes::first_conditions(scene, *wall));
    for (const double time_s : {60.0, 300.0, 900.0, 1500.0, 3600.0}) {
      INFO(across << " voxels across the sheath, after " << time_s << " s");
      const double rise_k = 4000.0 * (read_at(bench, time_s).cables[0].hottest_k - sim::datum_k);
      // The staircase of six voxels stands for the circle within 2 %; so must every finer one.
      CHECK(rise_k == Approx(heated_core_rise_k(twin, 4.0, time_s)).epsilon(0.02));
    }
  }
}
