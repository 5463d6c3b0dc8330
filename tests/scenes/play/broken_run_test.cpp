// A run whose temperatures turn into what is not a number: one line, what was good is written, and it does not end
// well.

#include <memory>
#include <sstream>

#include "scenes/cli/asked.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/support/failing_engine.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

TEST_CASE("a run that loses its temperatures writes what was good, says so in one line and ends with status 3") {
  const tests::TemporaryFolder folder;
  scenes::RunAsked asked;
  asked.file = folder.path() / "small.toml";
  asked.out = folder.path() / "out";
  asked.threads = 1;
  asked.engine = [](const sim::EngineParts& parts) { return std::make_unique<tests::Failing>(parts); };
  std::ofstream(asked.file) << tests::small_scene("[[step]]\ntitle = \"a\"\ncurrent_a = 10.0\nhold_min = 10.0\n");
  for (const bool until : {false, true}) {
    if (until) {
      asked.until_min = 20.0;
      asked.out = folder.path() / "until";
    }
    std::ostringstream out, err;
    CHECK(scenes::run(asked, {out, err}) == scenes::exit_machine);
    const std::string said = err.str();
    CHECK(std::count(said.begin(), said.end(), '\n') == 1);
    CHECK(said.find("small.toml") != std::string::npos);
    CHECK(said.find("not a number") != std::string::npos);
    std::ifstream readings(asked.out / "readings.csv");
    std::string line, last;
    while (std::getline(readings, line)) last = line;
    CHECK(std::stod(last) > 0.0);
    CHECK(std::stod(last) < 600.0);
  }
}
