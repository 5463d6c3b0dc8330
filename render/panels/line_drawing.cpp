// Lines of the chart.

#include "render/panels/line_drawing.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace warmbay::render {

namespace {

float distance_from_line(ImVec2 p, ImVec2 a, ImVec2 b) {
  const float dx = b.x - a.x;
  const float dy = b.y - a.y;
  const float length = std::hypot(dx, dy);
  if (length < 1e-3F) return std::hypot(p.x - a.x, p.y - a.y);
  return std::abs(dy * (p.x - a.x) - dx * (p.y - a.y)) / length;
}

}  // namespace

void simplify(std::vector<ImVec2>& points, float tolerance_px) {
  if (points.size() < 3) return;
  std::size_t kept = 1;  // points[0 .. kept) stay
  std::size_t from = 0;  // where the stretch under test begins, in the old numbering
  const std::vector<ImVec2>& old = points;
  ImVec2 start = old[0];
  for (std::size_t i = 2; i < points.size(); ++i) {
    bool straight = true;
    for (std::size_t j = from + 1; j < i && straight; ++j) {
      straight = distance_from_line(old[j], start, old[i]) <= tolerance_px;
    }
    if (straight && i - from < 64) continue;  // 64: keeps the test linear in the number of points
    start = old[i - 1];
    from = i - 1;
    points[kept++] = start;  // kept <= from: never overwrites what is still to be read
  }
  points[kept++] = points.back();
  points.resize(kept);
}

void draw_dashed(ImDrawList& list, std::span<const ImVec2> points, Dashes dashes, ImU32 colour, float thickness) {
  if (points.size() < 2) return;
  if (dashes.empty()) {
    list.AddPolyline(points.data(), static_cast<int>(points.size()), colour, 0, thickness);
    return;
  }
  std::size_t dash = 0;
  float left = dashes[0];
  bool on = true;
  list.PathClear();
  list.PathLineTo(points[0]);
  for (std::size_t i = 1; i < points.size(); ++i) {
    ImVec2 from = points[i - 1];
    float length = std::hypot(points[i].x - from.x, points[i].y - from.y);
    while (length > left) {
      const float t = left / length;
      from = {from.x + (points[i].x - from.x) * t, from.y + (points[i].y - from.y) * t};
      length -= left;
      if (on) {
        list.PathLineTo(from);
        list.PathStroke(colour, 0, thickness);
      } else {
        list.PathClear();
        list.PathLineTo(from);
      }
      on = !on;
      dash = (dash + 1) % dashes.size();
      left = dashes[dash];
    }
    left -= length;
    if (on) list.PathLineTo(points[i]);
  }
  if (on) {
    list.PathStroke(colour, 0, thickness);
  } else {
    list.PathClear();
  }
}

std::vector<float> push_apart(std::vector<float> centres, float height, float top, float bottom) {
  std::vector<std::size_t> order(centres.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return centres[a] < centres[b]; });
  float free = top + height / 2;
  for (const std::size_t i : order) {
    centres[i] = std::max(centres[i], free);
    free = centres[i] + height;
  }
  // What was pushed out at the bottom moves up again, as far as there is room.
  float limit = bottom - height / 2;
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    centres[*it] = std::min(centres[*it], limit);
    limit = centres[*it] - height;
  }
  const float least = top + height / 2;
  if (!order.empty() && centres[order.front()] < least) {  // too many: from the top down, the rest falls off
    free = least;
    for (const std::size_t i : order) {
      centres[i] = free;
      free += height;
    }
  }
  return centres;
}

Axis round_axis(double low, double high, int most) {
  const double span = std::max(high - low, 1e-6);
  const double step = round_up_125(span / std::max(1, most));
  return {std::floor(low / step + 1e-9) * step, std::ceil(high / step - 1e-9) * step, step};
}

}  // namespace warmbay::render
