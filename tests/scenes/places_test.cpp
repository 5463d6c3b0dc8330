// Where a program finds its files, and that one without them says so.

#include "scenes/places.hpp"

#include <cstdlib>

#include "scenes/cli/commands.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
namespace fs = std::filesystem;

namespace {

void put_data(const fs::path& home) {
  fs::create_directories(home / "assets");
  std::ofstream(home / "assets" / "materials.toml") << "format = 1\n";
}

}  // namespace

TEST_CASE("a program in the build folder uses the source tree") {
  CHECK(scenes::home_of(fs::path(WARMBAY_BINARY_DIR) / "warmbay") == fs::path(WARMBAY_SOURCE_DIR));
  CHECK(scenes::home_of(fs::path(WARMBAY_BINARY_DIR) / "tests" / "test_scenes") == fs::path(WARMBAY_SOURCE_DIR));
}

TEST_CASE("an installed program uses the folder beside it, and never the source tree") {
  const tests::TemporaryFolder prefix;
  const auto program = prefix.path() / "bin" / "warmbay";
  const auto share = prefix.path() / "share" / "warmbay";
  fs::create_directories(program.parent_path());
  CHECK(scenes::home_of(program) == share);
  put_data(share);
  CHECK(scenes::home_of(program) == share);
  put_data(program.parent_path());
  CHECK(scenes::home_of(program) == program.parent_path());
}

TEST_CASE("a program whose data folder is gone names the folder in one line and ends with status 3") {
  const tests::TemporaryFolder home;
  REQUIRE(::setenv("WARMBAY_HOME", home.path().c_str(), 1) == 0);
  std::ostringstream out;
  std::ostringstream err;
  const int status = scenes::run_command({"check", "any.toml"}, nullptr, {out, err, false});
  ::unsetenv("WARMBAY_HOME");
  CHECK(status == scenes::exit_machine);
  CHECK(err.str() ==
        home.path().string() +
            ": the program's own files (assets/materials.toml and others) are not in this folder; expected "
            "it beside the program, or WARMBAY_HOME to name it\n");
  CHECK(out.str().empty());
}
