#include "scenes/trust/case.hpp"

#include <algorithm>

namespace warmbay::scenes {

namespace {

constexpr QuantityRule rules[] = {
    {Quantity::thermocouple_c, "celsius", "°C", Named::thermocouple, true},
    {Quantity::hottest_c, "hottest_c", "°C", Named::cable, true},
    {Quantity::drop_v, "drop_v", "V", Named::cable, true},
    {Quantity::power_w, "power_w", "W", Named::cable, true},
    {Quantity::conductor_mm2, "conductor_mm2", "mm²", Named::cable},
    {Quantity::core_mk_w, "core_mk_w", "m K/W", Named::cable},
    {Quantity::heat_w, "heat_w", "W", Named::surroundings, true},
    {Quantity::heat_w_m2, "heat_w_m2", "W/m²", Named::surroundings, true},
    {Quantity::hottest_surface_c, "hottest_surface_c", "°C", Named::surroundings, true},
    {Quantity::coldest_surface_c, "coldest_surface_c", "°C", Named::surroundings, true},
    {Quantity::resistance_m2k_w, "resistance_m2k_w", "m²K/W", Named::surroundings},
    {Quantity::limit_a, "limit_a", "A", Named::cable, false, true},
    {Quantity::reach_s, "reach_s", "s", Named::cable, false, true},
    {Quantity::imbalance_percent, "imbalance_percent", "%", std::nullopt},
};

}  // namespace

const QuantityRule& rule_of(Quantity what) {
  return *std::find_if(std::begin(rules), std::end(rules),
                       [what](const QuantityRule& rule) { return rule.what == what; });
}

const QuantityRule* rule_of(std::string_view word) {
  const auto* found =
      std::find_if(std::begin(rules), std::end(rules), [word](const QuantityRule& rule) { return rule.word == word; });
  return found == std::end(rules) ? nullptr : found;
}

std::vector<std::string> quantity_words() {
  std::vector<std::string> words;
  for (const QuantityRule& rule : rules) words.emplace_back(rule.word);
  return words;
}

}  // namespace warmbay::scenes
