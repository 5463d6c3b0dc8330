#include "sim/attendance.hpp"

#include <algorithm>
#include <cstddef>

namespace warmbay::sim {
namespace {

// These decide only how fast results come, never what they are.

/// Members of a round may be unlike by this factor, 1, and by this time, s, without anybody being away. More: short
/// absences pass; less: parts of unlike size and small rounds look like absences on a quiet machine.
constexpr double unlike_share = 1.5;
constexpr double unlike_s = 20e-6;
/// A crew that stands for more than this share of its time goes on with one member less, 1. More: two members beside a
/// busy process stay slower than one; less: a short disturbance costs a member for a while.
constexpr double stands_most = 0.25;
/// For how long rounds are looked at together, s: two or three time slices of usual schedulers. More: what a bad try
/// costs; less: one short absence looks like a lasting one.
constexpr double look_s = 0.010;
/// After how long one member more is tried, s: at first, and at most where trying did no good. A longer first one: a
/// short disturbance costs more; a longer last one: the crew comes back late once the machine is quiet; shorter ones:
/// trying costs more than it may gain.
constexpr double first_pause_s = 0.025;
constexpr double longest_pause_s = 1.6;

}  // namespace

void Attendance::look_again() {
  spent_s_ = stood_s_ = 0.0;
  trying_ = false;
}

int Attendance::present(double now_s) {
  if (present_ < size_ && !trying_ && now_s >= next_try_s_) {
    ++present_;
    look_again();
    trying_ = true;
    raised_s_ = now_s;
  }
  return present_;
}

void Attendance::took(double now_s, double took_s, std::vector<double>& worked_s) {
  // The lower middle one: of two members the one that was not kept from its work.
  const auto middle = worked_s.begin() + (static_cast<std::ptrdiff_t>(worked_s.size()) - 1) / 2;
  std::nth_element(worked_s.begin(), middle, worked_s.end());
  spent_s_ += took_s;
  stood_s_ += std::max(0.0, took_s - unlike_share * *middle - unlike_s);
  if (stood_s_ > stands_most * std::max(spent_s_, look_s)) {
    // What lasted for longer than the pause before it was worth trying.
    const bool lasted = now_s - raised_s_ > pause_s_;
    pause_s_ = lasted ? first_pause_s : std::min(2.0 * pause_s_, longest_pause_s);
    present_ = std::max(present_ - 1, 1);
    next_try_s_ = now_s + pause_s_;
    look_again();
  } else if (spent_s_ >= look_s) {
    if (trying_) next_try_s_ = now_s + first_pause_s;
    look_again();
  }
}

}  // namespace warmbay::sim
