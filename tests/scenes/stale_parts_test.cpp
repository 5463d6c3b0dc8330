// What a killed program has left goes; what somebody still writes, or what is no such file, stays.

#include "scenes/output/stale_parts.hpp"

#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>

#include "scenes/output/unfinished.hpp"
#include "scenes/output/write_file.hpp"
#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
namespace fs = std::filesystem;

namespace {

void age(const fs::path& file) {
  fs::last_write_time(file, fs::file_time_type::clock::now() - std::chrono::hours(1));
}

/// A process that has begun a file in the folder and waits; its number.
pid_t writer_in(const fs::path& folder) {
  int ready[2];
  REQUIRE(::pipe(ready) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    ::alarm(60);  // no child outlives a test that fails
    const scenes::Unfinished file(folder / "readings.csv");
    const ssize_t told = ::write(ready[1], "x", 1);
    for (;;) static_cast<void>(told), ::pause();
  }
  char byte = 0;
  REQUIRE(::read(ready[0], &byte, 1) == 1);
  ::close(ready[0]);
  ::close(ready[1]);
  return child;
}

fs::path only_file_in(const fs::path& folder) {
  const fs::directory_iterator first(folder);
  REQUIRE(first != fs::directory_iterator{});
  return first->path();
}

void kill_outright(pid_t child) {
  REQUIRE(::kill(child, SIGKILL) == 0);
  REQUIRE(::waitpid(child, nullptr, 0) == child);
}

}  // namespace

TEST_CASE("what a killed process left goes once a minute has passed, and not while the process lives") {
  const tests::TemporaryFolder folder;
  const pid_t child = writer_in(folder.path());
  const fs::path part = only_file_in(folder.path());
  age(part);
  CHECK_FALSE(scenes::make_folder(folder.path()));
  CHECK(fs::exists(part));
  kill_outright(child);
  fs::last_write_time(part, fs::file_time_type::clock::now());
  CHECK_FALSE(scenes::make_folder(folder.path()));
  CHECK(fs::exists(part));
  age(part);
  CHECK_FALSE(scenes::make_folder(folder.path()));
  CHECK(fs::is_empty(folder.path()));
}

TEST_CASE("files, folders and links that only look like what was left stay") {
  const tests::TemporaryFolder folder;
  const pid_t child = writer_in(folder.path());
  kill_outright(child);
  const fs::path part = only_file_in(folder.path());
  age(part);
  const std::string name = part.filename().string();
  const std::string of_nobody = fmt::format(".warmbay-{}-0123456789abcde", child);
  for (const std::string& other :
       {name + "x", "x" + name, of_nobody + "g.part", of_nobody + ".part", std::string(".warmbay-.part"),
        std::string(".warmbay-0-0123456789abcdef.part"), std::string(".warmbay--1-0123456789abcdef.part"),
        std::string(".warmbay-99999999999999999999-0123456789abcdef.part")})
    age(folder.write(other, "mine"));
  fs::create_directory(folder.path() / (of_nobody + "0.part"));
  fs::create_symlink(folder.write("precious", "mine"), folder.path() / (of_nobody + "1.part"));
  const auto count = [&] { return std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator{}); };
  const auto before = count();
  scenes::remove_stale_parts(folder.path());
  CHECK_FALSE(fs::exists(part));
  CHECK(count() == before - 1);
  scenes::remove_stale_parts("/no/such/folder");
}
