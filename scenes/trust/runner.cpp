// Each scene is a job for one thread: small scenes gain nothing from two threads on one of them, and results do not
// depend on the number of threads anyway. Scenes that are played to their end take longest and come first.

#include "scenes/trust/runner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <exception>
#include <mutex>
#include <thread>

#include "scenes/scene_file.hpp"
#include "scenes/trust/measured_scene.hpp"

namespace warmbay::scenes {

namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

/// Where a result goes: case and check by number, because the results themselves move while they are gathered.
struct Place {
  std::size_t in_case;
  std::size_t in_checks;
};

struct Job {
  std::shared_ptr<const Scene> scene;
  Playing playing;
  std::vector<Place> places;
};

class Jobs {
 public:
  explicit Jobs(std::vector<CaseResult>& results) : results_(results) {}

  void add(const std::shared_ptr<const Scene>& scene, const Check& check, double every_s, Place place) {
    auto job = std::find_if(jobs_.begin(), jobs_.end(), [&](const Job& other) { return other.scene == scene; });
    if (job == jobs_.end()) job = jobs_.insert(jobs_.end(), Job{scene, {every_s, 0.0, false}, {}});
    job->playing.every_s = std::min(job->playing.every_s, every_s);
    job->playing.until_s = std::max(job->playing.until_s, check.at_s.value_or(0.0));
    job->playing.to_the_end =
        job->playing.to_the_end || check.what == Quantity::reach_s || check.what == Quantity::imbalance_percent;
    job->places.push_back(place);
  }

  void run(const DataFiles& data, const TrustOptions& options) {
    std::stable_partition(jobs_.begin(), jobs_.end(), [](const Job& job) { return job.playing.to_the_end; });
    std::atomic<std::size_t> next = 0;
    std::size_t done = 0;
    std::mutex telling;
    const auto work = [&] {
      for (std::size_t n = next++; n < jobs_.size(); n = next++) {
        do_job(jobs_[n], data);
        const std::lock_guard lock(telling);
        ++done;
        if (options.progress) options.progress(done, jobs_.size());
      }
    };
    const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
    const auto threads = options.threads > 0 ? static_cast<unsigned>(options.threads) : cores;
    std::vector<std::jthread> crew;
    for (unsigned n = 1; n < std::min<std::size_t>(threads, jobs_.size()); ++n) crew.emplace_back(work);
    work();
  }

 private:
  /// Writes only the results of its own places, so that jobs share nothing.
  void do_job(const Job& job, const DataFiles& data) {
    std::string failure;
    try {
      MeasuredScene measured(job.scene, data, job.playing);
      for (const Place& place : job.places) {
        CheckResult& result = results_[place.in_case].checks[place.in_checks];
        const Measured found = measured.measure(result.check);
        result.ours = found.value;
        result.failure = found.failure;
        result.within = found.failure.empty() && found.value >= result.check.least && found.value <= result.check.most;
      }
      return;
    } catch (const std::exception& error) {
      failure = error.what();
    }
    for (const Place& place : job.places) {
      CheckResult& result = results_[place.in_case].checks[place.in_checks];
      result.within = false;
      result.failure = failure;
    }
  }

  std::vector<CaseResult>& results_;
  std::vector<Job> jobs_;
};

struct ShippedScene {
  std::string name;
  std::shared_ptr<const Scene> scene;
  std::string failure;
};

std::vector<ShippedScene> shipped_scenes(const fs::path& library, const DataFiles& data) {
  std::vector<ShippedScene> scenes;
  std::error_code trouble;
  for (const auto& entry : fs::directory_iterator(library, trouble)) {
    if (entry.path().extension() != ".toml") continue;
    ReadScene read = read_scene(entry.path(), data);
    ShippedScene shipped{entry.path().stem().string(), nullptr, ""};
    if (read.scene)
      shipped.scene = std::make_shared<const Scene>(std::move(*read.scene));
    else
      shipped.failure = to_line(read.faults.front());
    scenes.push_back(std::move(shipped));
  }
  std::sort(scenes.begin(), scenes.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
  return scenes;
}

/// Lays a case's checks out, and hands them to the jobs.
void plan(const Case& of, std::size_t in_case, const std::vector<ShippedScene>& shipped, CaseResult& result,
          Jobs& jobs) {
  const auto add = [&](Check check, const std::shared_ptr<const Scene>& scene, const std::string& failure) {
    result.checks.push_back({std::move(check), 0.0, failure, false});
    if (scene) jobs.add(scene, result.checks.back().check, of.every_s, {in_case, result.checks.size() - 1});
  };
  for (const Check& check : of.checks) {
    if (!of.every_scene) {
      add(check, check.scene, "");
      continue;
    }
    for (const ShippedScene& one : shipped) {
      if (one.scene && one.scene->steps.empty()) continue;  // nothing to play
      Check named = check;
      named.name = one.name + ": " + check.name;
      add(std::move(named), one.scene, one.failure);
    }
  }
}

void count(TrustResult& result) {
  for (const CaseResult& one : result.cases) {
    if (!one.read) ++result.faulty;
    for (const CheckResult& check : one.checks) ++(check.within ? result.within : result.outside);
  }
}

}  // namespace

TrustResult run_trust(std::vector<ReadCase> cases, const DataFiles& data, const TrustOptions& options) {
  const Clock::time_point start = Clock::now();
  TrustResult result;
  const bool every =
      std::any_of(cases.begin(), cases.end(), [](const ReadCase& one) { return one.read && one.read->every_scene; });
  const std::vector<ShippedScene> shipped = every ? shipped_scenes(options.library, data) : std::vector<ShippedScene>{};
  Jobs jobs(result.cases);
  for (ReadCase& read : cases) {
    result.cases.push_back({std::move(read.file), std::move(read.read), std::move(read.faults), {}});
    CaseResult& one = result.cases.back();
    if (one.read) plan(*one.read, result.cases.size() - 1, shipped, one, jobs);
    if (one.read && one.checks.empty()) {
      one.faults.push_back({one.file, 0, 0, "has nothing to check: no scene that ships has steps"});
      one.read.reset();
    }
  }
  jobs.run(data, options);
  count(result);
  result.seconds = std::chrono::duration<double>(Clock::now() - start).count();
  return result;
}

}  // namespace warmbay::scenes
