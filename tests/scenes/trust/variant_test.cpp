// Scenes changed before they are read: where a change lands, what it does to the scene, and what is said of a bad one.

#include "scenes/trust/variant.hpp"
#include "scenes/trust/case_reader.hpp"
#include "scenes/trust/runner.hpp"
#include "tests/scenes/shipped.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

struct Varied {
  scenes::ReadScene read;
  std::string of_with;  // faults of the changes, one a line
};

/// The small scene with changes: `with` is the text of a table in a file of its own, "with.toml".
Varied vary(const std::string& with, const std::string& scene = small_scene(two_steps)) {
  scenes::Faults parsing("with.toml"), of_with("with.toml");
  const auto table = scenes::parse_toml(with, parsing);
  REQUIRE(table);
  const scenes::DataFiles none;
  Varied varied{scenes::read_varied_scene_text(scene, "small.toml", *table, none, of_with), ""};
  varied.of_with = lines_of(of_with.sorted());
  return varied;
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

const std::string check_head = "[[check]]\nname = \"NAME\"\nwhat = \"conductor_mm2\"\nof = \"feed\"\n";

std::string check_of(const std::string& name, double published_mm2, const std::string& with) {
  std::string text = check_head;
  text.replace(text.find("NAME"), 4, name);
  return text + "published = " + std::to_string(published_mm2) + "\ntolerance = 1e-6\n" + with + "\n";
}

/// A folder with one case of the small scene. root: keys of the case itself.
struct OneCase {
  explicit OneCase(const std::string& checks, const std::string& root = "") {
    static_cast<void>(folder.write("small.toml", small_scene(two_steps)));
    static_cast<void>(folder.write("cases.toml", "format = 1\ncases = [\"a.case.toml\"]\n"));
    static_cast<void>(folder.write("a.case.toml",
                                   "format = 1\ntitle = \"Variants\"\ngroup = \"tests\"\nsource = \"made up\"\n"
                                   "mark = \"computed\"\ntolerance_why = \"made up\"\nscene = \"small.toml\"\n" +
                                       root + "\n" + checks));
  }
  [[nodiscard]] std::vector<scenes::ReadCase> read() const { return scenes::read_cases(folder.path(), none); }
  [[nodiscard]] std::string faults() const { return lines_of(read().at(0).faults); }
  TemporaryFolder folder;
  scenes::DataFiles none;
};

}  // namespace

TEST_CASE("no change gives the scene as its file has it", "[trust]") {
  const Varied varied = vary("");
  REQUIRE(varied.read.scene);
  const scenes::DataFiles none;
  CHECK(*varied.read.scene == *scenes::read_scene_text(small_scene(two_steps), "small.toml", none).scene);
}

TEST_CASE("a change replaces or adds the key that its path names, and nothing else", "[trust]") {
  const Varied varied = vary(
      "'wall.layer.foam.thickness_mm' = 60.0\n'wall.height_mm' = 200.0\n'cable.feed.flat' = 'y'\n"
      "'cable_type.test cable.conductor_mm2' = 2.5\n'step.Heavy.current_a' = 30\n"
      "'surroundings.attic, unused.film_w_m2k' = 'natural'\n'cable_type.test cable.earth_mm2' = 1.0\n"
      "'cable.feed.route_mm' = [[0.0, 100.0, 30.0], [120.0, 100.0, 30.0]]\n'grid.growth' = 1.5\n");
  REQUIRE(varied.of_with == "");
  REQUIRE(varied.read.scene);
  scenes::Scene scene = *varied.read.scene;
  CHECK(scene.wall.layers.at(1).thickness_m == Approx(0.060));
  CHECK(scene.wall.layers.at(0).thickness_m == Approx(0.012));
  CHECK(scene.wall.height_m == Approx(0.2));
  CHECK(scenes::wall_size_m(scene.wall)[2] == Approx(0.072));  // the sum of the layers as changed
  CHECK(scene.cable_types.at(0).conductor_m2 == Approx(2.5e-6));
  CHECK(scene.cable_types.at(0).earth_m2 == Approx(1.0e-6));
  CHECK(scene.cables.at(0).route_m.at(0)[1] == Approx(0.1));
  CHECK(scene.steps.at(1).current_a == 30.0);
  CHECK(scene.steps.at(0).current_a == 5.0);
  CHECK(scene.grid.growth == 1.5);
}

TEST_CASE("a name that holds dots is found, and a table that the file lacks is added for a key of its own", "[trust]") {
  std::string scene = small_scene(two_steps);
  for (const std::string word : {"test cable", "test cable"}) scene.replace(scene.find(word), word.size(), "2x1.5+1");
  scene.erase(scene.find("[supply]"), std::string("[supply]\nkind = \"bench\"\n").size());
  const Varied varied = vary("'cable_type.2x1.5+1.core_mm' = 2.8\n'supply.kind' = 'bench'\n", scene);
  REQUIRE(varied.of_with == "");
  CHECK(varied.read.scene->cable_types.at(0).core_m == Approx(0.0028));
}

