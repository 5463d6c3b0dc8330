#pragma once
// Lines of the chart: fewer points for the same picture, dashes, and labels pushed apart.

#include <imgui.h>

#include <span>
#include <vector>

#include "render/history.hpp"

namespace warmbay::render {

/// Drops points that lie within tolerance_px of the straight line between those that stay. In place.
void simplify(std::vector<ImVec2>& points, float tolerance_px);

/// Lengths of dash and gap in turn, pixels; empty: a whole line.
using Dashes = std::span<const float>;
void draw_dashed(ImDrawList& list, std::span<const ImVec2> points, Dashes dashes, ImU32 colour, float thickness);

/// Moves the centres of labels apart to at least `height`, between `top` and `bottom`, keeping their order. Those that
/// do not fit are moved beyond `bottom`. centres: in any order; returned in the same order.
[[nodiscard]] std::vector<float> push_apart(std::vector<float> centres, float height, float top, float bottom);

/// A rounded axis: from low to high in steps of `step`, with at most `most` steps.
struct Axis {
  double low = 0.0;
  double high = 1.0;
  double step = 1.0;
};
[[nodiscard]] Axis round_axis(double low, double high, int most);

}  // namespace warmbay::render
