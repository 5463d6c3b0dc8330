// Line charts. Colours: Okabe & Ito (2008), told apart by colour-deficient eyes; the dashes tell the lines apart in
// grey.

#include "scenes/report/chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "scenes/report/canvas.hpp"

namespace warmbay::scenes {

namespace {

struct LineStyle {
  Rgb colour;
  std::vector<double> dashes;  // points; empty: solid
  double width;
};

const std::array<LineStyle, 7>& line_styles() {
  static const std::array<LineStyle, 7> styles{{
      {{0.00, 0.00, 0.00}, {}, 1.8},
      {{0.84, 0.37, 0.00}, {7.0, 3.0}, 1.8},
      {{0.00, 0.45, 0.70}, {2.0, 2.5}, 1.8},
      {{0.00, 0.62, 0.45}, {10.0, 3.0, 2.0, 3.0}, 1.6},
      {{0.80, 0.47, 0.65}, {4.0, 2.0}, 1.6},
      {{0.34, 0.71, 0.91}, {12.0, 4.0}, 1.6},
      {{0.45, 0.45, 0.45}, {6.0, 2.0, 1.5, 2.0, 1.5, 2.0}, 1.4},
  }};
  return styles;
}

constexpr double mark_row = 17.0;  // points from the frame up to the letters of its marks, above the steps' numbers

/// Where the data lies on the paper.
struct Frame {
  double left, right, top, bottom;  // points
  double x0, x1, y0, y1;            // data

