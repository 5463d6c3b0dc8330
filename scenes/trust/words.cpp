#include "scenes/trust/words.hpp"

#include <algorithm>
#include <cmath>

#include "scenes/read/file_units.hpp"
#include "scenes/text/text_fill.hpp"

namespace warmbay::scenes {

namespace {

/// Decimals that show a hundredth of the tolerance's first digit: enough to see how much of it is used up.
int decimals_of(const Check& check) {
  const double half = 0.5 * (check.most - check.least);
  return half > 0.0 ? std::clamp(static_cast<int>(std::ceil(-std::log10(half))) + 1, 0, 9) : 6;
}

std::string tolerance_words(const Check& check, const Text& text) {
  if (check.band) return fill(text("trust.band"), fmt::arg("least", check.least), fmt::arg("most", check.most));
  if (check.percent) return fmt::format("±{:g} %", *check.percent);
  return fmt::format("±{:g}", 0.5 * (check.most - check.least));
}

std::string difference_words(const CheckResult& result) {
  const Check& check = result.check;
  const double difference = result.ours - check.published;
  if ((check.percent || check.band) && check.published != 0.0)
    return fmt::format("{:+.2f} %", 100.0 * difference / std::abs(check.published));
  return fmt::format("{:+.{}f}", difference, decimals_of(check));
}

}  // namespace

CheckWords words_of(const CheckResult& result, const Text& text) {
  const Check& check = result.check;
  CheckWords words;
  words.name = check.name;
  if (check.at_s) words.at_min = fmt::format("{:.4g}", minute.from_si(*check.at_s));
  words.unit = check.unit;
  words.published = fmt::format("{:.6g}", check.published);
  words.tolerance = tolerance_words(check, text);
  words.verdict = text(result.verdict == Verdict::within      ? "trust.within"
                       : result.verdict == Verdict::explained ? "trust.deviates"
                                                              : "trust.outside");
  if (!result.failure.empty()) {
    words.ours = text("trust.no_number");
    return words;
  }
  words.ours = fmt::format("{:.{}f}", result.ours, decimals_of(check));
  words.difference = difference_words(result);
  return words;
}

std::vector<std::size_t> varied_checks(const CaseResult& one) {
  std::vector<std::size_t> varied;
  for (std::size_t c = 0; c < one.checks.size(); ++c) {
    const bool asked = std::any_of(one.variations.begin(), one.variations.end(), [c](const VariationResult& variation) {
      return std::any_of(variation.ends.begin(), variation.ends.end(),
                         [c](const VariationResult::End& end) { return end.values[c].failure.empty(); });
    });
    if (asked) varied.push_back(c);
  }
  return varied;
}

std::string change_words(const CheckResult& result, const VariationResult& variation, std::size_t check) {
  std::string words;
  for (const VariationResult::End& end : variation.ends) {
    const Measured& there = end.values[check];
    if (!words.empty()) words.append("/");
    if (!there.failure.empty() || !result.failure.empty())
      words.append("–");
    else
      words.append(fmt::format("{:+.{}f}", there.value - result.ours, std::min(decimals_of(result.check), 2)));
  }
  return words;
}

std::string outcome_words(const TrustResult& result, const Text& text) {
  std::string words = fill(text("trust.outcome"), fmt::arg("within", result.within), fmt::arg("all", result.checks()),
                           fmt::arg("seconds", result.seconds));
  if (result.explained > 0)
    words.append(" ").append(fill(text("trust.outcome_explained"), fmt::arg("checks", result.explained)));
  if (result.faulty > 0) words.append(" ").append(fill(text("trust.outcome_faulty"), fmt::arg("cases", result.faulty)));
  return words;
}

}  // namespace warmbay::scenes
