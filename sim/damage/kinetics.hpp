#pragma once
// A material's irreversible changes, ready to be computed: rates in tables, thresholds at hand.

#include <array>
#include <vector>

#include "sim/damage/reaction_rates.hpp"
#include "sim/damage/rules.hpp"

namespace warmbay::sim {

class Kinetics {
 public:
  explicit Kinetics(const Damage& damage);

  /// What a stretch of time did to a piece of the material.
  struct Change {
    double heat_j = 0.0;    // taken up
    double lost_kg = 0.0;   // left as gas
    double smoke_kg = 0.0;  // of that

    Change& operator+=(const Change& other) {
      heat_j += other.heat_j;
      lost_kg += other.lost_kg;
      smoke_kg += other.smoke_kg;
      return *this;
    }
  };
  /// Runs all processes for dt_s. extent: moves on. mass_kg: of the piece when nothing had left yet. capacity_j_k: of
  /// the piece (infinite: its temperature is held). temperature_k: cools by the heat taken up. Arrhenius processes are
  /// exact at a constant temperature; a band ends exactly where the heat it takes leaves the temperature.
  Change advance(std::array<float, damage_processes>& extent, double mass_kg, double capacity_j_k,
                 double& temperature_k, double dt_s) const;

  /// Share of the foam that collapses in dt_s of what still stands, 1. Source of the form: Arrhenius.
  [[nodiscard]] float collapsing(float temperature_k, float dt_s) const {
    const float rate_1_s = collapse_.at(temperature_k);
    return rate_1_s > 0.0F ? reacted(rate_1_s, dt_s) : 0.0F;
  }
  /// Share of the first mass that has left, 1.
  [[nodiscard]] double lost(const std::array<float, damage_processes>& extent) const;
  /// How far the conductivity is on its way to the changed one, 0 to 1.
  [[nodiscard]] float changed(const std::array<float, damage_processes>& extent) const {
    return damage_->changed_by >= 0 ? extent[static_cast<std::size_t>(damage_->changed_by)] : 0.0F;
  }
  /// A process that chars is half done.
  [[nodiscard]] bool charred(const std::array<float, damage_processes>& extent) const;

  // The tables behind advance() and collapsing(), for an engine that does the same elsewhere.
  [[nodiscard]] const ReactionRates& rates(std::size_t process) const { return rates_[process]; }
  [[nodiscard]] const ReactionRates& collapse_rates() const { return collapse_; }

  [[nodiscard]] const Damage& rules() const { return *damage_; }
  /// Nothing happens to the material below this temperature, K.
  [[nodiscard]] double quiet_below_k() const { return quiet_below_k_; }

 private:
  const Damage* damage_;
  std::vector<ReactionRates> rates_;  // per process; empty tables for bands
  ReactionRates collapse_;
  double quiet_below_k_ = 0.0;
};

}  // namespace warmbay::sim