  [[nodiscard]] double at_x(double x) const { return left + (x - x0) / (x1 - x0) * (right - left); }
  [[nodiscard]] double at_y(double y) const { return bottom - (y - y0) / (y1 - y0) * (bottom - top); }
};

Frame frame_of(const Chart& chart, double label_width) {
  Frame f{44.0, chart.width - label_width - 14.0, 34.0, chart.height - 34.0, 0.0, 0.0, 1e300, -1e300};
  for (const ChartLine& line : chart.lines) {
    for (const double x : line.x) f.x1 = std::max(f.x1, x);
    for (const double y : line.y) f.y0 = std::min(f.y0, y), f.y1 = std::max(f.y1, y);
  }
  if (!chart.marks.empty()) f.top += mark_row - 5.0;
  if (f.y0 > f.y1) f.y0 = 0.0, f.y1 = 1.0;
  const double highest = f.y1;
  for (const ChartLevel& level : chart.levels) {
    // A rating far above what happened would flatten the lines: it is then only named at the top.
    if (level.y <= highest + 1.5 * (highest - f.y0) + 10.0) f.y1 = std::max(f.y1, level.y);
  }
  if (chart.from_zero) f.y0 = std::min(f.y0, 0.0);
  const double room = std::max(0.06 * (f.y1 - f.y0), 0.02);
  f.y1 += room;
  if (!chart.from_zero) f.y0 -= room;
  if (f.x1 <= f.x0) f.x1 = f.x0 + 1.0;
  return f;
}

void draw_axes(cairo_t* cr, const Chart& chart, const Frame& f) {
  put_text(cr, f.left, 14.0, 11.0, Align::left, chart.title, true);
  cairo_set_line_width(cr, 0.5);
  for (const double y : axis_ticks(f.y0, f.y1, static_cast<int>((f.bottom - f.top) / 36.0) + 1)) {
    set_colour(cr, faint);
    cairo_move_to(cr, f.left, f.at_y(y));
    cairo_line_to(cr, f.right, f.at_y(y));
    cairo_stroke(cr);
    set_colour(cr, ink);
    put_text(cr, f.left - 5.0, f.at_y(y) + 3.0, 9.0, Align::right, fmt::format("{:g}", y));
  }
  for (const double x : axis_ticks(f.x0, f.x1, static_cast<int>((f.right - f.left) / 60.0) + 1)) {
    set_colour(cr, ink);
    cairo_move_to(cr, f.at_x(x), f.bottom);
    cairo_line_to(cr, f.at_x(x), f.bottom + 3.0);
    cairo_stroke(cr);
    put_text(cr, f.at_x(x), f.bottom + 13.0, 9.0, Align::middle, fmt::format("{:g}", x));
  }
  put_text(cr, f.right, f.bottom + 26.0, 9.0, Align::right, chart.x_label);
  cairo_set_line_width(cr, 0.8);
  cairo_rectangle(cr, f.left, f.top, f.right - f.left, f.bottom - f.top);
  cairo_stroke(cr);
}

void draw_moments(cairo_t* cr, const Chart& chart, const Frame& f) {
  double free_from = f.left;
  for (const ChartMoment& moment : chart.moments) {
    const double x = f.at_x(moment.x);
    set_colour(cr, soft);
    cairo_set_line_width(cr, 0.6);
    cairo_move_to(cr, x, f.top);
    cairo_line_to(cr, x, f.bottom);
    cairo_stroke(cr);
    if (x < free_from) continue;  // its name would run into the last one's
    put_text(cr, x + 2.0, f.top - 4.0, 8.5, Align::left, moment.label);
    free_from = x + text_width(cr, 8.5, moment.label) + 8.0;
  }
}

/// Letters in a row of their own, pushed apart until none covers another, each tied to its line by a short stroke.
void draw_marks(cairo_t* cr, const Chart& chart, const Frame& f) {
  constexpr double size = 8.5, gap = 4.0;
  std::vector<double> at(chart.marks.size());
  double next = f.left;
  for (std::size_t n = 0; n < at.size(); ++n) {
    at[n] = std::max(next, f.at_x(chart.marks[n].x));
    next = at[n] + text_width(cr, size, chart.marks[n].letter, true) + gap;
  }
  double last = f.right;
  for (std::size_t n = at.size(); n-- > 0;) {
    at[n] = std::min(at[n], last);
    last = at[n] - text_width(cr, size, chart.marks[n > 0 ? n - 1 : 0].letter, true) - gap;
  }
  for (std::size_t n = 0; n < at.size(); ++n) {
    const double x = f.at_x(chart.marks[n].x);
    const std::array<double, 2> dashes{3.0, 2.5};
    set_colour(cr, ink);
    cairo_set_line_width(cr, 0.6);
    cairo_set_dash(cr, dashes.data(), 2, 0.0);
    cairo_move_to(cr, x, f.bottom);
    cairo_line_to(cr, x, f.top);
    cairo_stroke(cr);
    cairo_set_dash(cr, nullptr, 0, 0.0);
    cairo_move_to(cr, x, f.top);
    cairo_line_to(cr, at[n], f.top - mark_row + 3.0);
    cairo_stroke(cr);
    put_text(cr, at[n], f.top - mark_row, size, Align::middle, chart.marks[n].letter, true);
  }
}

void draw_levels(cairo_t* cr, const Chart& chart, const Frame& f) {
  for (const ChartLevel& level : chart.levels) {
    set_colour(cr, ink);
    if (level.y > f.y1) {
      put_text(cr, f.left + 4.0, f.top + 10.0, 9.0, Align::left, level.label + " \u2191");
      continue;
    }
    const std::array<double, 2> dots{1.5, 3.5};
    cairo_set_dash(cr, dots.data(), 2, 0.0);
    cairo_set_line_width(cr, 1.2);
    cairo_move_to(cr, f.left, f.at_y(level.y));
    cairo_line_to(cr, f.right, f.at_y(level.y));
    cairo_stroke(cr);
    cairo_set_dash(cr, nullptr, 0, 0.0);
    put_text(cr, f.left + 4.0, f.at_y(level.y) - 3.0, 9.0, Align::left, level.label, true);
  }
}

void draw_lines(cairo_t* cr, const Chart& chart, const Frame& f) {
  constexpr std::size_t most_points = 700;  // more than the paper can show
  for (std::size_t i = 0; i < chart.lines.size(); ++i) {
    const ChartLine& line = chart.lines[i];
    const LineStyle& style = line_styles()[i % line_styles().size()];
    set_colour(cr, style.colour);
    cairo_set_line_width(cr, style.width);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_dash(cr, style.dashes.data(), static_cast<int>(style.dashes.size()), 0.0);
    const std::size_t count = line.x.size();
    const std::size_t stride = count / most_points + 1;
    for (std::size_t k = 0; k < count; k += stride) cairo_line_to(cr, f.at_x(line.x[k]), f.at_y(line.y[k]));
    if (count > 0) cairo_line_to(cr, f.at_x(line.x.back()), f.at_y(line.y.back()));
    cairo_stroke(cr);
    cairo_set_dash(cr, nullptr, 0, 0.0);
  }
}

/// Names at the ends of the lines, pushed apart until none covers another, each tied to its line by a short stroke.
void draw_labels(cairo_t* cr, const Chart& chart, const Frame& f) {
  constexpr double spacing = 11.5;
  std::vector<std::size_t> order(chart.lines.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::erase_if(order, [&](std::size_t i) { return chart.lines[i].y.empty() || chart.lines[i].label.empty(); });
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return chart.lines[a].y.back() > chart.lines[b].y.back(); });
  std::vector<double> at(order.size());
  double next = f.top + 3.0;
  for (std::size_t n = 0; n < order.size(); ++n) {
    at[n] = std::max(next, f.at_y(chart.lines[order[n]].y.back()));
    next = at[n] + spacing;
  }
  double last = f.bottom + 3.0;
  for (std::size_t n = order.size(); n-- > 0;) {
    at[n] = std::min(at[n], last);
    last = at[n] - spacing;
  }
  for (std::size_t n = 0; n < order.size(); ++n) {
    const ChartLine& line = chart.lines[order[n]];
    const LineStyle& style = line_styles()[order[n] % line_styles().size()];
    set_colour(cr, style.colour);
    cairo_set_line_width(cr, style.width);
    cairo_set_dash(cr, style.dashes.data(), static_cast<int>(style.dashes.size()), 0.0);
    cairo_move_to(cr, f.at_x(line.x.back()), f.at_y(line.y.back()));
    cairo_line_to(cr, f.right + 6.0, at[n]);
    cairo_line_to(cr, f.right + 26.0, at[n]);
    cairo_stroke(cr);
    cairo_set_dash(cr, nullptr, 0, 0.0);
    set_colour(cr, ink);
    put_text(cr, f.right + 30.0, at[n] + 3.0, 9.0, Align::left, line.label);
  }
}

double widest_label(cairo_t* cr, const Chart& chart) {
  double widest = 0.0;
  for (const ChartLine& line : chart.lines)
    if (!line.label.empty()) widest = std::max(widest, text_width(cr, 9.0, line.label) + 30.0);
  return std::min(widest, 0.45 * chart.width);
}

}  // namespace

std::vector<double> axis_ticks(double from, double to, int count) {
  const double rough = (to - from) / std::max(count, 1);
  const double decade = std::pow(10.0, std::floor(std::log10(rough)));
  double step = 10.0 * decade;
  for (const double factor : {5.0, 2.0, 1.0})
    if (factor * decade >= rough * 0.999) step = factor * decade;
  std::vector<double> ticks;
  const auto first = static_cast<long long>(std::ceil(from / step - 1e-9));
  const auto last = static_cast<long long>(std::floor(to / step + 1e-9));
  for (long long k = first; k <= last; ++k) ticks.push_back(static_cast<double>(k) * step);
  return ticks;
}

std::string chart_svg(const Chart& chart) {
  return svg_of(chart.width, chart.height, [&](cairo_t* cr) {
    const Frame frame = frame_of(chart, widest_label(cr, chart));
    set_colour(cr, ink);
    draw_axes(cr, chart, frame);
    draw_moments(cr, chart, frame);
    draw_marks(cr, chart, frame);
    draw_levels(cr, chart, frame);
    draw_lines(cr, chart, frame);
    draw_labels(cr, chart, frame);
  });
}

}  // namespace warmbay::scenes
