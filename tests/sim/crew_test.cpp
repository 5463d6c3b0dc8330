// The crew: every part done once, whatever the number of members.

#include "sim/crew.hpp"

#ifdef __linux__
#include <sched.h>
#endif

#include "tests/tests_pch.hpp"

using namespace warmbay;

TEST_CASE("halves and shares of them cover everything once, and with an even number no member has both halves") {
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
TEST_CASE("a crew as large as the machine counts only the cores that it may run on") {
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
