// Every cable that ships has a place among the published cases (conductors-*.case.toml): none ships unchecked.

#include <algorithm>

#include "scenes/trust/case_reader.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

TEST_CASE("every cable that ships lies in the scene of the resistance cases, 1 m of it") {
  const scenes::Scene scene = read_case("tests/standards/every-cable.toml");
  for (const scenes::SourcedCableType& type : shipped_data().cable_types) {
    INFO(type.name);
    const auto of_type = [&](const scenes::CableRun& run) { return run.type == type.name; };
    const auto run = std::find_if(scene.cables.begin(), scene.cables.end(), of_type);
    REQUIRE(run != scene.cables.end());
    CHECK(run->route_m.back()[0] - run->route_m.front()[0] == Approx(1.0));
  }
}

TEST_CASE("cables of one size have one resistance, whatever their sheath is rated for") {
  const SolvedCase solved = solve_case(read_case("tests/standards/every-cable.toml"));
  const auto drop_v = [&](const std::string& type) {
    for (std::size_t n = 0; n < solved.wall->cables.size(); ++n)
      if (solved.wall->cables[n].name == type) return solved.settled.state->reading.cables[n].drop_v;
    FAIL("no cable " << type);
    return 0.0;
  };
  for (const std::string gauge : {"awg14", "awg12", "awg10", "awg8"})
    CHECK(drop_v(gauge + " 2+earth 90C") == Approx(drop_v(gauge + " 2+earth 60C")).epsilon(2e-4));
}
