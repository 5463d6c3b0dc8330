// Files stay whole when several processes write them, when a signal comes in the middle, and beside planted links.

#include "scenes/output/write_file.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <functional>
#include <random>
#include <thread>

#include "tests/scenes/small_scene.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
namespace fs = std::filesystem;

namespace {

/// Does the work in a process of its own, which ends with its result; gives the process' number.
pid_t beside(const std::function<int()>& work) {
  // Signals wait until the child has its own handling of them.
  sigset_t some;
  sigset_t before;
  ::sigemptyset(&some);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) ::sigaddset(&some, signal);
  REQUIRE(::pthread_sigmask(SIG_BLOCK, &some, &before) == 0);
  const pid_t child = ::fork();
  if (child != 0) ::pthread_sigmask(SIG_SETMASK, &before, nullptr);
  REQUIRE(child >= 0);
  if (child == 0) {
    // The tests' framework handles signals, and a shell may have had them ignored: the child has the defaults.
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) std::signal(signal, SIG_DFL);
    ::pthread_sigmask(SIG_UNBLOCK, &some, nullptr);
    ::alarm(60);  // no child outlives a test that fails
    ::_exit(work());
  }
  return child;
}

/// Waits for a process; the status that waitpid() tells.
int end_of(pid_t child) {
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  return status;
}

std::vector<std::string> names_in(const fs::path& folder) {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

/// Long enough to need several writes.
std::string content_by(char who) {
  return std::string(300000, who);
}

bool is_whole(const std::string& content) {
  return content.size() == 300000 && content.find_first_not_of(content.front()) == std::string::npos;
}

/// Writes two files again and again, for ever.
int write_on(const fs::path& folder, char who) {
  for (;;) {
    for (const char* name : {"a.csv", "b.csv"})
      if (scenes::write_file(folder / name, content_by(who))) return 1;
  }
}

}  // namespace

TEST_CASE("several processes write the same files into one folder: none fails and every file is whole") {
  const tests::TemporaryFolder folder;
  const fs::path made = folder.path() / "out";
  std::vector<pid_t> children;
  for (const char who : {'1', '2', '3', '4'}) {
    children.push_back(beside([&] {
      for (int n = 0; n < 20; ++n) {
        if (scenes::make_folder(made)) return 1;
        for (const char* name : {"a.csv", "b.csv"})
          if (scenes::write_file(made / name, content_by(who))) return 2;
      }
      return 0;
    }));
  }
  for (const pid_t child : children) CHECK(end_of(child) == 0);
  CHECK(names_in(made) == std::vector<std::string>{"a.csv", "b.csv"});
  CHECK(is_whole(tests::content_of(made / "a.csv")));
  CHECK(is_whole(tests::content_of(made / "b.csv")));
}

TEST_CASE("a process that SIGINT or SIGTERM ends leaves the old file or the new one, and nothing beside") {
  std::mt19937 random(7);
  std::uniform_int_distribution<useconds_t> wait_us(0, 6000);
  for (int n = 0; n < 60; ++n) {
    const int signal = n % 2 == 0 ? SIGINT : SIGTERM;
    const tests::TemporaryFolder folder;
    for (const char* name : {"a.csv", "b.csv"}) (void)folder.write(name, content_by('0'));
    const pid_t child = beside([&] { return write_on(folder.path(), '1'); });
    ::usleep(wait_us(random));
    REQUIRE(::kill(child, signal) == 0);
    const int status = end_of(child);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == signal);
    CHECK(names_in(folder.path()) == std::vector<std::string>{"a.csv", "b.csv"});
    CHECK(is_whole(tests::content_of(folder.path() / "a.csv")));
    CHECK(is_whole(tests::content_of(folder.path() / "b.csv")));
  }
}

TEST_CASE("a signal that another thread gets ends the process as cleanly") {
  std::mt19937 random(8);
  std::uniform_int_distribution<useconds_t> wait_us(500, 6000);
  for (int n = 0; n < 30; ++n) {
    const tests::TemporaryFolder folder;
    const pid_t child = beside([&] {
      std::thread writer([&] {
        sigset_t all;
        ::sigfillset(&all);
        ::pthread_sigmask(SIG_BLOCK, &all, nullptr);
        (void)write_on(folder.path(), '1');
      });
      writer.join();
      return 0;
    });
    ::usleep(wait_us(random));
    REQUIRE(::kill(child, SIGTERM) == 0);
    CHECK(WTERMSIG(end_of(child)) == SIGTERM);
    for (const auto& name : names_in(folder.path())) {
      INFO(name);
      CHECK((name == "a.csv" || name == "b.csv"));
      CHECK(is_whole(tests::content_of(folder.path() / name)));
    }
  }
}

TEST_CASE("a process that is killed outright leaves no part of a file under its name") {
  std::mt19937 random(9);
  std::uniform_int_distribution<useconds_t> wait_us(0, 6000);
  for (int n = 0; n < 40; ++n) {
    const tests::TemporaryFolder folder;
    const pid_t child = beside([&] { return write_on(folder.path(), '1'); });
    ::usleep(wait_us(random));
    REQUIRE(::kill(child, SIGKILL) == 0);
    CHECK(WTERMSIG(end_of(child)) == SIGKILL);
    for (const auto& name : names_in(folder.path())) {
      INFO(name);
      if (!name.ends_with(".part")) CHECK(is_whole(tests::content_of(folder.path() / name)));
    }
  }
}

TEST_CASE("a link under the name of a file is replaced, and what it points to stays as it is") {
  const tests::TemporaryFolder folder;
  const fs::path precious = folder.write("precious", "mine");
  fs::create_symlink(precious, folder.path() / "report.html");
  for (const char* name : {".report.html.part", ".warmbay-probe"}) fs::create_symlink(precious, folder.path() / name);
  CHECK_FALSE(scenes::make_folder(folder.path()));
  CHECK_FALSE(scenes::write_file(folder.path() / "report.html", "new"));
  CHECK(tests::content_of(precious) == "mine");
  CHECK(tests::content_of(folder.path() / "report.html") == "new");
  CHECK_FALSE(fs::is_symlink(folder.path() / "report.html"));
}

TEST_CASE("signals that were ignored or handled before are so while a file is written and after it") {
  const tests::TemporaryFolder folder;
  const auto before = std::signal(SIGHUP, SIG_IGN);
  CHECK_FALSE(scenes::write_file(folder.path() / "a", "a"));
  struct sigaction now {};
  REQUIRE(::sigaction(SIGHUP, nullptr, &now) == 0);
  CHECK(now.sa_handler == SIG_IGN);
  std::signal(SIGHUP, before);
  const pid_t child = beside([&] {
    if (scenes::write_file(folder.path() / "a", "b")) return 1;
    struct sigaction after {};
    return ::sigaction(SIGTERM, nullptr, &after) == 0 && after.sa_handler == SIG_DFL ? 0 : 2;
  });
  CHECK(end_of(child) == 0);
}
