// The published cases, run as `warmbay trust` runs them. What they are, where their numbers come from and why their
// tolerances are what they are stands in the case files beside this one (cases.toml lists them).

#include <algorithm>
#include <fstream>
#include <map>
#include <string>

#include "scenes/trust/case_reader.hpp"
#include "scenes/trust/runner.hpp"
#include "tests/standards/case_file.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

const std::filesystem::path root = WARMBAY_SOURCE_DIR;

scenes::TrustResult run_group(const std::string& group, int threads) {
  const scenes::DataFiles data = shipped_data();
  std::vector<scenes::ReadCase> cases = scenes::read_cases(root / "tests" / "standards", data);
  for (const scenes::ReadCase& one : cases)
    for (const scenes::Fault& fault : one.faults) FAIL(scenes::to_line(fault));
  std::erase_if(cases, [&](const scenes::ReadCase& one) { return one.read->group != group; });
  scenes::TrustOptions options;
  options.library = root / "scenes" / "library";
  options.threads = threads;
  return scenes::run_trust(std::move(cases), data, options);
}

/// Every check of every case of a group lies within its tolerance, but for those that are known to lie outside: where
/// those lie now is in their case files, with the reason. least_checks: so many there are, lest some get lost.
void check_group(const std::string& group, std::size_t least_checks) {
  const scenes::TrustResult result = run_group(group, 0);
  CHECK(result.checks() >= least_checks);
  for (const scenes::CaseResult& one : result.cases) {
    for (const scenes::CheckResult& check : one.checks) {
      INFO(one.file << ": " << check.check.name << ", published " << check.check.published << ", ours " << check.ours);
      CHECK(check.failure == "");
      const auto& deviates = check.check.deviates;
      CHECK(check.ours >= (deviates ? deviates->least : check.check.least));
      CHECK(check.ours <= (deviates ? deviates->most : check.check.most));
      CHECK(check.verdict == (deviates ? scenes::Verdict::explained : scenes::Verdict::within));
    }
  }
  CHECK(result.good());
}

}  // namespace

TEST_CASE("ISO 10211:2017 annex C, cases 1 to 4: every temperature and heat flow within the standard's tolerance") {
  check_group("ISO 10211", 47);
}

TEST_CASE("walls, bodies, sources and rods follow their closed forms, steady and in time", "[slow]") {
  check_group("closed forms", 104);
}

TEST_CASE("every size that ships has the resistance, the drop and the heat of its standard", "[slow]") {
  check_group("conductors", 52);
}

TEST_CASE("current ratings, and what changes them, come out as law and tables say, each within its reasoned band",
          "[slow]") {
  check_group("ratings", 133);
}

TEST_CASE("copper heats in a short time as the adiabatic limit and the fusing formula say") {
  check_group("short time", 3);
}

TEST_CASE("the books of heat of every scene that ships close within 0.1 % over all of its steps", "[slow]") {
  check_group("energy", 6);
}

TEST_CASE("no case belongs to a group that is not tested here, and the numbers do not depend on the threads") {
  const std::vector<std::string> tested{"ISO 10211",  "closed forms", "conductors",     "ratings",
                                        "short time", "energy",       "Common practice"};
  for (const scenes::ReadCase& one : scenes::read_cases(root / "tests" / "standards", shipped_data())) {
    INFO(one.file);
    REQUIRE(one.read);
    CHECK(std::count(tested.begin(), tested.end(), one.read->group) == 1);
  }
  const scenes::TrustResult alone = run_group("short time", 1), crowd = run_group("short time", 3);
  for (std::size_t c = 0; c < alone.cases.size(); ++c)
    for (std::size_t n = 0; n < alone.cases[c].checks.size(); ++n)
      CHECK(alone.cases[c].checks[n].ours == crowd.cases[c].checks[n].ours);
}

TEST_CASE("common practice: a 14 AWG cable in foam stands within what is left open, but for one reading", "[slow]") {
  check_group("Common practice", 15);
}

/// What stands between the marks of `trust.md` in a page.
std::string trust_tables(const std::filesystem::path& page) {
  std::ifstream in(page);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  const std::size_t from = text.find("<!-- trust.md: begin -->"), to = text.find("<!-- trust.md: end -->");
  return from < to && to != std::string::npos ? text.substr(from, to - from) : "";
}

TEST_CASE("the written tables hold every group and every case, as many checks as there are, and how many within") {
  const std::string summary = trust_tables(root / "README.md");
  const std::string tables = trust_tables(root / "tests" / "standards" / "README.md");
  REQUIRE(!summary.empty());
  CHECK(tables.find(summary) == 0);
  std::map<std::string, std::size_t> cases_of;
  for (const scenes::ReadCase& one : scenes::read_cases(root / "tests" / "standards", shipped_data())) {
    REQUIRE(one.read);
    ++cases_of[one.read->group];
    INFO(one.file);
    const std::size_t row = tables.find("\n| " + one.read->title + " |");
    REQUIRE(row != std::string::npos);
    if (one.read->every_scene) continue;
    const std::vector<scenes::Check>& checks = one.read->checks;
    const auto deviating =
        std::count_if(checks.begin(), checks.end(), [](const scenes::Check& check) { return check.deviates; });
    const std::string within = std::to_string(static_cast<std::ptrdiff_t>(checks.size()) - deviating);
    CHECK(tables.substr(row, tables.find('\n', row + 1) - row)
              .find("| " + within + " / " + std::to_string(checks.size()) + " |") != std::string::npos);
  }
  for (const auto& [group, cases] : cases_of) {
    INFO(group);
    CHECK(tables.find("\n| " + group + " | " + std::to_string(cases) + " |") != std::string::npos);
  }
}
