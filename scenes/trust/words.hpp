#pragma once
// A check in the words and digits that people read, the same on the terminal and on the page.

#include <string>
#include <vector>

#include "scenes/text/text.hpp"
#include "scenes/trust/runner.hpp"

namespace warmbay::scenes {

struct CheckWords {
  std::string name;
  std::string at_min;  // empty: settled
  std::string unit;
  std::string published;
  std::string tolerance;
  std::string ours;
  std::string difference;
  std::string verdict;
};
[[nodiscard]] CheckWords words_of(const CheckResult& result, const Text& text);

/// The checks that a case's variations say anything about, by number.
[[nodiscard]] std::vector<std::size_t> varied_checks(const CaseResult& one);

/// What a variation changes in a check, at one or both of its ends: "-0.4/+0.5"; "–" where it cannot be read.
[[nodiscard]] std::string change_words(const CheckResult& result, const VariationResult& variation, std::size_t check);

/// "198 of 200 checks lie within their tolerance. ...": the outcome as sentences.
[[nodiscard]] std::string outcome_words(const TrustResult& result, const Text& text);

}  // namespace warmbay::scenes
