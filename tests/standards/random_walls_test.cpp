// A few of the random walls that random_walls runs by the thousand (DEVELOPERS.md).

#include "scenes/data/data_files.hpp"
#include "tests/random/random_run.hpp"
#include "tests/tests_pch.hpp"

TEST_CASE("random walls under random changes: inside their bound, heat accounted for, as finer steps have it",
          "[slow]") {
  const warmbay::scenes::ReadDataFiles files = warmbay::scenes::read_data_files(WARMBAY_SOURCE_DIR "/assets");
  REQUIRE(files.faults.empty());
  warmbay::tests::RandomRun rules;
  rules.changes = 8;
  warmbay::tests::RandomWalls walls;
  walls.most_voxels = 800;
  double furthest_k = 0.0, unaccounted = 0.0;
  for (std::uint64_t seed = 1; seed <= 30; ++seed) {
    const warmbay::tests::RandomOutcome one = warmbay::tests::run_random_wall(seed, files.data, rules, walls);
    INFO("wall " << seed << ": " << one.fault);
    CHECK(one.fault.empty());
    furthest_k = std::max(furthest_k, one.apart_k);
    unaccounted = std::max(unaccounted, one.unaccounted);
  }
  CHECK(furthest_k > 0.0);  // else nothing was compared
  CHECK(unaccounted > 0.0);
}

TEST_CASE("the rules for random walls catch a bench that mends nothing") {
  const warmbay::scenes::ReadDataFiles files = warmbay::scenes::read_data_files(WARMBAY_SOURCE_DIR "/assets");
  REQUIRE(files.faults.empty());
  warmbay::tests::RandomRun rules;
  rules.changes = 8;
  rules.mends = false;
  warmbay::tests::RandomWalls walls;
  walls.most_voxels = 800;
  int broken = 0;
  for (std::uint64_t seed = 1; seed <= 30; ++seed)
    broken += warmbay::tests::run_random_wall(seed, files.data, rules, walls).fault.empty() ? 0 : 1;
  CHECK(broken >= 3);
}

TEST_CASE(
    "a wall of matter lighter than any insulation, and quicker than air, is as finer steps have it, after every "
    "change") {
  const warmbay::scenes::ReadDataFiles files = warmbay::scenes::read_data_files(WARMBAY_SOURCE_DIR "/assets");
  REQUIRE(files.faults.empty());
  // One that is 0.71 K out where splitting may add as much as in other walls (limits::splitting_light_share).
  const warmbay::tests::RandomOutcome one = warmbay::tests::run_random_wall(1625, files.data, {});
  INFO(one.fault);
  CHECK(one.fault.empty());
  CHECK(one.apart_k > 0.0);
}
