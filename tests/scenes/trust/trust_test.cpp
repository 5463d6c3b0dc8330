// `warmbay trust`: case files and their faults, what is read off a scene, and what the command says and writes.

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "scenes/cli/commands.hpp"
#include "scenes/trust/case_reader.hpp"
#include "scenes/trust/outputs.hpp"
#include "scenes/trust/runner.hpp"
#include "scenes/trust/terminal_table.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;
namespace fs = std::filesystem;

namespace {

/// A case file of the small scene with these checks.
std::string case_text(const std::string& checks, const std::string& title = "Small, \"quoted\", case") {
  return "format = 1\ntitle = '" + title +
         "'\ngroup = \"tests\"\nsource = \"made up <for tests>\"\nmark = \"computed\"\n"
         "tolerance_why = \"made up\"\nscene = \"small.toml\"\n" +
         checks;
}

std::string one_check(const std::string& name, const std::string& rest) {
  return "[[check]]\nname = \"" + name + "\"\n" + rest + "\n";
}

/// A check that comes true: nothing is warm yet.
const std::string at_rest = one_check(
    "face at the start", "what = \"celsius\"\nof = \"sheath\"\nat_min = 0.001\npublished = 20.0\ntolerance = 0.5");

/// A folder of cases: a list, the small scene with two steps, and case files by name.
struct Cases {
  explicit Cases(const std::vector<std::pair<std::string, std::string>>& files, const std::string& list = "") {
    std::string names;
    for (const auto& [name, text] : files) {
      if (!text.empty()) static_cast<void>(folder.write(name, text));
      names += "\"" + name + "\", ";
    }
    static_cast<void>(folder.write("cases.toml", list.empty() ? "format = 1\ncases = [" + names + "]\n" : list));
    static_cast<void>(folder.write("small.toml", small_scene(two_steps)));
  }
  [[nodiscard]] std::vector<scenes::ReadCase> read() const { return scenes::read_cases(folder.path(), none); }
  [[nodiscard]] scenes::TrustResult run(int threads = 1) const {
    scenes::TrustOptions options;
    options.library = folder.path() / "library";
    options.threads = threads;
    return scenes::run_trust(read(), none, options);
  }
  TemporaryFolder folder;
  scenes::DataFiles none;
};

/// All faults of a single case with these checks, without the path.
std::string faults_of(const std::string& text) {
  const Cases cases({{"a.case.toml", text}});
  const std::vector<scenes::ReadCase> read = cases.read();
  std::string lines;
  for (const scenes::Fault& fault : read.at(0).faults)
    lines += std::to_string(fault.line) + ":" + std::to_string(fault.column) + ": " + fault.text + "\n";
  return lines;
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

const scenes::CheckResult& result_of(const scenes::TrustResult& result, const std::string& name) {
  for (const scenes::CaseResult& one : result.cases)
    for (const scenes::CheckResult& check : one.checks)
      if (check.check.name == name) return check;
  FAIL("no check " << name);
  return result.cases.at(0).checks.at(0);
}

scenes::Text english() {
  std::vector<scenes::Fault> faults;
  const scenes::Text text = scenes::Text::read(fs::path(WARMBAY_SOURCE_DIR) / "assets" / "text" / "en.toml", faults);
  REQUIRE(faults.empty());
  return text;
}

struct Answer {
  int status;
  std::string out;
  std::string err;
};

/// `warmbay trust WORDS` with a folder of cases of its own in place of the shipped ones.
Answer trust(const Cases& cases, std::vector<std::string> words = {}) {
  const TemporaryFolder home;
  fs::create_directory_symlink(fs::path(WARMBAY_SOURCE_DIR) / "assets", home.path() / "assets");
  fs::create_directory_symlink(cases.folder.path(), home.path() / "standards");
  REQUIRE(::setenv("WARMBAY_HOME", home.path().c_str(), 1) == 0);
  words.insert(words.begin(), "trust");
  std::ostringstream out;
  std::ostringstream err;
  const int status = scenes::run_command(words, nullptr, {out, err, false});
  ::unsetenv("WARMBAY_HOME");
  return {status, out.str(), err.str()};
}

}  // namespace

TEST_CASE("every fault of a case file is told, with its place and what was expected", "[trust]") {
  const std::string twice = one_check("twice",
                                      "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\ntolerance = 1.0\n"
                                      "band = [0.0, 2.0]");
  struct Slip {
    std::string checks;
    std::string told;
  };
  const std::vector<Slip> slips{
      {one_check("a", "what = \"hotness\"\npublished = 1.0\ntolerance = 1.0"),
       "10:8: 'what' is 'hotness', expected one of: celsius"},
      {one_check("a", "what = \"celsius\"\nof = \"sheeth\"\npublished = 1.0\ntolerance = 1.0"),
       "11:6: 'of' is 'sheeth', expected a thermocouple of small.toml; did you mean 'sheath'?"},
      {one_check("a", "what = \"drop_v\"\nof = \"sheath\"\npublished = 1.0\ntolerance = 1.0"),
       "11:6: 'of' is 'sheath', expected a cable of small.toml"},
      {one_check("a", "what = \"heat_w\"\npublished = 1.0\ntolerance = 1.0"),
       "check 'a' has no 'of', expected a text in quotes"},
      {one_check("a", "what = \"heat_w\"\nof = \"room\"\ntolerance = 1.0"),
       "check 'a' has no 'published', expected a number"},
      {one_check("a", "what = \"heat_w\"\nof = \"room\"\npublished = 1.0"),
       "check 'a' has no 'tolerance', expected that, tolerance_percent or band"},
      {twice, "14:8: more than one of 'tolerance', 'tolerance_percent' and 'band' is there"},
      {one_check("a", "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\nband = [2.0, 1.0]"),
       "13:8: 'band' runs from 2 to 1"},
      {one_check("a", "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\ntolerance = 0.0"), "13:13: 'tolerance' is 0"},
      {one_check("a", "what = \"limit_a\"\nof = \"feed\"\npublished = 1.0\ntolerance = 1.0"),
       "check 'a' has no 'celsius'"},
      {one_check("a",
                 "what = \"limit_a\"\nof = \"feed\"\ncelsius = 40.0\nat_min = 1.0\npublished = 1.0\ntolerance = 1.0"),
       "13:1: check 'a' has no key 'at_min'"},
      {one_check("a",
                 "what = \"heat_w\"\nof = \"room\"\nat_min = 1.0\ncurrent_a = 2.0\npublished = 1.0\ntolerance = 1.0"),
       "12:10: 'at_min' stands beside"},
      {one_check("a", "what = \"heat_w\"\nof = \"room\"\nat_min = -1.0\npublished = 1.0\ntolerance = 1.0"),
       "12:10: 'at_min' is -1"},
      {one_check("a",
                 "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\nband = [0.5, 1.5]\n"
                 "deviates = { to = [0.6, 1.4], why = \"so\" }"),
       "14:19: 'to' runs from 0.6 to 1.4, expected a range that reaches beyond the tolerance"},
      {one_check("a",
                 "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\nband = [0.5, 1.5]\n"
                 "deviates = { to = [1.4, 1.6] }"),
       "deviates of check 'a' has no 'why'"},
      {one_check("a",
                 "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\ntolerance = 0.5\norder = { size = [2.0, 1.0, 0.5] "
                 "}"),
       "order of check 'a' has no 'step_s', expected that, or size and with"},
      {one_check("a",
                 "what = \"heat_w\"\nof = \"room\"\npublished = 1.0\ntolerance = 0.5\n"
                 "order = { size = [1.0, 2.0, 0.5], with = [{}, {}] }"),
       "'with' has 2 tables, expected 3"},
      {one_check("a",
                 "what = \"heat_w\"\nof = \"room\"\nat_min = 1.0\npublished = 1.0\ntolerance = 0.5\n"
                 "order = { step_s = [1.0, 2.0, 0.5] }"),
       "the sizes do not fall, expected coarse to fine"},
      {"[[cheque]]\nname = \"a\"\n", "8:3: this file has no key 'cheque', expected one of: format, title"},
  };
  for (const Slip& slip : slips) {
    const std::string lines = faults_of(case_text(slip.checks));
    INFO(slip.checks << lines);
    CHECK(holds(lines, slip.told));
  }
  CHECK(holds(faults_of("format = 1\ntitle = \"a\n"), "2:11: this is not TOML 1.0"));
  CHECK(holds(faults_of("format = 2\n"), "'format' is 2, expected a whole number from 1 to 1"));
  CHECK(holds(faults_of("format = 1\nmark = \"sure\"\n"),
              "expected one of: published, computed, from memory, common practice"));
  CHECK(holds(faults_of("every_scene = true\nscene = \"small.toml\"\n"), "'scene' stands beside 'every_scene'"));
  CHECK(holds(
      faults_of("every_scene = true\n" + one_check("a",
                                                   "what = \"imbalance_percent\"\npublished = 0.0\ntolerance = 1.0\n"
                                                   "order = { step_s = [4.0, 2.0, 1.0] }")),
      "'order' stands in a case of 'every_scene'"));
  CHECK(faults_of(case_text(at_rest)).empty());
}

TEST_CASE("a missing scene and a scene with faults are faults of its case", "[trust]") {
  const std::string there = case_text(at_rest);
  std::string missing = there;
  missing.replace(missing.find("small.toml"), 10, "other.toml");
  CHECK(holds(faults_of(missing), "7:9: 'scene' is 'other.toml', expected a sound scene file beside this one"));
  const Cases cases({{"a.case.toml", there}});
  static_cast<void>(cases.folder.write("small.toml", "format = 1\n"));
  const std::string lines = lines_of(cases.read().at(0).faults);
  CHECK(holds(lines, "a.case.toml:7:9: "));
  CHECK(holds(lines, "small.toml:1:1: "));
}

TEST_CASE("a case that is missing, malformed or not listed counts as failed, and the others run", "[trust]") {
  const Cases cases({{"good.case.toml", case_text(at_rest)}, {"gone.case.toml", ""}, {"bad.case.toml", "format = \n"}});
  static_cast<void>(cases.folder.write("stray.case.toml", case_text(at_rest)));
  const scenes::TrustResult result = cases.run();
  REQUIRE(result.cases.size() == 4);
  CHECK(result.within == 1);
  CHECK(result.outside == 0);
  CHECK(result.faulty == 3);
  CHECK_FALSE(result.good());
  CHECK(holds(lines_of(result.cases[1].faults), "gone.case.toml: cannot be read"));
  CHECK(holds(lines_of(result.cases[2].faults), "bad.case.toml:1:"));
  CHECK(holds(lines_of(result.cases[3].faults), "stray.case.toml: is not in cases.toml"));
}

TEST_CASE("a malformed list counts as failed, and every case file runs all the same", "[trust]") {
  const Cases cases({{"b.case.toml", case_text(at_rest)}, {"a.case.toml", case_text(at_rest)}},
                    "format = 1\ncases = 3\n");
  const scenes::TrustResult result = cases.run();
  REQUIRE(result.cases.size() == 3);
  CHECK(holds(lines_of(result.cases[0].faults), "cases.toml:2:9: 'cases' is a whole number"));
  CHECK(result.cases[1].file == "a.case.toml");
  CHECK(result.within == 2);
  CHECK(result.faulty == 1);
  const Cases nothing({}, "format = 1\ncases = []\n");
  CHECK_FALSE(nothing.run().good());
}

TEST_CASE("checks read what settle, limit and play give, under the conditions they ask for", "[trust]") {
  const std::string checks =
      one_check("settled", "what = \"hottest_c\"\nof = \"feed\"\npublished = 20.0\nband = [20.0, 80.0]") +
      one_check("settled, no current",
                "what = \"hottest_c\"\nof = \"feed\"\ncurrent_a = 0.0\npublished = 20.0\ntolerance = 0.01") +
      one_check("settled, warm around",
                "what = \"hottest_c\"\nof = \"feed\"\ncurrent_a = 0.0\nambient_c = 50.0\npublished = 50.0\ntolerance = "
                "0.01") +
      one_check("limit", "what = \"limit_a\"\nof = \"feed\"\ncelsius = 40.0\npublished = 10.0\nband = [1.0, 30.0]") +
      one_check("limit at 30",
                "what = \"limit_a\"\nof = \"feed\"\ncelsius = 40.0\nambient_c = 30.0\n"
                "relative_to = { celsius = 40.0, ambient_c = 20.0 }\npublished = 0.70710678\ntolerance_percent = 0.1") +
      one_check("halfway", "what = \"hottest_c\"\nof = \"feed\"\nat_min = 4.0\npublished = 25.0\nband = [20.0, 99.0]") +
      one_check("halfway, as a rise",
                "what = \"hottest_c\"\nof = \"feed\"\nless = 20.0\ntimes = 10.0\nat_min = 4.0\npublished = 25.0\nband "
                "= [0.0, 999.0]") +
      one_check("beyond the end",
                "what = \"hottest_c\"\nof = \"feed\"\nat_min = 60.0\npublished = 25.0\ntolerance = 1.0") +
      one_check("reached",
                "what = \"reach_s\"\nof = \"feed\"\ncelsius = 25.0\npublished = 150.0\nband = [120.0, 360.0]") +
      one_check("never reached",
                "what = \"reach_s\"\nof = \"feed\"\ncelsius = 500.0\npublished = 1.0\ntolerance = 1.0") +
      one_check("books", "what = \"imbalance_percent\"\npublished = 0.0\ntolerance = 0.1") +
      one_check("copper", "what = \"conductor_mm2\"\nof = \"feed\"\npublished = 1.5\ntolerance = 1e-9") +
      one_check("wrong", "what = \"conductor_mm2\"\nof = \"feed\"\npublished = 2.5\ntolerance = 0.1");
  const Cases cases({{"a.case.toml", case_text(checks)}});
  const scenes::TrustResult result = cases.run();
  REQUIRE(result.cases.at(0).faults.empty());
  for (const std::string name : {"settled", "settled, no current", "settled, warm around", "limit", "limit at 30",
                                 "halfway", "reached", "books", "copper"}) {
    INFO(name << " " << result_of(result, name).ours << " " << result_of(result, name).failure);
    CHECK(result_of(result, name).verdict == scenes::Verdict::within);
  }
  CHECK(result_of(result, "halfway, as a rise").ours == Approx(10.0 * (result_of(result, "halfway").ours - 20.0)));
  CHECK(result_of(result, "reached").ours > 120.0);  // the light step does not get there
  CHECK(holds(result_of(result, "beyond the end").failure, "the scene ends before, at 6 min"));
  CHECK(holds(result_of(result, "never reached").failure, "never came to 500"));
  CHECK(result_of(result, "never reached").verdict == scenes::Verdict::outside);
  CHECK(result_of(result, "wrong").failure.empty());
  CHECK(result_of(result, "wrong").verdict == scenes::Verdict::outside);
  CHECK(result.outside == 3);
}

TEST_CASE("the order that was put into three readings comes out again, and no other readings have one", "[trust]") {
  for (const double order : {0.5, 1.0, 1.7, 2.0, 4.0})
    for (const std::array<double, 3>& sizes : {std::array{4.0, 2.0, 1.0}, {3.0, 1.5, 1.0}, {5.0, 4.0, 1.0}}) {
      std::array<double, 3> readings{};
      for (int n = 0; n < 3; ++n) readings[n] = 60.0 - 2.5 * std::pow(sizes[n], order);
      INFO(order << " from " << sizes[0] << ", " << sizes[1]);
      CHECK(scenes::observed_order(readings, sizes) == Approx(order).epsilon(1e-6));
    }
  CHECK(std::isnan(scenes::observed_order({1.0, 2.0, 1.5}, {4.0, 2.0, 1.0})));  // to and fro
  CHECK(std::isnan(scenes::observed_order({1.0, 1.0, 1.0}, {4.0, 2.0, 1.0})));
}

TEST_CASE("a check that is outside where its case says so, and why, is told as that and does not fail", "[trust]") {
  const auto checks = [](const std::string& to) {
    return at_rest + one_check("wrong",
                               "what = \"conductor_mm2\"\nof = \"feed\"\npublished = 2.5\ntolerance = 0.1\n"
                               "deviates = { to = " +
                                   to + ", why = \"the book has a misprint\" }");
  };
  const Cases known({{"a.case.toml", case_text(checks("[1.4, 1.6]"))}});
  const scenes::TrustResult result = known.run();
  CHECK(result_of(result, "wrong").verdict == scenes::Verdict::explained);
  CHECK(result.within == 1);
  CHECK(result.explained == 1);
  CHECK(result.good());
  std::ostringstream out;
  scenes::print_trust_table(out, result, english());
  CHECK(holds(out.str(), "  a.case.toml: wrong: deviates\n"));
  CHECK(holds(out.str(), "the book has a misprint"));
  CHECK(holds(out.str(), "1 of 2 checks lie within their tolerance."));
  CHECK(holds(scenes::trust_html(result, english()), "the book has a misprint"));
  CHECK(holds(scenes::trust_csv(result), "false,the book has a misprint\n"));
  const auto json = nlohmann::json::parse(scenes::trust_json(result));
  CHECK(json["outside_explained"] == 1);
  CHECK(json["cases"][0]["checks"][1]["deviates"]["why"] == "the book has a misprint");
  CHECK(trust(known).status == 0);

  // A value that has come into its tolerance asks for the pin to go, and fails until it has gone.
  std::string healed = checks("[1.7, 1.9]");
  healed.replace(healed.find("published = 2.5"), 15, "published = 1.5");
  const Cases within({{"a.case.toml", case_text(healed)}});
  CHECK(result_of(within.run(), "wrong").verdict == scenes::Verdict::outside);
  CHECK(holds(result_of(within.run(), "wrong").failure, "take its 'deviates' away"));
  CHECK(trust(within).status == 1);

  const Cases elsewhere({{"a.case.toml", case_text(checks("[1.6, 2.6]"))}});
  CHECK(result_of(elsewhere.run(), "wrong").verdict == scenes::Verdict::outside);
  CHECK(trust(elsewhere).status == 1);
}

TEST_CASE("a case of every scene asks each one that ships with steps, and names a broken one", "[trust]") {
  const std::string every =
      "format = 1\ntitle = \"Books\"\ngroup = \"tests\"\nsource = \"made up\"\nmark = \"computed\"\n"
      "tolerance_why = \"made up\"\nevery_scene = true\n" +
      one_check("books", "what = \"imbalance_percent\"\npublished = 0.0\ntolerance = 0.1");
  const Cases cases({{"a.case.toml", every}});
  CHECK(cases.run().faulty == 1);  // nothing ships: nothing was checked
  fs::create_directory(cases.folder.path() / "library");
  static_cast<void>(cases.folder.write("library/one.toml", small_scene(two_steps)));
  static_cast<void>(cases.folder.write("library/still.toml", small_scene("")));
  static_cast<void>(cases.folder.write("library/two.toml", "format = 1\n"));
  const scenes::TrustResult result = cases.run(2);
  REQUIRE(result.cases.at(0).checks.size() == 2);
  CHECK(result_of(result, "one: books").verdict == scenes::Verdict::within);
  CHECK(holds(result_of(result, "two: books").failure, "two.toml:1:1: "));
}

TEST_CASE("the table keeps its columns and its width, and says at its end what is outside", "[trust]") {
  const std::string checks =
      at_rest + one_check("wrong", "what = \"conductor_mm2\"\nof = \"feed\"\npublished = 2.5\ntolerance = 0.1") +
      one_check("known",
                "what = \"conductor_mm2\"\nof = \"feed\"\npublished = 2.5\nband = [2.4, 2.6]\n"
                "deviates = { to = [1.4, 1.6], why = \"the book has a misprint\" }");
  const Cases cases({{"a.case.toml", case_text(checks)}, {"gone.case.toml", ""}});
  std::ostringstream out;
  scenes::print_trust_table(out, cases.run(), english());
  std::istringstream lines(out.str());
  for (std::string line; std::getline(lines, line);) {
    INFO(line);
    // Code points: those that do not begin a character do not count.
    CHECK(std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; }) < 120);
  }
  CHECK(holds(out.str(), "OUTSIDE"));
  CHECK(holds(out.str(), "  a.case.toml: wrong: OUTSIDE\n"));
  CHECK(holds(out.str(), "  gone.case.toml: NOT RUN\n"));
  CHECK(holds(out.str(), "1 of 3 checks lie within their tolerance."));
  CHECK(holds(out.str(), "Not for sizing cables."));
}

