#pragma once
// What a run leaves for people: one page that needs nothing beside it, and the pictures in it as files of their own.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenes/data_files.hpp"
#include "scenes/player.hpp"
#include "scenes/report/palette.hpp"
#include "scenes/text.hpp"
#include "scenes/uncertainty/uncertainty.hpp"

namespace warmbay::scenes {

/// Everything that a report tells; all of it outlives the call.
struct ReportInput {
  const Scene& scene;
  const DataFiles& data;
  const Text& text;
  const Palette& palette;
  const std::vector<sim::Reading>& rows;
  const std::vector<Event>& events;
  const std::vector<StepEnd>& step_ends;
  std::shared_ptr<const sim::Snapshot> end;  // the wall at the end of the run
  sim::Bench::Energy energy;
  std::optional<Uncertainty> uncertainty = {};  // a spread per step end
};

struct ReportPicture {
  std::string file;  // its name beside the page
  std::string png;
  std::string caption;
};

struct Report {
  std::string html;
  std::vector<ReportPicture> pictures;
};

/// One HTML page without scripts, links or anything fetched: charts as SVG in it, pictures as PNG in it. Prints in
/// grey.
[[nodiscard]] Report make_report(const ReportInput& input);

}  // namespace warmbay::scenes
