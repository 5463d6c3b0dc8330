// How many members take part, by made-up rounds on a made-up clock: no test here looks at a real one.

#include "sim/attendance.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

/// A crew whose rounds are 0.2 ms of work each, on a clock of its own.
struct Crewed {
  explicit Crewed(int size) : attendance(size) {}
  /// Plays rounds until `seconds` have gone by, on so many free cores: with more members than those the last one is
  /// away for 3 ms in every 6. Returns the share of the time with more members than cores.
  double play(double seconds, int free_cores) {
    const double until_s = now_s + seconds, from_s = now_s;
    double too_many_s = 0.0;
    while (now_s < until_s) {
      const int present = attendance.present(now_s);
      most = std::max(most, present);
      least = std::min(least, present);
      const double work_s = 0.2e-3;
      std::vector<double> worked_s(static_cast<std::size_t>(present), work_s);
      double took_s = work_s;
      if (present > free_cores) {
        ran_s += work_s;
        if (ran_s > 3e-3) {
          ran_s = 0.0;
          took_s += 3e-3;
          worked_s.back() = took_s;
        }
      }
      now_s += took_s;
      if (present > free_cores) too_many_s += took_s;
      if (present > 1) attendance.took(now_s, took_s, worked_s);
    }
    return too_many_s / (now_s - from_s);
  }
  void forget() { most = 0, least = 1000; }

  sim::Attendance attendance;
  double now_s = 1000.0, ran_s = 0.0;
  int most = 0, least = 1000;
};

}  // namespace

TEST_CASE("a crew that nobody keeps from its cores stays whole") {
  for (const int size : {2, 3, 4, 16}) {
    Crewed crew(size);
    crew.play(5.0, size);
    CHECK(crew.least == size);
  }
}

TEST_CASE("beside busy processes a crew works with as many members as have a core, and rarely tries more") {
  for (const auto& [size, free_cores] : {std::pair{2, 1}, {4, 3}, {4, 2}, {16, 8}}) {
    INFO(size << " members, " << free_cores << " free cores");
    Crewed crew(size);
    crew.play(5.0, free_cores);
    crew.forget();
    const double too_many = crew.play(20.0, free_cores);
    CHECK(crew.least == free_cores);
    CHECK(crew.most == free_cores + 1);
    CHECK(too_many > 0.0);   // it does try
    CHECK(too_many < 0.02);  // 10 to 20 ms every 1.6 s
  }
}

TEST_CASE("once the load has gone all members are back within seconds, and stay") {
  Crewed crew(4);
  crew.play(20.0, 1);
  REQUIRE(crew.attendance.present(crew.now_s) <= 2);
  crew.play(3.0, 4);
  crew.forget();
  crew.play(5.0, 4);
  CHECK(crew.least == 4);
}

TEST_CASE("one short absence costs a member for a moment, not for long") {
  Crewed crew(2);
  crew.play(5.0, 2);
  crew.play(0.004, 1);  // away once
  crew.ran_s = 0.0;
  crew.play(0.1, 2);
  crew.forget();
  crew.play(1.0, 2);
  CHECK(crew.least == 2);
}

TEST_CASE("members who wait for the first one count as standing, too") {
  sim::Attendance attendance(2);
  std::vector<double> worked_s{4e-3, 0.2e-3};  // the first was kept from its core, within its own part
  attendance.took(1.0, 4e-3, worked_s);
  CHECK(attendance.present(1.001) == 1);
}
