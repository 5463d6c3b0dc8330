// The crew: every part done once, whatever the number of members.

#include "sim/crew.hpp"

#ifdef __linux__
#include <sched.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#endif

#include <array>
#include <fstream>

#include "tests/tests_pch.hpp"

using namespace warmbay;

TEST_CASE("halves and shares of them cover everything once, and with an even number no member has both halves",
          "[threads]") {
  for (const int threads : {1, 2, 3, 4}) {
    INFO(threads << " threads");
    sim::Crew crew(threads);
    for (const int count : {0, 1, 2, 7}) {
      std::vector<std::atomic<int>> done(static_cast<std::size_t>(2 * count));
      crew.each_of_halves(count, [&](int half, int n) { ++done[static_cast<std::size_t>(half * count + n)]; });
      for (const std::atomic<int>& times : done) CHECK(times == 1);
    }
    for (int part = 0; part < threads; ++part) {
      const sim::Crew::Halves mine = sim::Crew::halves(part, threads);
      CHECK(mine.last - mine.first == (threads % 2 == 0 ? 1 : 2));
    }
  }
}

#ifdef __linux__
TEST_CASE("where the system starts fewer threads than wanted, those that did start do all of the work", "[threads]") {
  // Threads take room for their stacks: with little left of the address space some of 256 cannot start. In a process of
  // its own, because the limit stays.
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    std::ifstream statm("/proc/self/statm");
    rlim_t pages = 0;
    statm >> pages;
    const rlim_t most = pages * static_cast<rlim_t>(::sysconf(_SC_PAGESIZE)) + (rlim_t{200} << 20);
    const rlimit limit{most, most};
    if (pages == 0 || ::setrlimit(RLIMIT_AS, &limit) != 0) ::_exit(2);
    sim::Crew crew(256);
    std::array<std::atomic<int>, 1000> done{};
    crew.each(1000, [&](int n) { ++done[static_cast<std::size_t>(n)]; });
    const bool once = std::all_of(done.begin(), done.end(), [](const std::atomic<int>& times) { return times == 1; });
    ::_exit(crew.size() >= 256 ? 3 : once ? 0 : 4);
  }
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 0);
}

TEST_CASE("a crew as large as the machine counts only the cores that it may run on", "[threads]") {
  cpu_set_t before;
  REQUIRE(sched_getaffinity(0, sizeof before, &before) == 0);
  cpu_set_t one;
  CPU_ZERO(&one);
  for (int core = 0; core < CPU_SETSIZE && CPU_COUNT(&one) == 0; ++core)
    if (CPU_ISSET(core, &before)) CPU_SET(core, &one);
  REQUIRE(sched_setaffinity(0, sizeof one, &one) == 0);
  const int members = sim::Crew(0).size();
  REQUIRE(sched_setaffinity(0, sizeof before, &before) == 0);
  CHECK(members == 1);
  CHECK(sim::Crew(0).size() == CPU_COUNT(&before));
}
#endif