TEST_CASE("whole arrays of tables can be replaced, so that a variant has more cables", "[trust]") {
  const Varied varied = vary(
      "cable = [{ name = 'one', type = 'test cable', route_mm = [[0, 30, 30], [120, 30, 30]] },\n"
      "         { name = 'two', type = 'test cable', route_mm = [[0, 60, 30], [120, 60, 30]] }]\n"
      "thermocouple = []\n");
  REQUIRE(varied.of_with == "");
  CHECK(varied.read.scene->cables.size() == 2);
}

TEST_CASE("a path that names nothing is told where it stands", "[trust]") {
  struct Slip {
    std::string with;
    std::string told;
  };
  const std::vector<Slip> slips{
      {"\n'wall.layer.fome.thickness_mm' = 60.0\n",
       "with.toml:2:1: 'wall.layer.fome.thickness_mm' names nothing in small.toml: it has no 'layer.fome' there; did "
       "you mean 'layer.foam'?"},
      {"'cable.food.type' = 'x'", "names nothing in small.toml: it has no 'cable.food' there"},
      {"'walls.height_mm.x' = 1", "names nothing in small.toml: it has no 'walls.height_mm' there"},
      {"'wall.height_mm.x' = 1", "names nothing in small.toml: it has no 'height_mm' there"},
      {"'wall' = { width_mm = 1 }", "'wall' is a whole table of small.toml, expected one of its keys: 'wall.KEY'"},
      {"'cable.feed' = 1", "'cable.feed' is a whole table of small.toml"},
      {"'wall..height_mm' = 1", "'wall..height_mm' is no path, expected names with single dots between them"},
      {"'' = 1", "'' is no path"},
      {"'wall.' = 1", "'wall.' is no path"},
  };
  for (const Slip& slip : slips) {
    const Varied varied = vary(slip.with);
    INFO(slip.with << varied.of_with);
    CHECK(holds(varied.of_with, slip.told));
    CHECK_FALSE(varied.read.scene);
    CHECK(varied.read.faults.empty());
  }
}

TEST_CASE("a scene's own checks apply to it as changed", "[trust]") {
  const std::string cases[][2] = {
      {"'wall.layer.foam.thickness_mm' = -1.0", "with these changes small.toml: 'thickness_mm' is -1, expected"},
      {"'wall.hight_mm' = 1.0", "[wall] has no key 'hight_mm'; did you mean 'height_mm'?"},
      {"'gird.fine_mm' = 1.0", "this scene has no key 'gird'; did you mean 'grid'?"},
      {"'cable.feed.type' = 'no such cable'", "no such cable"},
      {"'wall.height_mm' = 50.0", "with these changes small.toml:"},  // the cable leaves the wall
  };
  for (const auto& [with, told] : cases) {
    const Varied varied = vary("\n\n  " + with);
    INFO(varied.of_with);
    CHECK(holds(varied.of_with, "with.toml:3:3: with these changes small.toml"));
    CHECK(holds(varied.of_with, told));
    CHECK_FALSE(varied.read.scene);
  }
}

TEST_CASE("faults of a scene as its file stands stay its own, with their lines", "[trust]") {
  const Varied varied = vary("'wall.height_mm' = 200.0", "format = 1\n");
  CHECK(varied.of_with == "");
  CHECK(holds(lines_of(varied.read.faults), "small.toml:1:1: "));
  scenes::Faults of_with("with.toml");
  const scenes::DataFiles none;
  const auto missing = scenes::read_varied_scene("/no/such.toml", toml::table{}, none, of_with);
  CHECK(holds(lines_of(missing.faults), "/no/such.toml: cannot be read"));
}

TEST_CASE("checks of one case read their own variants; equal ones share a scene", "[trust]") {
  const std::string size = "'cable_type.test cable.conductor_mm2'";
  const OneCase one(check_of("as it stands", 1.5, "") + check_of("2.5", 2.5, "with = { " + size + " = 2.5 }") +
                    check_of("2.5 again", 2.5, "[check.with]\n" + size + " = 2.5") +
                    check_of("1.0", 1.0, "with = { " + size + " = 1.0 }"));
  REQUIRE(one.faults() == "");
  const auto read = one.read();
  const std::vector<scenes::Check>& checks = read.at(0).read->checks;
  CHECK(checks[1].scene == checks[2].scene);
  CHECK(checks[0].scene != checks[1].scene);
  CHECK(checks[1].with == "'cable_type.test cable.conductor_mm2' = 2.5");
  scenes::TrustOptions options;
  options.threads = 2;
  const scenes::TrustResult result = scenes::run_trust(one.read(), one.none, options);
  CHECK(result.within == 4);
  CHECK(result.outside == 0);
}

