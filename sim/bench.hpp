#pragma once
// The whole experiment: wall state, cables, supply, instruments, clock. Nothing else changes temperatures.
//
// Time runs in fixed internal steps laid out from the moment of the last change of conditions, so that the same wall
// and the same changes at the same simulated times give bit-identical temperatures, however the calls to advance_to are
// cut up and for any number of threads.
//
// Every step is held to what physics allows (the maximum principle with the copper's heat, the heat balance, voxels at
// rest); one that breaks it is done again by a step that cannot fail (sim/whole_step.hpp), and so are some after it.

#include <memory>
#include <optional>
#include <vector>

#include "sim/damage/state.hpp"
#include "sim/heat_engine.hpp"
#include "sim/snapshot.hpp"
#include "sim/step_lengths.hpp"
#include "sim/wall.hpp"

namespace warmbay::sim {

struct BenchOptions {
  int threads = 0;      // 0: one per core
  double step_s = 5.0;  // the regular internal step: within 0.25 K at the laundry wall's conductor (tests/bench)
  std::optional<double> start_k;  // temperature everywhere at t = 0; default: the settled field with no current
  double longest_step_s = 20.0;   // to which steps grow while everything goes slowly
  bool mends = true;              // false: split steps as they come, to compare engines with each other
  EngineFactory engine = {};      // what moves the heat; empty: the processor
};

/// Everything that moves, copied out; restoring it continues bit-identically.
struct BenchState {
  double time_s = 0.0;
  long long steps_in_segment = 0;
  double segment_start_s = 0.0;
  Conditions conditions;
  double since_refresh_s = 0.0;
  RiseRange range;             // of all temperatures, K above the datum, as far as physics allows them
  bool settling_in = true;     // something has just changed at once: restlessness says nothing yet
  StepLengths lengths;         // of split steps
  double pace_s = 0.0;         // of the last step
  long long mended_steps = 0;  // done whole so far
  double off_j = 0.0;          // heat not accounted for, signed; what was before a change counts less and less
  double moved_j = 0.0;        // of all that was generated, left or was stored
  bool broken = false;         // not even that: the temperatures are the last that were numbers
  double fastest_change_k_s = 0.0;
  double hottest_now_rise_k = 0.0;  // of any voxel or node after the last step
  HeatState heat;
  ConductanceState conductances;
  double generated_j = 0.0;
  double left_j = 0.0;
  DamageState damage;
  double shaped_s = 0.0;  // when the void took its present shape
  std::vector<Occurrence> occurrences;
  DeviceState device;
  std::vector<double> junction_rise_k;  // per thermocouple: of its junction, K above the datum
  std::vector<std::uint8_t> slipped;    // per thermocouple
};

class Bench {
 public:
  explicit Bench(std::shared_ptr<const Wall> wall, const BenchOptions& options = {});
  ~Bench();
  Bench(Bench&&) noexcept;
  Bench& operator=(Bench&&) noexcept;

  [[nodiscard]] const Wall& wall() const;
  [[nodiscard]] double time_s() const;
  [[nodiscard]] const Conditions& conditions() const;

  /// Changes the conditions now and starts a new segment of the step ladder. surroundings_k must match the wall's.
  void set_conditions(const Conditions& conditions);

  /// Ends the current segment at until_s at the latest: steps never cross it. The player sets this to the known end of
  /// a hold, so that changes land exactly on their time. Steps are laid out independently of advance_to's arguments.
  void set_segment_end(double until_s);

  /// Runs whole internal steps while the next one ends at or before time_s (or segment end, whichever is earlier).
  /// Afterwards time_s() <= time_s, and less than one internal step short of it.
  void advance_to(double time_s);
  /// One internal step; returns its length, s (0 at the segment end).
  double step();

  [[nodiscard]] Reading reading() const;
  /// Cheaper than reading() when only rates are wanted: largest |dT/dt| of any voxel or copper node over the last step,
  /// K/s.
  [[nodiscard]] double fastest_change_k_s() const;
  /// Material that can be damaged: what of it is left, wall and plastics of cables, and what has left as gas, kg.
  struct Matter {
    double left_kg;
    double gas_kg;
  };
  [[nodiscard]] Matter matter() const;
  /// All temperatures and readings, as one consistent whole.
  [[nodiscard]] std::shared_ptr<const Snapshot> snapshot() const;
  /// The same, but the voxels' temperatures and states are still those of `before`, an earlier snapshot of this bench:
  /// nothing is fetched from the engine. For who draws temperatures from share_field().
  [[nodiscard]] std::shared_ptr<const Snapshot> snapshot_beside(const Snapshot& before) const;
  /// The present temperatures where the engine has them (HeatEngine::share_field), or nullptr.
  [[nodiscard]] std::shared_ptr<const SharedField> share_field() const;

  [[nodiscard]] BenchState save() const;
  void restore(const BenchState& state);

  /// What has happened so far, in order.
  [[nodiscard]] const std::vector<Occurrence>& occurrences() const;
  /// Closes the protective device again, cold (a branch whose device has opened; else nothing happens).
  void reset_device();
  /// What computes: "2 threads", or the name of a card.
  [[nodiscard]] std::string engine_name() const;
  /// The next call comes from another thread.
  void leave_thread();
  /// How many steps had to be done again by the step that cannot fail (sim/whole_step.hpp).
  [[nodiscard]] long long mended_steps() const;
  /// A temperature or a conductance is not a number. The last good state is kept and no step is taken any more.
  [[nodiscard]] bool broken() const;
  /// A surface has passed its material's ignition temperature: the model ends here, and no step is taken any more.
  [[nodiscard]] bool ended() const;

  /// Heat since the bench was made, J: what the copper gave, what the wall and cables store, what left by the surfaces.
  struct Energy {
    double generated_j;
    double stored_j;
    double left_j;
    double taken_up_j;  // by water, melting and decomposition
    double with_gas_j;  // carried away by what became gas, as warm as it was
  };
  [[nodiscard]] Energy energy() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace warmbay::sim
