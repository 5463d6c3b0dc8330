// Every voxel is drawn as the rectangle it is: nothing is smoothed, so the picture shows what was computed.

#include "scenes/report/section.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "scenes/report/canvas.hpp"
#include "scenes/report/chart.hpp"

namespace warmbay::scenes {

namespace {

using sim::Axis;

/// Indices of the voxels of a plane: (a, u) counts across and up.
struct Plane {
  const sim::Grid& grid;
  const Section& section;
  int layer;

  Plane(const sim::Grid& the_grid, const Section& the_section)
      : grid(the_grid), section(the_section), layer(grid.find(section.through, section.through_m)) {}

  [[nodiscard]] std::size_t voxel(int a, int u) const {
    std::array<int, 3> ijk{};
    ijk[static_cast<std::size_t>(index_of(section.across))] = a;
    ijk[static_cast<std::size_t>(index_of(section.up))] = u;
    ijk[static_cast<std::size_t>(index_of(section.through))] = layer;
    return grid.at(ijk[0], ijk[1], ijk[2]);
  }
  [[nodiscard]] const std::vector<double>& across() const { return grid.edges_m(section.across); }
  [[nodiscard]] const std::vector<double>& up() const { return grid.edges_m(section.up); }
};

/// Voxels [first, last] along an axis that an interval touches.
struct Span {
  int first, last;
};
Span span_of(const std::vector<double>& edges, const sim::Interval& interval) {
  const auto count = static_cast<int>(edges.size()) - 1;
  const auto above = [&](double c) {
    return static_cast<int>(std::upper_bound(edges.begin(), edges.end(), c) - edges.begin());
  };
  return {std::clamp(above(interval.from_m + 1e-9) - 1, 0, count - 1),
          std::clamp(above(interval.to_m - 1e-9) - 1, 0, count - 1)};
}

/// Calls visit(a, u) for every voxel of a plane that is shown.
template <typename Visit>
void for_each_shown(const Plane& plane, const Visit& visit) {
  const Span a = span_of(plane.across(), plane.section.across_m);
  const Span u = span_of(plane.up(), plane.section.up_m);
  for (int j = u.first; j <= u.last; ++j)
    for (int i = a.first; i <= a.last; ++i) visit(i, j);
}

/// Metres to points.
struct Paper {
  const Section& section;
  double left, top, scale;  // points; points a metre
  [[nodiscard]] double width() const { return (section.across_m.to_m - section.across_m.from_m) * scale; }
  [[nodiscard]] double height() const { return (section.up_m.to_m - section.up_m.from_m) * scale; }
  [[nodiscard]] double x(double across_m) const { return left + (across_m - section.across_m.from_m) * scale; }
  [[nodiscard]] double y(double up_m) const { return top + (section.up_m.to_m - up_m) * scale; }
};

std::size_t edge(int i) {
  return static_cast<std::size_t>(i);
}

void draw_voxels(cairo_t* cr, const sim::Snapshot& snapshot, const Plane& plane, const Paper& paper,
                 const TemperatureRange& range, const Palette& palette) {
  cairo_set_antialias(cr, CAIRO_ANTIALIAS_NONE);  // neighbours must meet without a seam
  const double span_k = std::max(range.high_k - range.low_k, 1e-9);
  for_each_shown(plane, [&](int a, int u) {
    const std::size_t voxel = plane.voxel(a, u);
    if (snapshot.wall->voxels[voxel].outside) return;
    set_colour(cr, palette.at((static_cast<double>(snapshot.temperature_k[voxel]) - range.low_k) / span_k));
    const double x = paper.x(plane.across()[edge(a)]);
    const double y = paper.y(plane.up()[edge(u + 1)]);
    cairo_rectangle(cr, x, y, paper.x(plane.across()[edge(a + 1)]) - x, paper.y(plane.up()[edge(u)]) - y);
    cairo_fill(cr);
  });
  cairo_set_antialias(cr, CAIRO_ANTIALIAS_DEFAULT);
}

/// A light and a dark line together, seen on any colour of the map.
void stroke_seen(cairo_t* cr) {
  cairo_set_source_rgba(cr, 0.0, 0.0, 0.0, 0.55);
  cairo_set_line_width(cr, 1.1);
  cairo_stroke_preserve(cr);
  cairo_set_source_rgba(cr, 1.0, 1.0, 1.0, 0.85);
  cairo_set_line_width(cr, 0.5);
  cairo_stroke(cr);
}

/// Thin lines between what differs: materials, and since the foam drew back, the void that it left.
void draw_borders(cairo_t* cr, const sim::Snapshot& snapshot, const Plane& plane, const Paper& paper) {
  const sim::Wall& wall = *snapshot.wall;
  const auto gone = [&](std::size_t voxel) {
    return !snapshot.states.empty() && snapshot.states[voxel] == sim::VoxelState::gone;
  };
  const auto same = [&](std::size_t a, std::size_t b) {
    return wall.voxels[a] == wall.voxels[b] && gone(a) == gone(b);
  };
  const Span across = span_of(plane.across(), plane.section.across_m);
  const Span up = span_of(plane.up(), plane.section.up_m);
  for_each_shown(plane, [&](int a, int u) {
    const std::size_t here = plane.voxel(a, u);
    const double right = paper.x(plane.across()[edge(a + 1)]);
    const double top = paper.y(plane.up()[edge(u + 1)]);
    if (a < across.last && !same(plane.voxel(a + 1, u), here)) {
      cairo_move_to(cr, right, paper.y(plane.up()[edge(u)]));
      cairo_line_to(cr, right, top);
    }
    if (u < up.last && !same(plane.voxel(a, u + 1), here)) {
      cairo_move_to(cr, paper.x(plane.across()[edge(a)]), top);
      cairo_line_to(cr, right, top);
    }
  });
  stroke_seen(cr);
}

/// The outlines of the cables' sheaths that the plane cuts.
void draw_cables(cairo_t* cr, const sim::Wall& wall, const Section& section, const Paper& paper) {
  const auto part = [](const sim::Vec3& v, Axis axis) { return v[static_cast<std::size_t>(index_of(axis))]; };
  for (const sim::Cable& cable : wall.cables) {
    for (int leg = 0; leg < static_cast<int>(cable.flat.size()); ++leg) {
      const sim::LegBox box = leg_box(cable, leg);
      if (part(box.from_m, section.through) > section.through_m || part(box.to_m, section.through) < section.through_m)
        continue;
      const double x = paper.x(part(box.from_m, section.across));
      const double y = paper.y(part(box.to_m, section.up));
      cairo_rectangle(cr, x, y, paper.x(part(box.to_m, section.across)) - x, paper.y(part(box.from_m, section.up)) - y);
    }
  }
  stroke_seen(cr);
}

void draw_ruler(cairo_t* cr, const Section& section, const Paper& paper) {
  set_colour(cr, ink);
  cairo_set_line_width(cr, 0.7);
  const double bottom = paper.top + paper.height();
  const auto name = [](Axis axis) { return axis == Axis::x ? "x" : axis == Axis::y ? "y" : "z"; };
  for (const double mm : axis_ticks(section.across_m.from_m * 1e3, section.across_m.to_m * 1e3,
                                    static_cast<int>(paper.width() / 50.0) + 1)) {
    cairo_move_to(cr, paper.x(mm / 1e3), bottom);
    cairo_line_to(cr, paper.x(mm / 1e3), bottom + 4.0);
    cairo_stroke(cr);
    put_text(cr, paper.x(mm / 1e3), bottom + 14.0, 9.0, Align::middle, fmt::format("{:g}", mm));
  }
  for (const double mm :
       axis_ticks(section.up_m.from_m * 1e3, section.up_m.to_m * 1e3, static_cast<int>(paper.height() / 50.0) + 1)) {
    cairo_move_to(cr, paper.left, paper.y(mm / 1e3));
    cairo_line_to(cr, paper.left - 4.0, paper.y(mm / 1e3));
    cairo_stroke(cr);
    put_text(cr, paper.left - 6.0, paper.y(mm / 1e3) + 3.0, 9.0, Align::right, fmt::format("{:g}", mm));
  }
  put_text(cr, paper.left + paper.width(), bottom + 26.0, 9.0, Align::right,
           fmt::format("{}, mm", name(section.across)));
  put_text(cr, paper.left - 6.0, paper.top - 8.0, 9.0, Align::right, fmt::format("{}, mm", name(section.up)));
  cairo_rectangle(cr, paper.left, paper.top, paper.width(), paper.height());
  cairo_stroke(cr);
}

void draw_hottest(cairo_t* cr, const Section& section, const Paper& paper, const HottestPoint& hottest,
                  const std::string& words) {
  const double x = paper.x(hottest.at_m[static_cast<std::size_t>(index_of(section.across))]);
  const double y = paper.y(hottest.at_m[static_cast<std::size_t>(index_of(section.up))]);
  // Well clear of the mark, so that the cable stays in sight; black on white, whatever colours lie below.
  constexpr double clear = 58.0;
  const double width = text_width(cr, 10.0, words, true) + 8.0;
  const bool above = y - clear > paper.top + 4.0;
  const double label_y = above ? y - clear : std::min(y + clear - 16.0, paper.top + paper.height() - 20.0);
  const double most_left = std::max(paper.left + paper.width() - width - 2.0, paper.left + 2.0);
  const double left = std::clamp(x + 6.0, paper.left + 2.0, most_left);
  cairo_arc(cr, x, y, 6.0, 0.0, 6.2832);
  cairo_move_to(cr, x, above ? y - 6.0 : y + 6.0);
  cairo_line_to(cr, std::clamp(x, left, left + width), above ? label_y + 16.0 : label_y);
  stroke_seen(cr);
  cairo_set_source_rgb(cr, 1.0, 1.0, 1.0);
  cairo_rectangle(cr, left, label_y, width, 16.0);
  cairo_fill(cr);
  set_colour(cr, ink);
  put_text(cr, left + 4.0, label_y + 11.5, 10.0, Align::left, words, true);
}

void draw_legend(cairo_t* cr, double left, const Paper& paper, const TemperatureRange& range, const Palette& palette) {
  constexpr int bands = 128;
  const double height = std::min(paper.height(), 260.0);
  const double low_c = sim::celsius_from_kelvin(range.low_k);
  const double high_c = sim::celsius_from_kelvin(range.high_k);
  cairo_set_antialias(cr, CAIRO_ANTIALIAS_NONE);
  for (int i = 0; i < bands; ++i) {
    set_colour(cr, palette.at((i + 0.5) / bands));
    cairo_rectangle(cr, left, paper.top + height * (bands - 1 - i) / bands, 14.0, height / bands + 1.0);
    cairo_fill(cr);
  }
  cairo_set_antialias(cr, CAIRO_ANTIALIAS_DEFAULT);
  set_colour(cr, ink);
  cairo_set_line_width(cr, 0.7);
  cairo_rectangle(cr, left, paper.top, 14.0, height);
  cairo_stroke(cr);
  put_text(cr, left, paper.top - 8.0, 9.0, Align::left, "°C", true);
  put_text(cr, left + 19.0, paper.top + 6.0, 9.0, Align::left, fmt::format("{:.1f}", high_c), true);
  put_text(cr, left + 19.0, paper.top + height, 9.0, Align::left, fmt::format("{:.1f}", low_c), true);
  for (const double c : axis_ticks(low_c, high_c, static_cast<int>(height / 40.0))) {
    const double y = paper.top + height * (high_c - c) / std::max(high_c - low_c, 1e-9);
    if (y < paper.top + 14.0 || y > paper.top + height - 12.0) continue;  // too near the ends' own numbers
    cairo_move_to(cr, left + 14.0, y);
    cairo_line_to(cr, left + 17.0, y);
    cairo_stroke(cr);
    put_text(cr, left + 19.0, y + 3.0, 9.0, Align::left, fmt::format("{:g}", c));
  }
}

/// An interval of a given length around a centre, moved and cut so as to lie within [0, limit_m].
sim::Interval around(double centre_m, double length_m, double limit_m) {
  if (length_m >= limit_m) return {0.0, limit_m};
  const double from = std::clamp(centre_m - length_m / 2.0, 0.0, limit_m - length_m);
  return {from, from + length_m};
}

}  // namespace

HottestPoint hottest_point(const sim::Snapshot& snapshot) {
  const sim::Wall& wall = *snapshot.wall;
  HottestPoint hottest;
  for (std::size_t i = 0; i < wall.cables.size(); ++i) {
    const sim::CableReading& cable = snapshot.reading.cables[i];
    if (cable.hottest_k > hottest.temperature_k)
      hottest = {route_point(wall.cables[i], cable.hottest_at_m), cable.hottest_k};
  }
  if (!wall.cables.empty()) return hottest;
  const sim::Grid& grid = wall.grid;
  const auto middle = [](const std::vector<double>& edges, int i) {
    return (edges[edge(i)] + edges[edge(i + 1)]) / 2.0;
  };
  for (int k = 0; k < grid.nz(); ++k)
    for (int j = 0; j < grid.ny(); ++j)
      for (int i = 0; i < grid.nx(); ++i) {
        const std::size_t voxel = grid.at(i, j, k);
        const auto temperature_k = static_cast<double>(snapshot.temperature_k[voxel]);
        if (wall.voxels[voxel].outside || temperature_k <= hottest.temperature_k) continue;
        hottest = {{middle(grid.x_m, i), middle(grid.y_m, j), middle(grid.z_m, k)}, temperature_k};
      }
  return hottest;
}

Section side_section(const sim::Wall& wall, const HottestPoint& hottest) {
  const double depth_m = wall.grid.z_m.back();
  return {Axis::z,         Axis::y,        Axis::x,
          hottest.at_m[0], {0.0, depth_m}, around(hottest.at_m[1], std::max(1.2 * depth_m, 0.1), wall.grid.y_m.back())};
}

Section front_section(const sim::Wall& wall, const HottestPoint& hottest) {
  const double width_m = wall.grid.x_m.back();
  return {Axis::x,         Axis::y,        Axis::z,
          hottest.at_m[2], {0.0, width_m}, around(hottest.at_m[1], std::max(0.5 * width_m, 0.1), wall.grid.y_m.back())};
}

TemperatureRange range_of(const sim::Snapshot& snapshot, const std::vector<Section>& sections) {
  TemperatureRange range{1e300, -1e300};
  for (const Section& section : sections) {
    const Plane plane(snapshot.wall->grid, section);
    for_each_shown(plane, [&](int a, int u) {
      const std::size_t voxel = plane.voxel(a, u);
      if (snapshot.wall->voxels[voxel].outside) return;
      range.low_k = std::min(range.low_k, static_cast<double>(snapshot.temperature_k[voxel]));
      range.high_k = std::max(range.high_k, static_cast<double>(snapshot.temperature_k[voxel]));
    });
  }
  if (range.low_k > range.high_k) range = {sim::datum_k, sim::datum_k + 1.0};
  // A wall at one temperature: a legend needs two ends.
  if (range.high_k - range.low_k < 0.1) range.high_k = range.low_k + 0.1;
  return range;
}

std::string section_png(const sim::Snapshot& snapshot, const Section& section, const HottestPoint& hottest,
                        const TemperatureRange& range, const Palette& palette, const SectionWords& words) {
  const double across_m = section.across_m.to_m - section.across_m.from_m;
  const double up_m = section.up_m.to_m - section.up_m.from_m;
  const double scale = std::min(560.0 / across_m, 380.0 / up_m);
  const Paper paper{section, 48.0, 52.0, scale};
  const double width = std::max(paper.left + paper.width() + 80.0, 420.0);
  const double height = std::max(paper.top + paper.height() + 56.0, 200.0);
  return png_of(width, height, 2.0, [&](cairo_t* cr) {
    const Plane plane(snapshot.wall->grid, section);
    cairo_save(cr);
    cairo_rectangle(cr, paper.left, paper.top, paper.width(), paper.height());
    cairo_clip(cr);
    draw_voxels(cr, snapshot, plane, paper, range, palette);
    draw_borders(cr, snapshot, plane, paper);
    draw_cables(cr, *snapshot.wall, section, paper);
    cairo_restore(cr);
    draw_ruler(cr, section, paper);
    draw_hottest(cr, section, paper, hottest, words.hottest);
    draw_legend(cr, paper.left + paper.width() + 18.0, paper, range, palette);
    set_colour(cr, ink);
    put_text(cr, 10.0, 18.0, 11.0, Align::left, words.title, true);
    put_text(cr, 10.0, height - 10.0, 9.0, Align::left, words.notice, true);
  });
}

}  // namespace warmbay::scenes
