// `warmbay run FILE --out DIR`: plays the steps as fast as the machine can and writes what came of it.

#include <fmt/ostream.h>

#include <chrono>
#include <cmath>
#include <numeric>

#include "scenes/cli/asked.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/output/csv.hpp"
#include "scenes/output/json.hpp"
#include "scenes/output/write_file.hpp"
#include "scenes/places.hpp"
#include "scenes/play/player.hpp"
#include "scenes/read/printable.hpp"
#include "scenes/report/report.hpp"
#include "scenes/text/cautions.hpp"
#include "scenes/text/settled_words.hpp"
#include "scenes/uncertainty/uncertainty.hpp"

namespace warmbay::scenes {

namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

/// Simulated time at which the run is over at the latest, s; 0 when nothing says so.
double longest_s(const RunAsked& asked, const Scene& scene) {
  if (asked.until_min) return *asked.until_min * 60.0;
  return std::accumulate(scene.steps.begin(), scene.steps.end(), 0.0,
                         [](double sum, const Step& step) { return sum + step.hold_s; });
}

/// A line on the terminal that is rewritten as the run goes on, and wiped at the end.
class Progress {
 public:
  Progress(const Streams& streams, double longest_s) : streams_(streams), longest_s_(longest_s) {}
  ~Progress() {
    if (!streams_.progress) return;
    try {
      fmt::print(streams_.err, "\r{:60}\r", "");
    } catch (...) {
      // A terminal that is gone, or no memory: a line that is not wiped harms nobody, a throwing destructor ends all.
    }
  }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void show(double simulated_s) const {
    if (!streams_.progress) return;
    const double factor = simulated_s / std::max(seconds_since(start_), 1e-3);
    fmt::print(streams_.err, "\r{:3.0f} %  {:.1f} of {:.1f} min simulated, x{:.0f}   ",
               100.0 * simulated_s / longest_s_, simulated_s / 60.0, longest_s_ / 60.0, factor);
    streams_.err.flush();
  }

 private:
  const Streams& streams_;
  double longest_s_;
  Clock::time_point start_ = Clock::now();
};

void play_to_the_end(Player& player, const Progress& progress, double longest_s) {
  Clock::time_point shown = Clock::now();
  while (!player.waiting()) {
    player.advance(longest_s / 500.0);
    if (seconds_since(shown) < 0.1) continue;
    progress.show(player.time_s());
    shown = Clock::now();
  }
}

/// Writes one file after the other; says the first fault and stops there.
class Writer {
 public:
  Writer(std::filesystem::path folder, std::ostream& err) : folder_(std::move(folder)), err_(err) {}

  void put(const std::string& name, const std::string& bytes) {
    if (failed_) return;
    if (const std::optional<Fault> fault = write_file(folder_ / name, bytes)) {
      fmt::print(err_, "{}\n", to_line(*fault));
      failed_ = true;
    }
  }
  [[nodiscard]] bool failed() const { return failed_; }

 private:
  std::filesystem::path folder_;
  std::ostream& err_;
  bool failed_ = false;
};

/// Writes all results; false when one could not be written.
bool write_results(const RunAsked& asked, const Loaded& loaded, const Player& player, const Palette& palette,
                   double wall_clock_s, const std::optional<Uncertainty>& uncertainty, std::ostream& err) {
  const std::shared_ptr<const sim::Snapshot> end = player.bench().snapshot();
  const sim::Bench::Energy energy = player.bench().energy();
  const StateOutput state{loaded.scene->title, *loaded.wall, end->conditions,
                          end->reading,        wall_clock_s, heat_balance(end->reading)};
  const RunOutput run{player.time_s(), wall_clock_s, energy, player.events()};
  const Report report = make_report({*loaded.scene, *loaded.data, *loaded.text, palette, player.readings(),
                                     player.events(), player.step_ends(), end, energy, uncertainty});
  Writer writer(asked.out, err);
  writer.put("readings.csv", readings_csv(*loaded.wall, player.readings()));
  writer.put("events.csv", events_csv(player.events()));
  writer.put("result.json", run_json(state, run));
  for (const ReportPicture& picture : report.pictures) writer.put(picture.file, picture.png);
  writer.put("report.html", report.html);
  return !writer.failed();
}

/// What comes before the first computed step can still be wrong in the command line or on the disk.
int ready_to_run(const RunAsked& asked, const Scene& scene, std::ostream& err) {
  if (longest_s(asked, scene) <= 0.0) {
    fmt::print(err, "warmbay: {} has no steps, so --until-min must say how long to run\n",
               printable(asked.file.string()));
    return exit_command_line;
  }
  if (const std::optional<Fault> fault = make_folder(asked.out)) {
    fmt::print(err, "{}\n", to_line(*fault));
    return exit_machine;
  }
  return exit_done;
}

}  // namespace

int run(const RunAsked& asked, const Streams& streams) {
  const LoadResult result = load(asked.file, streams.err);
  if (result.status != exit_done) return result.status;
  const Loaded& loaded = result.loaded;
  std::vector<Fault> faults;
  const Palette palette = read_palette(find_places().assets / "palettes" / "inferno.toml", faults);
  print_faults(streams.err, faults);
  if (!faults.empty()) return exit_machine;
  if (const int status = ready_to_run(asked, *loaded.scene, streams.err); status != exit_done) return status;

  const Clock::time_point start = Clock::now();
  PlayerOptions options;
  options.threads = asked.threads;
  options.engine = asked.engine;
  options.every_s = asked.every_s;
  options.text = loaded.text;
  if (asked.until_min) options.end_s = *asked.until_min * 60.0;
  Player player(loaded.scene, loaded.wall, options);
  const double longest = longest_s(asked, *loaded.scene);
  play_to_the_end(player, Progress(streams, longest), longest);
  const double wall_clock_s = seconds_since(start);
  if (!all_finite(player.bench().reading())) {
    fmt::print(streams.err, "{}: {}\n", printable(asked.file.string()), why_not_settled(sim::SettledOutcome::settled));
    return exit_scene_errors;
  }
  const auto uncertainty = played_uncertainty(*loaded.scene, *loaded.data, options, player.step_ends());
  if (!write_results(asked, loaded, player, palette, wall_clock_s, uncertainty, streams.err)) return exit_machine;
  if (player.broken()) {
    fmt::print(streams.err, "{}: after {:.1f} min a temperature is not a number any more: the results end there\n",
               printable(asked.file.string()), player.time_s() / 60.0);
    return exit_machine;
  }
  if (player.ended()) fmt::print(streams.out, "{}\n", player.events().back().text);
  fmt::print(streams.out, "{}: {:.1f} min simulated in {:.1f} s; the report is {}\n", loaded.scene->title,
             player.time_s() / 60.0, wall_clock_s, printable((asked.out / "report.html").string()));
  if (uncertainty) fmt::print(streams.out, "{}\n", hottest_step_words(*uncertainty, player.step_ends(), *loaded.text));
  fmt::print(streams.out, "{}\n", sizing_notice(*loaded.text));
  return exit_done;
}

}  // namespace warmbay::scenes
