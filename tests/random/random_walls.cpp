// Random walls under random series of changes, as many as asked for: random_walls [FIRST [COUNT [CHANGES]]].
// One line for each that breaks a rule, one summary; exit status 1 if any did. DEVELOPERS.md says when to run it.

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>

#include "scenes/data/data_files.hpp"
#include "tests/random/random_run.hpp"

int main(int argc, char** argv) {
  using namespace warmbay;
  const auto number = [&](int place, long long otherwise) {
    return argc > place ? std::strtoll(argv[place], nullptr, 10) : otherwise;
  };
  const long long first = number(1, 1), count = number(2, 2000);
  tests::RandomRun rules;
  rules.changes = static_cast<int>(number(3, rules.changes));
  const bool tells_all = std::getenv("WARMBAY_RANDOM_TELL") != nullptr;
  const scenes::ReadDataFiles files = scenes::read_data_files(WARMBAY_SOURCE_DIR "/assets");
  if (!files.faults.empty()) {
    fmt::print(stderr, "the data files have faults\n");
    return 3;
  }
  long long bad = 0, steps = 0, mended = 0, damaged = 0;
  tests::RandomOutcome worst;
  double simulated_s = 0.0;
  for (long long seed = first; seed < first + count; ++seed) {
    const auto start = std::chrono::steady_clock::now();
    const tests::RandomOutcome one = tests::run_random_wall(static_cast<std::uint64_t>(seed), files.data, rules);
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    bad += one.fault.empty() ? 0 : 1;
    steps += one.steps;
    mended += one.mended;
    damaged += one.damaged ? 1 : 0;
    simulated_s += one.simulated_s;
    worst.overshoot_k = std::max(worst.overshoot_k, one.overshoot_k);
    worst.unaccounted = std::max(worst.unaccounted, one.unaccounted);
    worst.apart_k = std::max(worst.apart_k, one.apart_k);
    if (!one.fault.empty() || tells_all) {
      fmt::print(
          "wall {}: {} voxels, {} steps, {} mended, {:.1f} s: {}\n", seed, one.voxels, one.steps, one.mended, seconds,
          one.fault.empty() ? fmt::format("fine ({:.2f} K outside, {:.1e} unaccounted, {:.2f} K apart{})",
                                          one.overshoot_k, one.unaccounted, one.apart_k, one.damaged ? ", damaged" : "")
                            : one.fault);
      std::fflush(stdout);
    }
  }
  fmt::print(
      "{} walls from {}, {} changes each: {} broke a rule; {:.0f} simulated hours in {} steps, {} of them mended; {} "
      "walls damaged; worst {:.3g} K outside the envelope, {:.2e} of the heat unaccounted for, {:.3g} K from a tenth "
      "of the step\n",
      count, first, rules.changes, bad, simulated_s / 3600.0, steps, mended, damaged, worst.overshoot_k,
      worst.unaccounted, worst.apart_k);
  return bad == 0 ? 0 : 1;
}