TEST_CASE("a case's own changes hold for all of its checks, and a check's win over them", "[trust]") {
  const std::string size = "'cable_type.test cable.conductor_mm2'";
  const OneCase one(check_of("the case's", 2.5, "") + check_of("the check's", 1.0, "with = { " + size + " = 1.0 }") +
                        check_of("both", 2.5, "with = { 'wall.height_mm' = 120.0 }"),
                    "with = { " + size + " = 2.5 }");
  REQUIRE(one.faults() == "");
  const scenes::TrustResult result = scenes::run_trust(one.read(), one.none, {});
  for (const scenes::CheckResult& check : result.cases.at(0).checks) {
    INFO(check.check.name << " " << check.ours);
    CHECK(check.verdict == scenes::Verdict::within);
  }
}

TEST_CASE("a limit is compared with that of another variant", "[trust]") {
  const std::string ratio =
      "[[check]]\nname = \"ratio\"\nwhat = \"limit_a\"\nof = \"feed\"\ncelsius = 40.0\npublished = 1.0\n"
      "tolerance = 10.0\n";
  const std::string thick = "with = { 'wall.layer.foam.thickness_mm' = 90.0 }\n";
  const OneCase one(ratio + thick + ratio + thick + "relative_to = { celsius = 40.0, with = {} }\n" + ratio +
                    "relative_to = { celsius = 40.0, " + thick.substr(0, thick.size() - 1) + " }\n" + ratio + thick +
                    "relative_to = { celsius = 40.0 }\n" + ratio);
  REQUIRE(one.faults() == "");
  const scenes::TrustResult result = scenes::run_trust(one.read(), one.none, {});
  const auto& checks = result.cases.at(0).checks;
  const double thick_a = checks[0].ours, plain_a = checks[4].ours;
  CHECK(thick_a < 0.99 * plain_a);
  CHECK(checks[1].ours == thick_a / plain_a);
  CHECK(checks[2].ours == plain_a / thick_a);
  CHECK(checks[3].ours == 1.0);
  const OneCase hot(ratio +
                    "relative_to = { celsius = 40.0, ambient_c = 45.0, with = { 'wall.height_mm' = 120.0 } }\n");
  const scenes::TrustResult none = scenes::run_trust(hot.read(), hot.none, {});
  CHECK(none.cases.at(0).checks.at(0).failure == "the limit it is compared with is 0 A");
  CHECK(none.outside == 1);
  const OneCase renamed(ratio + "relative_to = { celsius = 40.0, with = { 'cable.feed.name' = 'food', " +
                        "thermocouple = [] } }\n");
  CHECK(holds(renamed.faults(), "'of' is 'feed', expected a cable of small.toml; did you mean 'food'?"));
  const OneCase nothing(ratio + "relative_to = { celsius = 40.0, with = { 'cable.food.name' = 'x' } }\n");
  CHECK(holds(nothing.faults(), "'cable.food.name' names nothing in small.toml"));
}

TEST_CASE("bad changes are faults of the case file, at their place, each where it is asked for", "[trust]") {
  const OneCase path(check_of("a", 1.5, "with = { 'cable.food.type' = 'x' }"));
  CHECK(holds(path.faults(), "a.case.toml:15:10: 'cable.food.type' names nothing in small.toml"));
  const std::string small = "with = { 'cable_type.test cable.core_mm' = 900.0 }";
  const OneCase twice(check_of("a", 1.5, small) + check_of("b", 1.5, small));
  CHECK(holds(twice.faults(), "a.case.toml:15:10: with these changes "));
  CHECK(holds(twice.faults(), "a.case.toml:22:10: with these changes "));
  const OneCase of_case(check_of("a", 1.5, ""), "with = { 'wall.height_mm' = -5.0 }");
  CHECK(holds(of_case.faults(), "a.case.toml:8:10: with these changes "));
  const OneCase no_table(check_of("a", 1.5, "with = 3"));
  CHECK(holds(no_table.faults(), "a.case.toml:15:8: 'with' is a whole number, expected a table"));
  const OneCase names(check_of("a", 1.5, "with = { 'cable.feed.name' = 'food', thermocouple = [] }"));
  CHECK(holds(names.faults(), "'of' is 'feed', expected a cable of small.toml; did you mean 'food'?"));
}

TEST_CASE("changes of every scene that ships make no sense and are refused", "[trust]") {
  const OneCase one("");
  static_cast<void>(one.folder.write(
      "a.case.toml",
      "format = 1\ntitle = \"a\"\ngroup = \"tests\"\nsource = \"made up\"\nmark = \"computed\"\n"
      "tolerance_why = \"made up\"\nevery_scene = true\nwith = { 'grid.fine_mm' = 2.0 }\n[[check]]\nname = \"a\"\n"
      "what = \"imbalance_percent\"\npublished = 0.0\ntolerance = 0.1\nwith = { 'grid.fine_mm' = 2.0 }\n"));
  CHECK(holds(one.faults(), "a.case.toml:8:8: 'with' stands beside 'every_scene', expected one of them"));
  CHECK(holds(one.faults(), "a.case.toml:14:8: 'with' stands in a case of 'every_scene'"));
}
