// `warmbay trust`: every published case, what its source says, and what this program makes of it.

#include <fmt/ostream.h>

#include "scenes/cli/asked.hpp"
#include "scenes/cli/load.hpp"
#include "scenes/output/write_file.hpp"
#include "scenes/places.hpp"
#include "scenes/trust/outputs.hpp"
#include "scenes/trust/runner.hpp"
#include "scenes/trust/terminal_table.hpp"

namespace warmbay::scenes {

namespace {

/// False when a file cannot be written; the fault has then been said.
bool write_results(const std::filesystem::path& folder, const TrustResult& result, const Text& text,
                   std::ostream& err) {
  std::optional<Fault> fault = write_file(folder / "trust.html", trust_html(result, text));
  if (!fault) fault = write_file(folder / "trust.csv", trust_csv(result));
  if (!fault) fault = write_file(folder / "trust.json", trust_json(result));
  if (!fault) fault = write_file(folder / "trust.md", trust_markdown(result, text));
  if (fault) fmt::print(err, "{}\n", to_line(*fault));
  return !fault;
}

}  // namespace

int trust(const TrustAsked& asked, const Streams& streams) {
  const LoadResult program = load_data(streams.err);
  if (program.status != exit_done) return program.status;
  if (asked.out) {
    if (const std::optional<Fault> fault = make_folder(*asked.out)) {
      fmt::print(streams.err, "{}\n", to_line(*fault));
      return exit_machine;
    }
  }
  const Places places = find_places();
  TrustOptions options;
  options.library = places.scenes;
  options.threads = asked.threads;
  if (streams.progress)
    options.progress = [&](std::size_t done, std::size_t all) {
      fmt::print(streams.err, "\r{} of {} scenes   ", done, all);
      streams.err.flush();
    };
  const DataFiles& data = *program.loaded.data;
  const TrustResult result = run_trust(read_cases(places.standards, data), data, options);
  if (streams.progress) fmt::print(streams.err, "\r{:30}\r", "");

  for (const CaseResult& one : result.cases) print_faults(streams.err, one.faults);
  if (asked.json)
    streams.out << trust_json(result);
  else
    print_trust_table(streams.out, result, *program.loaded.text);
  if (asked.out && !write_results(*asked.out, result, *program.loaded.text, streams.err)) return exit_machine;
  return result.good() ? exit_done : exit_scene_errors;
}

}  // namespace warmbay::scenes
