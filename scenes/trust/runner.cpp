// Each scene is a job for one thread: small scenes gain nothing from two threads on one of them, and results do not
// depend on the number of threads anyway. Scenes that are played to their end take longest and come first.

#include "scenes/trust/runner.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <deque>
#include <exception>
#include <mutex>

#include "scenes/file/scene_file.hpp"
#include "scenes/side_by_side.hpp"
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
/// And of a variation of the case.
struct VariedPlace {
  Place place;
  std::size_t in_variations;
  std::size_t in_ends;
};

/// What one scene is asked, and what it answered.
struct Part {
  Check check;
  Measured found;
};

struct Job {
  Variation::End of;  // a scene, as it is or scaled by an unknown
  Playing playing;
  std::vector<Part*> parts;
};

class Jobs {
 public:
  void add(const std::shared_ptr<const Scene>& scene, const Check& check, double every_s, Place place) {
    if (check.order) {
      Asked asked{place, {}};
      for (std::size_t n = 0; n < check.order->scenes.size(); ++n)
        asked.parts.push_back(&ask({check.order->scenes[n], {}, 1.0}, check, every_s,
                                   check.order->steps ? check.order->sizes[n] : check.order->step_s));
      asked_.push_back(std::move(asked));
      return;
    }
    if (!check.relative_scene || check.relative_scene == scene) {
      asked_.push_back({place, {&ask({scene, {}, 1.0}, check, every_s)}});
      return;
    }
    Check own = check;  // compared with another scene: both are plain limits
    own.relative_to.reset();
    own.less = 0.0;
    own.times = 1.0;
    Check base = own;
    base.under = *check.relative_to;
    const Part& of_own = ask({scene, {}, 1.0}, own, every_s);
    asked_.push_back({place, {&of_own, &ask({check.relative_scene, {}, 1.0}, base, every_s)}});
  }

  void run(const DataFiles& data, const TrustOptions& options) {
    std::stable_partition(jobs_.begin(), jobs_.end(), [](const Job& job) { return job.playing.to_the_end; });
    std::size_t done = 0;
    std::mutex telling;
    side_by_side(jobs_.size(), options.threads, [&](std::size_t n) {
      do_job(jobs_[n], data);
      const std::lock_guard lock(telling);
      ++done;
      if (options.progress) options.progress(done, jobs_.size());
    });
  }

  void add_varied(const Variation::End& end, const Check& check, double every_s, const VariedPlace& place) {
    asked_varied_.push_back({place, &ask(end, check, every_s)});
  }

  /// After run(): answers become results.
  void hand_out(std::vector<CaseResult>& results) const {
    for (const Asked& asked : asked_) {
      CheckResult& result = results[asked.place.in_case].checks[asked.place.in_checks];
      const Check& check = result.check;
      const Measured found = answer(asked, check);
      result.ours = found.value;
      result.verdict = verdict_of(found, check);
      // A pin that holds nothing would hide the next change for the worse.
      const bool idle_pin = result.verdict == Verdict::within && check.deviates;
      if (idle_pin) result.verdict = Verdict::outside;
      result.failure = idle_pin ? "lies within its tolerance now: take its 'deviates' away" : found.failure;
    }
    for (const auto& [at, part] : asked_varied_)
      results[at.place.in_case].variations[at.in_variations].ends[at.in_ends].values[at.place.in_checks] = part->found;
  }

 private:
  struct Asked {
    Place place;
    std::vector<const Part*> parts;  // what is read; and what that is divided by; or three refinements of it
  };

  static Measured answer(const Asked& asked, const Check& check) {
    Measured found = asked.parts.front()->found;
    for (const Part* part : asked.parts)
      if (found.failure.empty()) found.failure = part->found.failure;
    if (asked.parts.size() == 1 || !found.failure.empty()) return found;
    if (check.order) {
      const std::array<double, 3> readings{asked.parts[0]->found.value, asked.parts[1]->found.value,
                                           asked.parts[2]->found.value};
      found.value = observed_order(readings, check.order->sizes);
      if (!std::isfinite(found.value))
        found.failure = fmt::format("{:.6g}, {:.6g} and {:.6g} show no order", readings[0], readings[1], readings[2]);
      return found;
    }
    found.value = (found.value / asked.parts[1]->found.value - check.less) * check.times;
    if (!std::isfinite(found.value)) found.failure = "the limit it is compared with is 0 A";
    return found;
  }

  static Verdict verdict_of(const Measured& found, const Check& check) {
    if (!found.failure.empty()) return Verdict::outside;
    if (found.value >= check.least && found.value <= check.most) return Verdict::within;
    const bool known = check.deviates && found.value >= check.deviates->least && found.value <= check.deviates->most;
    return known ? Verdict::explained : Verdict::outside;
  }

