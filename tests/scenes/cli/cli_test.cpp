// The commands as a caller sees them: what they print where, and their exit status.

#include "scenes/cli/commands.hpp"

#include <nlohmann/json.hpp>
#include <regex>

#include "scenes/cli/load.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/support/skip.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

namespace {

struct Answer {
  int status;
  std::string out;
  std::string err;
};

Answer warmbay_command(const std::vector<std::string>& words, const scenes::WindowCommands* window = nullptr) {
  std::ostringstream out;
  std::ostringstream err;
  const int status = scenes::run_command(words, window, {out, err, false});
  return {status, out.str(), err.str()};
}

std::size_t lines_in(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

std::vector<std::string> keys_of(const Json& json) {
  std::vector<std::string> keys;
  for (const auto& [key, value] : json.items()) keys.push_back(key);
  return keys;
}

bool finite_throughout(const Json& json) {
  if (json.is_null()) return false;  // what a number that is not finite is written as
  if (json.is_structured()) return std::all_of(json.begin(), json.end(), finite_throughout);
  return true;
}

using Keys = std::vector<std::string>;

}  // namespace

TEST_CASE("a wrong command line ends with status 2 and one line") {
  const std::vector<std::vector<std::string>> wrong{
      {"--no-such-option"},
      {"no-such-command"},
      {"settle"},
      {"settle", "a.toml", "b.toml"},
      {"limit", "a.toml"},
      {"limit", "a.toml", "--cable", "feed", "--celsius", "warm"},
      {"limit", "a.toml", "--cable", "feed", "--celsius", "nan"},
      {"run", "a.toml"},
      {"run", "a.toml", "--out", "d", "--until-min", "-1"},
      {"run", "a.toml", "--out", "d", "--every-s", "0"},
      {"run", "a.toml", "--out", "d", "--every-s", "inf"},
      {"check"},
      {"settle", "a.toml", "--threads", "0"},
      {"play", "--size", "wide"},
      {"play", "--size", "10x10"},
      {"play", "--after-min", "5"},
  };
  for (const std::vector<std::string>& words : wrong) {
    const Answer answer = warmbay_command(words);
    INFO(words[0] << ": " << answer.err);
    CHECK(answer.status == 2);
    CHECK(answer.out.empty());
    CHECK(lines_in(answer.err) == 1);
  }
}

TEST_CASE("help and version are answers, not errors") {
  const Answer version = warmbay_command({"--version"});
  CHECK(version.status == 0);
  CHECK(std::regex_match(version.out, std::regex("warmbay [0-9]+\\.[0-9]+\\.[0-9]+\n")));
  for (const std::vector<std::string>& words :
       std::vector<std::vector<std::string>>{{"--help"}, {"settle", "--help"}, {"run", "--help"}, {"play", "--help"}}) {
    const Answer help = warmbay_command(words);
    CHECK(help.status == 0);
    CHECK(help.err.empty());
    CHECK(help.out.find("--threads") + help.out.find("--help") != 2 * std::string::npos);
  }
}

TEST_CASE("without a window, play says so with status 3") {
  for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{{}, {"play"}}) {
    const Answer answer = warmbay_command(words);
    CHECK(answer.status == 3);
    CHECK(lines_in(answer.err) == 1);
    CHECK(answer.err.find("no window") != std::string::npos);
  }
}

TEST_CASE("play hands its arguments to the window and returns its status") {
  scenes::PlayArguments got;
  const scenes::WindowCommands window{[&](const scenes::PlayArguments& asked) {
    got = asked;
    return 3;
  }};
  CHECK(warmbay_command({}, &window).status == 3);
  CHECK(got.file == scenes::default_scene());
  CHECK_FALSE(got.shot);
  const Answer answer = warmbay_command(
      {"play", "my.toml", "--shot", "out.png", "--after-min", "12.5", "--size", "1366x768", "--threads", "2"}, &window);
  CHECK(answer.status == 3);
  CHECK(got.file == "my.toml");
  REQUIRE(got.shot);
  CHECK(*got.shot == "out.png");
  CHECK(got.after_min == 12.5);
  CHECK(got.width == 1366);
  CHECK(got.height == 768);
  CHECK(got.threads == 2);
}

