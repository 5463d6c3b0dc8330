// The log of readings: rows at even spacing, and no more of them than there may be.

#include "scenes/play/readings_log.hpp"

#include "tests/tests_pch.hpp"

using namespace warmbay;

namespace {

/// A reading whose value is its time, so that a row tells where it was taken.
sim::Reading at(double time_s) {
  sim::Reading reading;
  reading.time_s = time_s;
  reading.current_a = time_s;
  return reading;
}

/// Internal steps of 2 s.
bool run(scenes::ReadingsLog& log, double from_s, double to_s) {
  bool thinned = false;
  for (double t = from_s; t < to_s; t += 2.0) thinned |= log.add(at(t), at(t + 2.0));
  return thinned;
}

}  // namespace

TEST_CASE("a full log of readings drops every second row and stays evenly spaced") {
  scenes::ReadingsLog log(5.0, 8);
  log.start(at(0.0));
  CHECK_FALSE(run(log, 0.0, 36.0));
  CHECK(log.rows().size() == 8);  // 0, 5, ... 35
  CHECK(run(log, 36.0, 1000.0));
  CHECK(log.rows().size() <= 8);
  CHECK(log.spacing_s() == 160.0);  // 5 s, doubled as often as 1000 s in 8 rows needs
  for (std::size_t row = 0; row < log.rows().size(); ++row) {
    CHECK(log.rows()[row].time_s == static_cast<double>(row) * log.spacing_s());
    CHECK(log.rows()[row].current_a == Approx(log.rows()[row].time_s));
  }
  CHECK(log.rows().back().time_s + log.spacing_s() > 1000.0);
}

TEST_CASE("a log that has gone back goes on with the row that comes next") {
  scenes::ReadingsLog log(5.0, 8);
  log.start(at(0.0));
  run(log, 0.0, 100.0);
  const double spacing_s = log.spacing_s();
  log.forget_after(30.0);
  CHECK(log.spacing_s() == spacing_s);
  CHECK(log.rows().back().time_s <= 30.0);
  run(log, 30.0, 60.0);
  for (std::size_t row = 0; row < log.rows().size(); ++row)
    CHECK(log.rows()[row].time_s == static_cast<double>(row) * spacing_s);
  log.forget_after(0.0);
  CHECK(log.rows().size() == 1);
  CHECK(log.spacing_s() == 5.0);
}
