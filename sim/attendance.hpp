#pragma once
// How many members of a crew take part in its next round, from how its rounds went so far.
//
// Every round ends when its last member has done its part. Where another process has that member's core, all others
// stand until the member has the core back, a few milliseconds: two threads beside one busy process on two cores are
// then slower than one thread alone. So a crew that stands too much goes on without its last member, and tries again
// later, ever later where that was no good.

#include <vector>

namespace warmbay::sim {

class Attendance {
 public:
  explicit Attendance(int size) : size_(size), present_(size) {}

  /// How many take part in a round that begins at now_s, any clock that only grows: 1 to size.
  [[nodiscard]] int present(double now_s);

  /// A round with more than one member ended at now_s after took_s. worked_s: what every member was at its own part,
  /// without its waits for others in it; is put in order.
  void took(double now_s, double took_s, std::vector<double>& worked_s);

 private:
  void look_again();

  int size_, present_;
  double spent_s_ = 0.0, stood_s_ = 0.0;  // since the crew was last looked at
  bool trying_ = false;                   // one more than before, and not yet looked at
  double next_try_s_ = 0.0, raised_s_ = 0.0, pause_s_ = 0.0;
};

}  // namespace warmbay::sim
