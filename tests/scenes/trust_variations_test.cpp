// What a case leaves open: its variations are read with their faults, run beside the case, and shown; nothing is held
// against them.

#include <nlohmann/json.hpp>
#include <sstream>

#include "scenes/trust/case_reader.hpp"
#include "scenes/trust/outputs.hpp"
#include "scenes/trust/runner.hpp"
#include "scenes/trust/terminal_table.hpp"
#include "scenes/trust/words.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const std::string settled_case =
    "format = 1\ntitle = \"Small\"\ngroup = \"tests\"\nsource = \"made up\"\nmark = \"computed\"\ntolerance_why = "
    "\"w\"\n"
    "scene = \"small.toml\"\n"
    "[[check]]\nname = \"hot\"\nwhat = \"hottest_c\"\nof = \"feed\"\ncurrent_a = 6.0\npublished = 25.0\ntolerance = "
    "80\n"
    "[[check]]\nname = \"other\"\nwhat = \"hottest_c\"\nof = \"feed\"\ncurrent_a = 6.0\npublished = 25.0\n"
    "tolerance = 80\nwith = { \"cable_type.test cable.core_mm\" = 2.9 }\n";

struct Study {
  explicit Study(const std::string& vary) {
    data.unknowns = {{"foam", scenes::Scaled::conductivity, {"test foam"}, {0.5, 1.5}, "made up"}};
    static_cast<void>(folder.write("cases.toml", "format = 1\ncases = [\"a.case.toml\"]\n"));
    static_cast<void>(folder.write("small.toml", small_scene(two_steps)));
    static_cast<void>(folder.write("a.case.toml", settled_case + vary));
  }
  [[nodiscard]] std::string faults() const {
    std::string lines;
    const std::vector<scenes::ReadCase> read = scenes::read_cases(folder.path(), data);
    for (const scenes::Fault& fault : read.at(0).faults) lines += std::to_string(fault.line) + ": " + fault.text + "\n";
    return lines;
  }
  [[nodiscard]] scenes::TrustResult run(int threads) const {
    scenes::TrustOptions options;
    options.threads = threads;
    return scenes::run_trust(scenes::read_cases(folder.path(), data), data, options);
  }
  TemporaryFolder folder;
  scenes::DataFiles data;
};

const std::string named = "[[vary]]\nname = \"foam\"\nrange = \"half to half more\"\nsource = \"made up\"\n";
const std::string by_unknown = named + "unknown = \"foam\"\n";
const std::string by_ends = named +
                            "least = { \"material.test foam.conductivity_w_mk\" = 0.02 }\n"
                            "most = { \"material.test foam.conductivity_w_mk\" = 0.06 }\n";
const std::string by_one = named + "with = { \"material.test foam.conductivity_w_mk\" = 0.02 }\n";

}  // namespace

TEST_CASE("a range is the same by an unknown's factors as by the scene's own keys", "[trust]") {
  const Study study(by_unknown + by_ends + by_one);
  const scenes::TrustResult result = study.run(2);
  CHECK(result.good());
  const scenes::CaseResult& one = result.cases.at(0);
  REQUIRE(one.variations.size() == 3);
  const auto value = [&](std::size_t variation, std::size_t end) {
    const scenes::Measured& there = one.variations[variation].ends.at(end).values.at(0);
    CHECK(there.failure.empty());
    return there.value;
  };
  CHECK(value(0, 0) > one.checks[0].ours + 1.0);
  CHECK(value(0, 1) < one.checks[0].ours - 1.0);
  CHECK(value(1, 0) == Approx(value(0, 0)).margin(1e-3));
  CHECK(value(1, 1) == Approx(value(0, 1)).margin(1e-3));
  CHECK(value(2, 0) == value(1, 0));
  CHECK(one.variations[2].ends.size() == 1);
  // The second check reads a variant of its own: it is left out, and the numbers of threads change nothing.
  CHECK(scenes::varied_checks(one) == std::vector<std::size_t>{0});
  CHECK(study.run(1).cases[0].variations[0].ends[0].values[0].value == value(0, 0));
}

TEST_CASE("table, page and JSON show what is left open, and count no check for it", "[trust]") {
  const scenes::TrustResult result = Study(by_unknown).run(1);
  CHECK(result.within == 2);
  std::vector<scenes::Fault> faults;
  const auto text =
      scenes::Text::read(std::filesystem::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml", faults);
  const scenes::CaseResult& one = result.cases.at(0);
  const std::string change = scenes::change_words(one.checks[0], one.variations[0], 0);
  INFO(change);
  CHECK(change.front() == '+');
  CHECK(change.find("/-") != std::string::npos);
  std::ostringstream table;
  scenes::print_trust_table(table, result, text);
  CHECK(table.str().find("foam: half to half more") != std::string::npos);
  CHECK(table.str().find(change) != std::string::npos);
  CHECK(scenes::trust_html(result, text).find(change) != std::string::npos);
  const auto json = nlohmann::json::parse(scenes::trust_json(result));
  const auto& variation = json["cases"][0]["variations"][0];
  CHECK(variation["name"] == "foam");
  CHECK(variation["ends"].size() == 2);
  CHECK(variation["ends"][0][0].get<double>() > json["cases"][0]["checks"][0]["ours"].get<double>());
  CHECK(variation["ends"][0][1].is_null());
}

TEST_CASE("what is wrong with a [[vary]] is told with its line", "[trust]") {
  CHECK(Study(by_unknown).faults().empty());
  CHECK(Study(named).faults().find("has to have one of") != std::string::npos);
  CHECK(Study(by_unknown + "with = { \"wall.width_mm\" = 100.0 }\n").faults().find("has to have one of") !=
        std::string::npos);
  CHECK(Study(named + "least = { \"wall.width_mm\" = 100.0 }\n").faults().find("has to have one of") !=
        std::string::npos);
  CHECK(Study(named + "unknown = \"fome\"\n").faults().find("'unknown' is 'fome'") != std::string::npos);
  const std::string nowhere = Study(named + "with = { \"material.no such.density_kg_m3\" = 1.0 }\n").faults();
  INFO(nowhere);
  CHECK(nowhere.substr(0, 4) == "27: ");
  CHECK(Study("[[vary]]\nname = \"foam\"\nunknown = \"foam\"\n").faults().find("range") != std::string::npos);
}
