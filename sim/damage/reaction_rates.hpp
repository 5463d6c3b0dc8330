#pragma once
// Arrhenius rates from a table, because every hot voxel asks for one every step.

#include <vector>

namespace warmbay::sim {

class ReactionRates {
 public:
  ReactionRates() = default;
  /// k = rate_1_s exp(-energy_j_mol / R T) from from_k upwards, 0 below.
  ReactionRates(double rate_1_s, double energy_j_mol, double from_k);

  /// 1/s. temperature_k: any; above the table's end (limits::runaway_k and some) the last rate holds.
  [[nodiscard]] float at(float temperature_k) const {
    if (!(temperature_k >= from_k_) || rate_1_s_.empty()) return 0.0F;
    const float place = (temperature_k - from_k_) * per_k_;
    const auto n = static_cast<std::size_t>(place);
    if (n + 1 >= rate_1_s_.size()) return rate_1_s_.back();
    return rate_1_s_[n] + (place - static_cast<float>(n)) * (rate_1_s_[n + 1] - rate_1_s_[n]);
  }

  /// The table itself: rates at from_k, from_k + limits::rate_spacing_k, ...
  [[nodiscard]] float from_k() const { return from_k_; }
  [[nodiscard]] const std::vector<float>& values_1_s() const { return rate_1_s_; }

 private:
  float from_k_ = 0.0F;
  float per_k_ = 0.0F;
  std::vector<float> rate_1_s_;
};

/// Share of what is left that reacts in dt_s at a rate held constant: 1 - exp(-rate dt).
[[nodiscard]] float reacted(float rate_1_s, float dt_s);

}  // namespace warmbay::sim