TEST_CASE("page, CSV and JSON hold every check, made harmless where it must be", "[trust]") {
  const Cases cases({{"a.case.toml", case_text(at_rest)}, {"gone.case.toml", ""}});
  const scenes::TrustResult result = cases.run();
  const std::string html = scenes::trust_html(result, english());
  CHECK(holds(html, "made up &lt;for tests&gt; (computed)"));
  CHECK(holds(html, "Not for sizing cables."));
  CHECK(holds(html, "face at the start"));
  CHECK(holds(html, "gone.case.toml: NOT RUN"));

  const std::string csv = scenes::trust_csv(result);
  CHECK(std::count(csv.begin(), csv.end(), '\n') == 3);
  CHECK(holds(csv,
              "\n\"Small, \"\"quoted\"\", case\",tests,made up <for tests>,computed,small.toml,face at the "
              "start,°C,0.001,20,19.5,20.5,20"));
  CHECK(holds(csv, "\ngone.case.toml,,,,,,,,,,,,,false,"));

  const auto json = nlohmann::json::parse(scenes::trust_json(result));
  CHECK(json["checks"] == 1);
  CHECK(json["cases_not_run"] == 1);
  CHECK(json["cases"][0]["checks"][0]["within"] == true);
  CHECK(json["cases"][0]["checks"][0]["published"] == 20.0);
  CHECK(json["cases"][1]["faults"].size() == 1);
}

