// Depth is told before the parser sees a text. Which characters nest and which do not: TOML 1.0.0.

#include "scenes/read/toml_depth.hpp"

#include "scenes/read/input_limits.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

/// "LINE:COLUMN" of where it is deeper than `most`, or "fine".
std::string depth_of(const std::string& text, int most) {
  const auto mark = scenes::too_deep(text, most);
  return mark ? std::to_string(mark->line) + ":" + std::to_string(mark->column) : "fine";
}

std::string times(int count, const std::string& text) {
  std::string all;
  for (int n = 0; n < count; ++n) all += text;
  return all;
}

}  // namespace

TEST_CASE("parts of keys and headers, arrays and inline tables add up to a depth") {
  CHECK(depth_of("a.b.c = 1", 2) == "fine");
  CHECK(depth_of("a.b.c = 1", 1) == "1:4");
  CHECK(depth_of("x = 1\n[a.b.c]\nd.e = 1", 4) == "fine");
  CHECK(depth_of("x = 1\n[a.b.c]\nd.e = 1", 3) == "3:2");
  CHECK(depth_of("[[a.b]]\nc = 1", 2) == "1:4");
  CHECK(depth_of("a = [[[1], [2]], [[3]]]", 3) == "fine");
  CHECK(depth_of("a = [[1], [[2]]]", 2) == "1:12");
  CHECK(depth_of("a = { b.c = [1], d = { e = 1 } }", 3) == "fine");
  CHECK(depth_of("a = { b.c = [1], d = { e = 1 } }", 2) == "1:13");
  CHECK(depth_of("a = { d = { e = { f = 1 } } }", 2) == "1:17");
  CHECK(depth_of("a = [\n  [1],\n  { b = [\n [2] ] } ]", 3) == "4:2");
}

TEST_CASE("what stands side by side does not nest") {
  CHECK(depth_of(times(500, "a.b = [1.5, [2.5]]\n[c.d]\n"), 5) == "fine");
  CHECK(depth_of("a = [" + times(500, "[1.0], { b.c = 2.0 }, ") + "]", 3) == "fine");
  CHECK(depth_of("a = 1.5\nb = 1979-05-27T07:32:00.5Z\n", 0) == "fine");
}

TEST_CASE("strings and comments hide what looks like nesting") {
  CHECK(depth_of("# a.b.c = [[[\nd = 1 # [[[\n", 0) == "fine");
  CHECK(depth_of("a = \"[[[ \\\" [[[ # {{{\"\n", 0) == "fine");
  CHECK(depth_of("a = '[[[ \\' # [[[\n", 0) == "fine");
  CHECK(depth_of("a = \"\"\"\nb.c = [[[\n\"\" \\\"\"\" [[[\"\"\"\"\"\n", 0) == "fine");
  CHECK(depth_of("a = '''\nb.c = [[[\n'' \"\"\" [[[ \\'''''\n", 0) == "fine");
  CHECK(depth_of("\"a.b\".'c.d'.\"e\\\".\" = 1", 2) == "fine");
  CHECK(depth_of("[\"a.b\".'c.d]'.e]\nf = [1]", 3) == "2:5");
}

TEST_CASE("after a string or a comment nesting counts again") {
  CHECK(depth_of("a = \"x\" # [[\nb = [[1]]", 1) == "2:6");
  CHECK(depth_of("a = \"\"\"x\"\"\"\nb = [[1]]", 1) == "2:6");
  CHECK(depth_of("a = '''x''''\nb = [[1]]", 1) == "2:6");
  CHECK(depth_of("a = \"\"\nb = [[1]]", 1) == "2:6");
  CHECK(depth_of("a = \"ü\" \nb = [\"ü\", [1]]", 1) == "2:11");
}

TEST_CASE("a scene thousands of levels deep is one fault with its place") {
  const int many = 32000;
  const std::string deep = std::to_string(scenes::input_limits::depth);
  for (const auto& [text, place] :
       std::vector<std::pair<std::string, std::string>>{{times(many, "a.") + "a = 1\n", "1:130"},
                                                        {"\n[" + times(many, "a.") + "a]\n", "2:129"},
                                                        {"a = " + times(many, "[") + times(many, "]"), "1:69"},
                                                        {"a = " + times(many, "{a=") + "1" + times(many, "}"), "1:197"},
                                                        {times(many, "\"\".") + "a = 1\n", "1:195"},
                                                        {"a = " + times(many, "{'a'.b="), "1:229"},
                                                        {times(many, "["), "1:3"}}) {
    INFO(text.substr(0, 20));
    const auto read = scenes::read_scene_text(text, "deep.toml", scenes::DataFiles{});
    REQUIRE(read.faults.size() == 1);
    CHECK_FALSE(read.scene);
    if (place == "1:3") continue;  // no TOML from its third character on; the parser says so in its own words
    CHECK(scenes::to_line(read.faults[0]) ==
          "deep.toml:" + place + ": tables and arrays nest more than " + deep + " deep here, expected at most that");
  }
}

TEST_CASE("a character beyond ASCII is told where it stands outside quotation marks and comments") {
  const auto place = [](std::string_view text) {
    const auto mark = scenes::beyond_ascii(text);
    return mark ? std::to_string(mark->line) + ":" + std::to_string(mark->column) : std::string("none");
  };
  CHECK(place("\xEF\xBB\xBF# é\na = \"é\" # é\nb = 'é'\nc = \"\"\"é\n\\\"é\"\"\"\n\"é\" = 1\n") == "none");
  CHECK(place("a = é\n") == "1:5");
  CHECK(place("a = 1\né = 2\n") == "2:1");
  CHECK(place("[wallé]\n") == "1:6");
  CHECK(place("a = \"é\xC3\xA0\" \xC2\xA0# no-break space\n") == "1:10");
  const auto read = scenes::read_scene_text("a = \n[[wall\xD1\x93]]\n", "s.toml", scenes::DataFiles{});
  REQUIRE(read.faults.size() == 1);
  CHECK(scenes::to_line(read.faults[0]) ==
        "s.toml:2:7: this is not TOML 1.0: a character beyond ASCII, expected it in quotation marks or a comment");
}

TEST_CASE("the files that ship are far from the limit of depth") {
  for (const auto& file : tests::shipped_scenes()) {
    INFO(file.string());
    CHECK(depth_of(tests::content_of(file), 8) == "fine");
  }
}
