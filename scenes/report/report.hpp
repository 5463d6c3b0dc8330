#pragma once
// What a run leaves for people: one page that needs nothing beside it, and the pictures in it as files of their own.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenes/data/data_files.hpp"
#include "scenes/data/palette.hpp"
#include "scenes/output/spread.hpp"
#include "scenes/play/player.hpp"
#include "scenes/text/text.hpp"

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
