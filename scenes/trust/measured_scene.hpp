#pragma once
// One scene, and everything that checks ask of it: painted, settled, limited and played when first asked for, then
// kept.

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/trust/case.hpp"
#include "sim/bench.hpp"
#include "sim/settled.hpp"

namespace warmbay::scenes {

/// What was read, in the check's unit; or why nothing could be read.
struct Measured {
  double value = 0.0;
  std::string failure;
};

/// How a scene is to be played, if at all.
struct Playing {
  double every_s = 5.0;     // spacing of what is read
  double until_s = 0.0;     // at least so long
  bool to_the_end = false;  // of its steps
  double step_s = 0.0;      // every internal step; 0: as `run` lays them out
};

/// Computes on the thread that asks, and on no other. Not thread-safe.
class MeasuredScene {
 public:
  /// scaled: an unknown and its value, or nullptr for the wall as it is.
  MeasuredScene(std::shared_ptr<const Scene> scene, const DataFiles& data, const Playing& playing,
                const Unknown* scaled = nullptr, double value = 1.0);

  /// check: of a case of this scene, so that its names are the scene's; relative_to: this scene under other conditions.
  [[nodiscard]] Measured measure(const Check& check);

 private:
  struct KeptField {
    Under under;
    sim::Settled settled;
  };
  struct KeptLimit {
    std::string cable;
    Under under;
    Measured limit;
  };
  struct Played {
    std::vector<sim::Reading> rows;
    sim::Bench::Energy energy{};
  };

  [[nodiscard]] Measured read(const Check& check);
  [[nodiscard]] Measured read_settled(const Check& check);
  [[nodiscard]] Measured read_at(const Check& check);
  [[nodiscard]] Measured read_limit(const Check& check);
  [[nodiscard]] Measured read_reach(const Check& check);
  [[nodiscard]] Measured read_imbalance();
  [[nodiscard]] Measured limit_a(const std::string& cable, const Under& under);
  [[nodiscard]] sim::Conditions conditions(const Under& under) const;
  [[nodiscard]] const sim::Settled& settled(const Under& under);
  [[nodiscard]] const Played& played();

  std::shared_ptr<const Scene> scene_;
  std::shared_ptr<const sim::Wall> wall_;
  Playing playing_;
  std::vector<KeptField> settled_;
  std::vector<KeptLimit> limits_;
  std::optional<Played> played_;
};

}  // namespace warmbay::scenes
