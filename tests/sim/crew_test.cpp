// The crew: every part done once, whatever the number of members and however many of them take part.

#include "sim/crew.hpp"

#ifdef __linux__
#include <sched.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#endif

#include <algorithm>
#include <array>
#include <fstream>
#include <functional>
#include <random>
#include <utility>
#include <vector>

#include "sim/multigrid.hpp"
#include "sim/stepper.hpp"
#include "sim/whole_step.hpp"
#include "tests/support/runs.hpp"
#include "tests/support/walls.hpp"
#include "tests/tests_pch.hpp"

using namespace warmbay;
using namespace warmbay::tests;

namespace {

/// Another number of members in every run, in no order.
std::function<int(int)> at_random(unsigned seed) {
  return [random = std::mt19937(seed)](int size) mutable { return 1 + static_cast<int>(random() % size); };
}

}  // namespace

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

TEST_CASE("every piece is done exactly once while members come and go, and no more take part than are asked",
          "[threads]") {
  int asked = 0;
  std::array<bool, 6> was_asked{};
  sim::Crew crew(5, [&, choose = at_random(7)](int size) mutable {
    asked = choose(size);
    was_asked[static_cast<std::size_t>(asked)] = true;
    return asked;
  });
  REQUIRE(crew.size() == 5);
  constexpr int count = 37;
  std::vector<int> done(2 * count, 0);  // not atomic: the thread sanitizer sees whoever meets another there
  for (int round = 1; round <= 400; ++round) {
    std::array<int, 5> parts_of{};
    crew.run([&](int part, int parts) { parts_of[static_cast<std::size_t>(part)] = parts; });
    for (int part = 0; part < 5; ++part)
      REQUIRE(parts_of[static_cast<std::size_t>(part)] == (part < asked ? asked : 0));
    if (round % 2 == 0)
      crew.each(2 * count, [&](int n) { ++done[static_cast<std::size_t>(n)]; });
    else
      crew.each_of_halves(count, [&](int half, int n) { ++done[static_cast<std::size_t>(half * count + n)]; });
    REQUIRE(std::all_of(done.begin(), done.end(), [&](int times) { return times == round; }));
  }
  CHECK(std::count(was_asked.begin(), was_asked.end(), true) == 5);
}

TEST_CASE("members left out for thousands of rounds come back when they are asked", "[threads]") {
  int present = 3;
  sim::Crew crew(3, [&](int) { return present; });
  std::array<std::atomic<int>, 3> rounds{};
  const auto count = [&](int part, int) { ++rounds[static_cast<std::size_t>(part)]; };
  for (int n = 0; n < 3; ++n) {
    for (const int now : {3, 2, 3, 1}) {
      present = now;
      for (int round = 0; round < 2000; ++round) crew.run(count);
    }
  }
  CHECK(rounds[0] == 3 * 4 * 2000);
  CHECK(rounds[1] == 3 * 3 * 2000);
  CHECK(rounds[2] == 3 * 2 * 2000);
}

TEST_CASE("a wall's steps, split and whole, give the same bits while members come and go", "[threads]") {
  // Against one thread, which shares nothing out.
  const auto wall = share(channel_wall());
  const auto after = [&](sim::Crew& crew) {
    sim::Conduction conduction(wall, crew);
    sim::Stepper stepper(conduction, crew);
    sim::WholeStep whole(conduction, crew);
    sim::HeatState state = even_heat(conduction, 24.0);
    conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, state.rise_k);
    const sim::Feed feed = sim::steady_feed(conduction.copper(), 30.0);
    for (int n = 0; n < 6; ++n) {
      conduction.refresh(state.rise_k);
      static_cast<void>(stepper.step(state, 5.0, feed));
    }
    const auto outcome = whole.advance(state, 60.0, feed, sim::RiseBound{});
    CHECK(outcome.finite);
    return state;
  };
  sim::Crew alone(1);
  const sim::HeatState one = after(alone);
  for (const unsigned seed : {1U, 2U, 3U}) {
    INFO("seed " << seed);
    sim::Crew changing(4, at_random(seed));
    REQUIRE(changing.size() == 4);
    const sim::HeatState other = after(changing);
    CHECK(other.rise_k == one.rise_k);
    CHECK(other.copper_rise_k == one.copper_rise_k);
    CHECK(other.change_k == one.change_k);
  }
}

TEST_CASE("a multigrid cycle gives the same bits while members come and go", "[threads]") {
  // Against one thread. High enough for three members to smooth side by side, with borders between their planes.
  const auto edges = even_edges(0.04, 8);
  sim::Wall described = block({edges, edges, even_edges(0.3, 60)}, material("wood", 0.13, 500.0, 1600.0));
  expose(described, sim::Side::room, add_film(described, "room", sim::kelvin_from_celsius(20.0), 8.0));
  const auto wall = share(std::move(described));
  const auto correction = [&](sim::Crew& crew) {
    sim::Conduction conduction(wall, crew);
    const sim::Layout& layout = conduction.layout();
    sim::Field rise_k(layout.size, 0.0F);
    conduction.set_surroundings(sim::initial_conditions(*wall).surroundings_k, rise_k);
    conduction.refresh(rise_k);
    sim::Multigrid multigrid(conduction, crew);
    multigrid.rebuild();
    sim::LargeField residual_w(layout.size, 0.0F), correction_k(layout.size, 0.0F);
    std::mt19937 random(5);
    for (std::size_t v = 0; v < layout.size; ++v)
      if (conduction.is_solid(v)) residual_w[v] = static_cast<float>(random() % 1000) * 1e-3F;
    sim::Multigrid::Copper none;
    multigrid.cycle(residual_w, none, correction_k, none);
    return correction_k;
  };
  sim::Crew alone(1);
  const sim::LargeField one = correction(alone);
  CHECK(*std::max_element(one.begin(), one.end()) > 0.0F);
  for (const unsigned seed : {1U, 2U, 3U}) {
    INFO("seed " << seed);
    sim::Crew changing(3, at_random(seed));
    const bool same = correction(changing) == one;  // not the vectors, which a failure would print
    CHECK(same);
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