TEST_CASE(
    "a graphics card that is asked for and is not there ends run with one line; left out or auto, the processor runs") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("good.toml", tests::small_scene(tests::two_steps)).string();
  const std::string out = (folder.path() / "out").string();
  const std::vector<std::string> words{"run", file, "--out", out, "--until-min", "0.5", "--backend"};
  auto on = [&](const std::string& backend, const scenes::WindowCommands* window) {
    std::vector<std::string> all = words;
    all.push_back(backend);
    return warmbay_command(all, window);
  };
  const Answer windowless = on("gpu", nullptr);
  CHECK(windowless.status == 3);
  CHECK(lines_in(windowless.err) == 1);
  CHECK(windowless.err.find("--backend cpu") != std::string::npos);
  std::vector<scenes::Backend> asked;
  scenes::WindowCommands window;
  window.heat = [&](scenes::Backend backend, std::string& why_not) {
    asked.push_back(backend);
    why_not = "no card here";
    return sim::EngineFactory{};
  };
  const Answer without = on("gpu", &window);
  CHECK(without.status == 3);
  CHECK(without.err == "warmbay: no card here\n");
  CHECK_FALSE(std::filesystem::exists(out));
  CHECK(on("auto", &window).status == 0);
  CHECK(on("cpu", &window).status == 0);
  CHECK(asked == std::vector{scenes::Backend::gpu, scenes::Backend::automatic, scenes::Backend::cpu});
  CHECK(on("abacus", &window).status == 2);
}

TEST_CASE("settle and limit take a backend; a card is refused with one line and status 3, cpu and auto are one") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("good.toml", tests::small_scene(tests::two_steps)).string();
  scenes::WindowCommands window;  // not even a card that is there is asked
  window.heat = [](scenes::Backend, std::string&) -> sim::EngineFactory {
    FAIL("a card was opened");
    return {};
  };
  for (const std::vector<std::string>& words :
       std::vector<std::vector<std::string>>{{"settle", file}, {"limit", file, "--cable", "feed"}}) {
    auto on = [&](const std::string& backend) {
      std::vector<std::string> all = words;
      all.insert(all.end(), {"--json", "--backend", backend});
      return warmbay_command(all, &window);
    };
    const Answer card = on("gpu");
    CHECK(card.status == 3);
    CHECK(card.out.empty());
    CHECK(card.err ==
          "warmbay: the settled field is worked out on the processor only; --backend cpu (or auto) does it\n");
    const Answer processor = on("cpu"), chosen = on("auto");
    CHECK(processor.status == 0);
    CHECK(chosen.status == 0);
    auto without_seconds = [](const Answer& answer) {
      Json json = Json::parse(answer.out);
      json.erase("seconds");
      return json;
    };
    CHECK(without_seconds(processor) == without_seconds(chosen));
    CHECK(on("abacus").status == 2);
    CHECK(warmbay_command({words.front(), "--help"}).out.find("status 3") != std::string::npos);
  }
}

TEST_CASE("check says fine, or the errors with their places and status 1") {
  const tests::TemporaryFolder folder;
  const std::string good = folder.write("good.toml", tests::small_scene(tests::two_steps)).string();
  const std::string bad = folder.write("bad.toml", "format = 1\ntitle = 5\nmistake = true\n").string();
  const Answer fine = warmbay_command({"check", good});
  CHECK(fine.status == 0);
  CHECK(fine.out == good + ": fine\n");
  CHECK(fine.err.empty());

  const Answer mixed = warmbay_command({"check", bad, good, (folder.path() / "missing.toml").string()});
  CHECK(mixed.status == 1);
  CHECK(mixed.out == good + ": fine\n");
  CHECK(mixed.err.find(bad + ":2:") != std::string::npos);
  CHECK(mixed.err.find(bad + ":3:") != std::string::npos);
  CHECK(mixed.err.find("missing.toml") != std::string::npos);
}

