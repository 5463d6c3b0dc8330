#pragma once
// A line chart that can be read in grey: lines differ in their dashes and are named at their ends, not in a key.

#include <string>
#include <vector>

namespace warmbay::scenes {

struct ChartLine {
  std::string label;
  std::vector<double> x, y;
};

/// A level that means something: drawn across the chart, named at the left.
struct ChartLevel {
  double y = 0.0;
  std::string label;
};

/// A moment, drawn as an upright line with a short name at the top.
struct ChartMoment {
  double x = 0.0;
  std::string label;
};

/// Something that happened, drawn as a dashed upright line with a letter above it; what it was stands in the caption.
struct ChartMark {
  double x = 0.0;
  std::string letter;
};

struct Chart {
  std::string title;  // with the unit of y
  std::string x_label;
  std::vector<ChartLine> lines;
  std::vector<ChartLevel> levels;
  std::vector<ChartMoment> moments;
  std::vector<ChartMark> marks;  // by x
  bool from_zero = false;        // the y axis begins at 0
  double width = 720.0;          // points
  double height = 300.0;
};

/// The chart as SVG for an HTML page.
[[nodiscard]] std::string chart_svg(const Chart& chart);

/// Round numbers that cover [from, to], about `count` of them.
[[nodiscard]] std::vector<double> axis_ticks(double from, double to, int count);

}  // namespace warmbay::scenes