TEST_CASE("warmbay trust ends with 0 only when nothing is outside without a reason, and names what is", "[trust]") {
  const Cases good({{"a.case.toml", case_text(at_rest)}});
  const TemporaryFolder out;
  const Answer fine = trust(good, {"--out", (out.path() / "results").string()});
  INFO(fine.err);
  CHECK(fine.status == 0);
  CHECK(fine.err.empty());
  for (const std::string name : {"trust.html", "trust.csv", "trust.json"})
    CHECK(fs::exists(out.path() / "results" / name));

  const Answer json = trust(good, {"--json"});
  CHECK(json.status == 0);
  CHECK(nlohmann::json::parse(json.out)["within"] == 1);

  const Cases missing({{"a.case.toml", case_text(at_rest)}, {"gone.case.toml", ""}});
  const Answer named = trust(missing);
  CHECK(named.status == 1);
  CHECK(holds(named.err, "gone.case.toml: cannot be read"));
  CHECK(holds(named.out, "1 of 1 checks"));

  const Cases wrong(
      {{"a.case.toml",
        case_text(one_check("wrong", "what = \"conductor_mm2\"\nof = \"feed\"\npublished = 2.5\ntolerance = 0.1"))}});
  CHECK(trust(wrong).status == 1);
  CHECK(trust(good, {"--out", "/dev/null/there"}).status == 3);
  CHECK(trust(good, {"--no-such-option"}).status == 2);
}