TEST_CASE("a scene with errors stops every command with status 1") {
  const tests::TemporaryFolder folder;
  const std::string bad = folder.write("bad.toml", "format = 1\ntitle = \"x\"\n").string();
  for (const std::vector<std::string>& words :
       std::vector<std::vector<std::string>>{{"settle", bad},
                                             {"limit", bad, "--cable", "feed"},
                                             {"run", bad, "--out", (folder.path() / "out").string()}}) {
    const Answer answer = warmbay_command(words);
    CHECK(answer.status == 1);
    CHECK(answer.out.empty());
    CHECK(answer.err.find(bad) == 0);
  }
  CHECK_FALSE(fs::exists(folder.path() / "out"));
}

TEST_CASE("settle --json prints the contract's object and nothing else") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  const Answer answer = warmbay_command({"settle", file, "--json"});
  REQUIRE(answer.status == 0);
  CHECK(answer.err.empty());
  const Json json = Json::parse(answer.out);
  CHECK(keys_of(json) == Keys{"title", "voxels", "seconds", "balance", "thermocouples", "cables", "surroundings"});
  CHECK(keys_of(json["cables"]["feed"]) == Keys{"current_a", "hottest_c", "hottest_at_mm", "drop_v", "power_w"});
  CHECK(keys_of(json["surroundings"]["room"]) == Keys{"heat_w", "hottest_surface_c", "coldest_surface_c"});
  CHECK(keys_of(json["thermocouples"]) == Keys{"sheath", "face, \"room\""});
  CHECK(finite_throughout(json));
  CHECK(json["voxels"] == tests::read_small("").wall->grid.count());
  CHECK(json["cables"]["feed"]["current_a"] == 5.0);
  CHECK(json["balance"].get<double>() < 1e-5);
  // All the heat of the cable leaves into the room; the other surroundings touch nothing.
  CHECK(json["surroundings"]["room"]["heat_w"].get<double>() ==
        Approx(json["cables"]["feed"]["power_w"].get<double>()).epsilon(1e-4));
  CHECK(json["surroundings"]["attic, unused"]["heat_w"] == 0.0);
  CHECK(json["surroundings"]["attic, unused"]["hottest_surface_c"].get<double>() == Approx(35.0));
}

TEST_CASE("settle prints a table with the notice under it") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  const Answer answer = warmbay_command({"settle", file});
  REQUIRE(answer.status == 0);
  CHECK(answer.out.find("feed") != std::string::npos);
  CHECK(answer.out.find("within") != std::string::npos);
  CHECK(answer.out.find("NOTICE") != std::string::npos);
}

TEST_CASE("a scene with no settled state is status 1 and one line that says why") {
  const tests::TemporaryFolder folder;
  const std::string step = "\n[[step]]\ntitle = \"x\"\ncurrent_a = 5.0\nhold_min = 1.0\n";
  std::string closed = tests::small_scene(step);
  const std::string faces = "room = \"room\"\nfar = \"room\"\n";
  closed.replace(closed.find(faces), faces.size(), "");
  const Answer no_outlet = warmbay_command({"settle", folder.write("closed.toml", closed).string()});
  CHECK(no_outlet.status == 1);
  CHECK(no_outlet.out.empty());
  CHECK(lines_in(no_outlet.err) == 1);
  CHECK(no_outlet.err.find("no settled state: no surface") != std::string::npos);

  std::string hot = tests::small_scene(step);
  hot.replace(hot.find("current_a = 5.0"), 15, "current_a = 95.0");
  const Answer runaway = warmbay_command({"settle", folder.write("hot.toml", hot).string(), "--json"});
  CHECK(runaway.status == 1);
  CHECK(runaway.out.empty());
  CHECK(lines_in(runaway.err) == 1);
  CHECK(runaway.err.find("no settled state") != std::string::npos);
}

