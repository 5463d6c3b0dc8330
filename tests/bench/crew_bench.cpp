// What several threads are worth beside other busy processes: the laundry wall's transient on one thread and on as many
// as there are cores, while none, one, or as many processes as cores spin.
//
// Both runs are done by turns under the same load, since machines are not the same from minute to minute; both have to
// give the same temperatures, bit for bit. All of them are kept on the first cores that this process may run on, as
// many as there are threads, so that the load is there where the heat is: `taskset -c 0,1` makes it two.

#include <benchmark/benchmark.h>
#include <sched.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <utility>
#include <vector>

#include "sim/crew.hpp"
#include "tests/bench/laundry.hpp"

namespace {

using namespace warmbay;

/// Processes that do nothing but take time, wherever this one may run; they end with it.
class Spinners {
 public:
  explicit Spinners(int count) {
    for (int n = 0; n < count; ++n) {
      const pid_t child = ::fork();
      if (child < 0) std::perror("no process to spin"), std::exit(1);
      if (child > 0) {
        children_.push_back(child);
        continue;
      }
      ::prctl(PR_SET_PDEATHSIG, SIGKILL);
      for (unsigned turn = 0;; ++turn) benchmark::DoNotOptimize(turn);
    }
  }
  ~Spinners() {
    for (const pid_t child : children_) {
      ::kill(child, SIGKILL);
      ::waitpid(child, nullptr, 0);
    }
  }
  Spinners(const Spinners&) = delete;
  Spinners& operator=(const Spinners&) = delete;

 private:
  std::vector<pid_t> children_;
};

sim::Bench bench_on(const std::shared_ptr<const sim::Wall>& wall, int threads) {
  sim::BenchOptions options;
  options.start_k = sim::kelvin_from_celsius(24.0);
  options.threads = threads;
  return sim::Bench(wall, options);
}

struct Run {
  double seconds;
  std::vector<double> hottest_k;
};
/// The 50 min, from the start, beside so many spinning processes. They are new ones for every run: on which cores the
/// system happens to put them decides much where there are more of them than it can share out evenly.
Run timed(sim::Bench& bench, const sim::BenchState& opening, int busy) {
  bench.restore(opening);
  const Spinners spinners(busy);
  const auto start = std::chrono::steady_clock::now();
  std::vector<double> hottest_k = bench::play_minutes(bench);
  return {std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(), std::move(hottest_k)};
}

/// sim_s/s and one_sim_s/s: simulated seconds a second on these threads and on one; of_one: their ratio; worst: the
/// least ratio of any two runs.
void beside(benchmark::State& state) {
  const int threads = static_cast<int>(state.range(0));
  const bench::Loaded loaded = bench::load_laundry(1.0);
  sim::Bench one = bench_on(loaded.wall, 1), all = bench_on(loaded.wall, threads);
  const sim::BenchState opening = one.save();
  const int busy = static_cast<int>(state.range(1));
  double one_s = 0.0, all_s = 0.0, worst = 1e9;
  for (auto _ : state) {
    const Run alone = timed(one, opening, busy), together = timed(all, opening, busy);
    if (alone.hottest_k != together.hottest_k) state.SkipWithError("threads change the result");
    state.SetIterationTime(together.seconds);
    one_s += alone.seconds;
    all_s += together.seconds;
    worst = std::min(worst, alone.seconds / together.seconds);
  }
  const double simulated_s = bench::minutes_s * static_cast<double>(state.iterations());
  state.counters["sim_s/s"] = simulated_s / all_s;
  state.counters["one_sim_s/s"] = simulated_s / one_s;
  state.counters["of_one"] = one_s / all_s;
  state.counters["worst"] = worst;
}

/// On the first `count` of the cores that this process may run on: threads and children take it over.
void keep_to_cores(int count) {
  cpu_set_t usable, first;
  CPU_ZERO(&first);
  if (sched_getaffinity(0, sizeof usable, &usable) != 0) return;
  for (int core = 0; core < CPU_SETSIZE && CPU_COUNT(&first) < count; ++core)
    if (CPU_ISSET(core, &usable)) CPU_SET(core, &first);
  sched_setaffinity(0, sizeof first, &first);
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  constexpr int most_cores = 4;  // more of them and the wall is too small to share out
  const int cores = std::min(sim::usable_cores(), most_cores);
  keep_to_cores(cores);
  auto* const of = benchmark::RegisterBenchmark("beside", beside)->ArgNames({"threads", "busy"});
  for (const int busy : {0, 1, cores}) of->Args({cores, busy});
  of->UseManualTime()->Unit(benchmark::kMillisecond);
  benchmark::RunSpecifiedBenchmarks();
}
