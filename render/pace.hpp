#pragma once
// How many simulated seconds are due at a time factor. Knows wall-clock seconds only as numbers, so it is testable.

#include <algorithm>

namespace warmbay::render {

class Pace {
 public:
  explicit Pace(double factor) : factor_(factor) {}

  /// Simulated seconds per second; 0: as fast as it goes.
  [[nodiscard]] double factor() const { return factor_; }
  void set_factor(double factor) { factor_ = factor; }

  /// From now on simulated time runs on from simulated_s.
  void restart(double wall_clock_s, double simulated_s) {
    anchor_wall_s_ = wall_clock_s;
    anchor_simulated_s_ = simulated_s;
    window_wall_s_ = wall_clock_s;
    window_simulated_s_ = simulated_s;
    reached_ = factor_;
  }

  /// Simulated seconds that are due now, but no more than about chunk_s of wall clock is needed for.
  [[nodiscard]] double due_s(double wall_clock_s, double simulated_s, double chunk_s) {
    const double most_s = std::max(speed_ * chunk_s, least_chunk_s);
    if (factor_ == 0.0) return most_s;
    const double due = anchor_simulated_s_ + (wall_clock_s - anchor_wall_s_) * factor_ - simulated_s;
    // Far behind (a slow machine, a wall with many voxels): give the debt up instead of racing later.
    if (due > 0.25 * factor_ + 2.0 * most_s) restart_keeping_window(wall_clock_s, simulated_s + most_s);
    return std::min(due, most_s);
  }

  /// Wall-clock seconds until at least one internal step will be due; 0: at once.
  [[nodiscard]] double due_in_s(double wall_clock_s, double simulated_s) const {
    if (factor_ == 0.0) return 0.0;
    const double due = anchor_simulated_s_ + (wall_clock_s - anchor_wall_s_) * factor_ - simulated_s;
    return std::max(0.001, (least_chunk_s - due) / factor_);
  }

  /// simulated_s seconds took took_s; both clocks afterwards.
  void ran(double ran_s, double took_s, double wall_clock_s, double simulated_now_s) {
    if (ran_s > 0.0 && took_s > 0.0) {
      // A slow start is learnt at once, a faster machine little by little.
      const double speed = ran_s / took_s;
      speed_ = speed_ == 0.0 ? speed : 0.8 * speed_ + 0.2 * speed;
    }
    const double window_s = wall_clock_s - window_wall_s_;
    if (window_s >= 0.5) {
      reached_ = (simulated_now_s - window_simulated_s_) / window_s;
      window_wall_s_ = wall_clock_s;
      window_simulated_s_ = simulated_now_s;
    }
  }

  [[nodiscard]] double reached() const { return reached_; }

 private:
  static constexpr double least_chunk_s = 2.0;  // less than a regular internal step: asking for less is in vain

  void restart_keeping_window(double wall_clock_s, double simulated_s) {
    anchor_wall_s_ = wall_clock_s;
    anchor_simulated_s_ = simulated_s;
  }

  double factor_;
  double anchor_wall_s_ = 0.0;
  double anchor_simulated_s_ = 0.0;
  double speed_ = 0.0;  // simulated seconds per second of work
  double window_wall_s_ = 0.0;
  double window_simulated_s_ = 0.0;
  double reached_ = 0.0;
};

}  // namespace warmbay::render
