// What a file or a name holds cannot steer the terminal that it is printed on.

#include "scenes/read/printable.hpp"

#include "scenes/cli/commands.hpp"
#include "scenes/output/csv.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

std::string faults_of(const std::string& from, const std::string& to) {
  std::string text = tests::small_scene("");
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  text.replace(at, from.size(), to);
  return tests::lines_of(scenes::read_scene_text(text, "s.toml", scenes::DataFiles{}).faults);
}

}  // namespace

TEST_CASE("control characters are printed as their numbers, everything else as it is") {
  CHECK(scenes::printable("plain ü 日本 \"'") == "plain ü 日本 \"'");
  CHECK(scenes::printable("a\x1b]0;b\x07") == "aU+001B]0;bU+0007");
  CHECK(scenes::printable("a\nb\x7f") == "aU+000AbU+007F");
  CHECK(scenes::printable("\xC2\x9B"
                          "31m") == "U+009B31m");                                // the one-character CSI of Latin-1
  CHECK(scenes::printable("\xE2\x80\xAEgnp.") == "U+202Egnp.");                  // turns the direction of writing
  CHECK(scenes::printable("\xE2\x80\x93 \xC2\xA0") == "\xE2\x80\x93 \xC2\xA0");  // a dash and a blank are none
  CHECK(scenes::printable("\xC2") == "\xC2");                                    // half a character at the end
}

TEST_CASE("titles and names with control characters are faults with their place") {
  CHECK(faults_of("title = \"Cable in foam\"", "title = \"Cable \\u001b]0;x\\u0007\"") ==
        "s.toml:2:9: 'title' holds the control character U+001B, expected only characters that can be read\n");
  CHECK(faults_of("title = \"Cable in foam\"", "title = \"moof \\u202E\"") ==
        "s.toml:2:9: 'title' holds the control character U+202E, expected only characters that can be read\n");
  CHECK(faults_of("name = \"face, \\\"room\\\"\"", "name = \"two\\nlines\"")
            .find("'name' holds the control character U+000A") != std::string::npos);
  CHECK(faults_of("cautions = []", "cautions = [\"a\\u009b\"]")
            .find(":4:13: 'cautions' holds the control character U+009B") != std::string::npos);
  CHECK(faults_of("summary = \"A small wall for tests.\"", "summary = \"Two\\nlines and a\\ttab.\"").empty());
}

TEST_CASE("a key and a name of a file that would steer the terminal are escaped in faults") {
  CHECK(faults_of("cautions = []", "cautions = []\n\"\\u001b[2J\" = 1").find("has no key 'U+001B[2J'") !=
        std::string::npos);
  std::ostringstream out;
  std::ostringstream err;
  CHECK(scenes::run_command({"check", "no\x1b[2Jsuch"}, nullptr, {out, err, false}) == scenes::exit_scene_errors);
  CHECK(err.str() == "noU+001B[2Jsuch: cannot be read: No such file or directory; expected a scene file\n");
}

TEST_CASE("a name that a spreadsheet would work out gets an apostrophe, a number stays one") {
  CHECK(scenes::csv_field("=1+1") == "'=1+1");
  CHECK(scenes::csv_field("+a") == "'+a");
  CHECK(scenes::csv_field("-a") == "'-a");
  CHECK(scenes::csv_field("@a") == "'@a");
  CHECK(scenes::csv_field("=HYPERLINK(\"x\",1)") == "\"'=HYPERLINK(\"\"x\"\",1)\"");
  CHECK(scenes::csv_field("a=1") == "a=1");
  CHECK(scenes::csv_field("").empty());
  CHECK(scenes::events_csv({{-1.5, "smoke", "=feed", -2.0, "@"}}) ==
        "time_s,event,where,value,text\n-1.5,smoke,'=feed,-2,'@\n");
}