TEST_CASE("limit finds the current at which settle finds the limit") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  const Answer answer = warmbay_command({"limit", file, "--cable", "feed", "--json"});
  REQUIRE(answer.status == 0);
  const Json json = Json::parse(answer.out);
  CHECK(keys_of(json) == Keys{"cable", "limit_c", "current_a", "hottest_at_mm", "voxels", "seconds"});
  CHECK(json["limit_c"].get<double>() == Approx(40.0));
  const double current_a = json["current_a"];
  const Answer check = warmbay_command(
      {"settle",
       folder
           .write("at-limit.toml", tests::small_scene("\n[[step]]\ntitle = \"x\"\nhold_min = 1.0\ncurrent_a = " +
                                                      std::to_string(current_a) + "\n"))
           .string(),
       "--json"});
  REQUIRE(check.status == 0);
  CHECK(Json::parse(check.out)["cables"]["feed"]["hottest_c"].get<double>() == Approx(40.0).margin(0.05));

  const Answer warmer = warmbay_command({"limit", file, "--cable", "feed", "--celsius", "60", "--json"});
  CHECK(Json::parse(warmer.out)["current_a"].get<double>() > current_a);
}

TEST_CASE("limit for a cable that is not there is status 2 and names those that are") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene("")).string();
  const Answer answer = warmbay_command({"limit", file, "--cable", "fed"});
  CHECK(answer.status == 2);
  CHECK(lines_in(answer.err) == 1);
  CHECK(answer.err.find("fed") != std::string::npos);
  CHECK(answer.err.find("it has: feed") != std::string::npos);
}

TEST_CASE("run writes everything that the contract names") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  const fs::path out = folder.path() / "deep" / "out";
  const Answer answer = warmbay_command({"run", file, "--out", out.string(), "--every-s", "10"});
  REQUIRE(answer.status == 0);
  CHECK(answer.err.empty());  // no terminal: no progress
  const std::string readings = tests::content_of(out / "readings.csv");
  CHECK(lines_in(readings) == 1 + 360 / 10 + 1);
  CHECK(readings.find("time_s,current_a,voltage_v,power_w,smoke_mg_s,void_cm3,sheath_c,") == 0);
  CHECK(tests::content_of(out / "events.csv").find("time_s,event,where,value,text\n0,step,Light,1,") == 0);
  const Json json = Json::parse(tests::content_of(out / "result.json"));
  CHECK(keys_of(json) == Keys{"title", "voxels", "seconds", "balance", "thermocouples", "cables", "surroundings",
                              "simulated_s", "wall_clock_s", "mended_steps", "energy", "events"});
  CHECK(finite_throughout(json));
  CHECK(json["simulated_s"] == 360.0);
  CHECK(keys_of(json["events"][0]) == Keys{"time_s", "event", "where", "value", "text"});
  const double generated_j = json["energy"]["generated_j"];
  CHECK(generated_j > 0.0);
  CHECK(json["energy"]["stored_j"].get<double>() + json["energy"]["left_j"].get<double>() ==
        Approx(generated_j).epsilon(1e-3));
  CHECK(tests::content_of(out / "report.html").find("Cable in foam") != std::string::npos);
  for (const auto& entry : fs::directory_iterator(out)) CHECK(entry.path().extension() != ".part");
}