  Part& ask(const Variation::End& of, const Check& check, double every_s, double step_s = 0.0) {
    const auto scaled_by = [](const Variation::End& end) { return end.unknown ? end.unknown->name : std::string(); };
    auto job = std::find_if(jobs_.begin(), jobs_.end(), [&](const Job& other) {
      return other.of.scene == of.scene && other.of.value == of.value && scaled_by(other.of) == scaled_by(of) &&
             other.playing.step_s == step_s;
    });
    if (job == jobs_.end()) job = jobs_.insert(jobs_.end(), Job{of, {every_s, 0.0, false, step_s}, {}});
    job->playing.every_s = std::min(job->playing.every_s, every_s);
    job->playing.until_s = std::max(job->playing.until_s, check.at_s.value_or(0.0));
    job->playing.to_the_end =
        job->playing.to_the_end || check.what == Quantity::reach_s || check.what == Quantity::imbalance_percent;
    parts_.push_back({check, {}});
    job->parts.push_back(&parts_.back());
    return parts_.back();
  }

  /// Writes only to its own parts, so that jobs share nothing.
  static void do_job(const Job& job, const DataFiles& data) {
    try {
      MeasuredScene measured(job.of.scene, data, job.playing, job.of.unknown ? &*job.of.unknown : nullptr,
                             job.of.value);
      for (Part* part : job.parts) part->found = measured.measure(part->check);
    } catch (const std::exception& error) {
      for (Part* part : job.parts) part->found.failure = error.what();
    }
  }

  std::vector<Job> jobs_;
  std::deque<Part> parts_;  // a deque: its parts stay where they are
  std::vector<Asked> asked_;
  std::vector<std::pair<VariedPlace, const Part*>> asked_varied_;
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
    result.checks.push_back({std::move(check), 0.0, failure, Verdict::outside});
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

/// The same checks in every variation of the case's scene; those that read another variant of it are left out.
void plan_variations(const Case& of, std::size_t in_case, CaseResult& result, Jobs& jobs) {
  for (std::size_t v = 0; v < of.variations.size(); ++v) {
    result.variations.emplace_back();
    const std::vector<Variation::End>& ends = of.variations[v].ends;
    for (std::size_t e = 0; e < ends.size(); ++e) {
      result.variations[v].ends.push_back({std::vector<Measured>(of.checks.size(), Measured{0.0, "not asked"})});
      for (std::size_t c = 0; c < of.checks.size(); ++c)
        if (of.checks[c].scene == of.checks.front().scene && of.checks[c].relative_scene == nullptr &&
            !of.checks[c].order)
          jobs.add_varied(ends[e], of.checks[c], of.every_s, {{in_case, c}, v, e});
    }
  }
}

void count(TrustResult& result) {
  for (const CaseResult& one : result.cases) {
    if (!one.read) ++result.faulty;
    for (const CheckResult& check : one.checks) {
      ++(check.verdict == Verdict::within      ? result.within
         : check.verdict == Verdict::explained ? result.explained
                                               : result.outside);
    }
  }
}

}  // namespace

double observed_order(const std::array<double, 3>& readings, const std::array<double, 3>& sizes) {
  constexpr double least = 0.05, most = 12.0;
  const double wanted = (readings[0] - readings[1]) / (readings[1] - readings[2]);
  const auto ratio = [&](double p) {  // grows with p
    return (std::pow(sizes[0], p) - std::pow(sizes[1], p)) / (std::pow(sizes[1], p) - std::pow(sizes[2], p));
  };
  if (!(wanted > ratio(least) && wanted < ratio(most))) return std::nan("");
  double low = least, high = most;
  for (int n = 0; n < 60; ++n) {
    const double middle = 0.5 * (low + high);
    (ratio(middle) < wanted ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

TrustResult run_trust(std::vector<ReadCase> cases, const DataFiles& data, const TrustOptions& options) {
  const Clock::time_point start = Clock::now();
  TrustResult result;
  const bool every =
      std::any_of(cases.begin(), cases.end(), [](const ReadCase& one) { return one.read && one.read->every_scene; });
  const std::vector<ShippedScene> shipped = every ? shipped_scenes(options.library, data) : std::vector<ShippedScene>{};
  Jobs jobs;
  for (ReadCase& read : cases) {
    result.cases.push_back({std::move(read.file), std::move(read.read), std::move(read.faults), {}, {}});
    CaseResult& one = result.cases.back();
    if (one.read) plan(*one.read, result.cases.size() - 1, shipped, one, jobs);
    if (one.read) plan_variations(*one.read, result.cases.size() - 1, one, jobs);
    if (one.read && one.checks.empty()) {
      one.faults.push_back({one.file, 0, 0, "has nothing to check: no scene that ships has steps"});
      one.read.reset();
    }
  }
  jobs.run(data, options);
  jobs.hand_out(result.cases);
  count(result);
  result.seconds = std::chrono::duration<double>(Clock::now() - start).count();
  return result;
}

}  // namespace warmbay::scenes
