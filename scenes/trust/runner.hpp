#pragma once
// Runs cases: every scene once, whatever asks for it, and as many scenes side by side as there are threads.

#include <array>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/trust/case.hpp"
#include "scenes/trust/case_reader.hpp"
#include "scenes/trust/measured_scene.hpp"

namespace warmbay::scenes {

enum class Verdict : std::uint8_t {
  within,
  explained,  // outside its tolerance, where the case says that it is, and why
  outside,    // or without a number
};

struct CheckResult {
  Check check;
  double ours = 0.0;    // meaningless with a failure
  std::string failure;  // why there is no number
  Verdict verdict = Verdict::outside;
};

/// What a variation of a case's scene does to its checks.
struct VariationResult {
  struct End {
    std::vector<Measured> values;  // one per check
  };
  std::vector<End> ends;  // as Variation::ends
};

struct CaseResult {
  std::string file;
  std::optional<Case> read;  // nothing: the faults say why it was not run
  std::vector<Fault> faults;
  std::vector<CheckResult> checks;
  std::vector<VariationResult> variations;  // as Case::variations
};

struct TrustResult {
  std::vector<CaseResult> cases;
  double seconds = 0.0;  // wall clock
  std::size_t within = 0;
  std::size_t explained = 0;
  std::size_t outside = 0;  // checks that are without an explanation, or that have no number
  std::size_t faulty = 0;   // cases that were not run
  [[nodiscard]] std::size_t checks() const { return within + explained + outside; }
  [[nodiscard]] bool good() const { return outside == 0 && faulty == 0 && within > 0; }
};

struct TrustOptions {
  std::filesystem::path library;                                    // the scenes that ship, for cases that ask for each
  int threads = 0;                                                  // 0: one per core; the numbers do not depend on it
  std::function<void(std::size_t done, std::size_t all)> progress;  // scenes; called by one thread at a time
};

/// The order of accuracy that readings at three sizes show, coarse to fine: the p at which the differences between them
/// stand as those of size^p. Any ratios of the sizes. NaN where they do not approach a limit from one side.
[[nodiscard]] double observed_order(const std::array<double, 3>& readings, const std::array<double, 3>& sizes);

[[nodiscard]] TrustResult run_trust(std::vector<ReadCase> cases, const DataFiles& data, const TrustOptions& options);

}  // namespace warmbay::scenes