TEST_CASE("a run whose wall may catch fire ends there and says DANGER") {
  const tests::TemporaryFolder folder;
  // One conductor, so that nothing can short it, and a current that takes its sheath past ignition within minutes.
  std::string scene = tests::small_scene("[[step]]\ntitle = \"Far too much\"\ncurrent_a = 95.0\nhold_min = 40.0\n");
  const auto replace = [&](const std::string& what, const std::string& with) {
    for (std::size_t at = scene.find(what); at != std::string::npos; at = scene.find(what, at + with.size()))
      scene.replace(at, what.size(), with);
  };
  replace("loaded = 2", "loaded = 1");
  replace("insulation = \"test plastic\"", "insulation = \"pvc\"");
  replace("sheath = \"test plastic\"", "sheath = \"pvc\"");
  const fs::path out = folder.path() / "out";
  const Answer answer = warmbay_command({"run", folder.write("s.toml", scene).string(), "--out", out.string()});
  REQUIRE(answer.status == 0);
  CHECK(answer.out.find("DANGER: feed is at ") == 0);
  CHECK(answer.out.find("The model ends here; flames are not computed.") != std::string::npos);
  const Json json = Json::parse(tests::content_of(out / "result.json"));
  CHECK(json["simulated_s"] < 2400.0);
  CHECK(json["events"].back()["event"] == "ignition-risk");
  CHECK(json["events"].back()["value"] > 350.0);
  CHECK(json["energy"]["taken_up_j"] > 0.0);
  CHECK(tests::content_of(out / "report.html").find("<div class=\"caution danger\">") != std::string::npos);
}

TEST_CASE("a scene without steps runs only when told how long") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("plain.toml", tests::small_scene("")).string();
  const std::string out = (folder.path() / "out").string();
  const Answer answer = warmbay_command({"run", file, "--out", out});
  CHECK(answer.status == 2);
  CHECK(lines_in(answer.err) == 1);
  CHECK(answer.err.find("--until-min") != std::string::npos);
  CHECK_FALSE(fs::exists(out));
  REQUIRE(warmbay_command({"run", file, "--out", out, "--until-min", "2.5"}).status == 0);
  CHECK(Json::parse(tests::content_of(fs::path(out) / "result.json"))["simulated_s"] == 150.0);
}

TEST_CASE("results that cannot be written are status 3 and one line with path and reason") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  const std::string taken = folder.write("taken", "a file").string();
  const Answer is_file = warmbay_command({"run", file, "--out", taken});
  CHECK(is_file.status == 3);
  CHECK(is_file.err == taken + ": is a file; the name of a folder was expected\n");
  const Answer no_folder = warmbay_command({"run", file, "--out", "/proc/no-such-place/out"});
  CHECK(no_folder.status == 3);
  CHECK(lines_in(no_folder.err) == 1);
  CHECK(no_folder.err.find("/proc/no-such-place/out: cannot be made: ") == 0);

  const fs::path full = folder.path() / "full";
  fs::create_directories(full / "result.json");  // no file can take this place
  const Answer no_place = warmbay_command({"run", file, "--out", full.string()});
  CHECK(no_place.status == 3);
  CHECK(no_place.err == (full / "result.json").string() + ": cannot be written: Is a directory\n");
  CHECK(fs::is_directory(full / "result.json"));
  for (const auto& entry : fs::directory_iterator(full)) CHECK(entry.path().extension() != ".part");
}

TEST_CASE("a folder that may not be written into is status 3") {
  if (::geteuid() == 0) {
    tests::skip("root may write anywhere");
    return;
  }
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  const fs::path locked = folder.path() / "locked";
  fs::create_directory(locked);
  fs::permissions(locked, fs::perms::owner_read | fs::perms::owner_exec);
  const Answer answer = warmbay_command({"run", file, "--out", locked.string()});
  CHECK(answer.status == 3);
  CHECK(answer.err == locked.string() + ": cannot be written into: Permission denied\n");
}

TEST_CASE("standard output that cannot be written is status 3") {
  const tests::TemporaryFolder folder;
  const std::string file = folder.write("small.toml", tests::small_scene(tests::two_steps)).string();
  std::ofstream full("/dev/full");
  std::ostringstream err;
  CHECK(scenes::run_command({"settle", file, "--json"}, nullptr, {full, err, false}) == 3);
  CHECK(err.str() == "warmbay: standard output cannot be written\n");
}
