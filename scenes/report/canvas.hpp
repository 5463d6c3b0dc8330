#pragma once
// Something to draw on: cairo surfaces that end as the bytes of an SVG or a PNG file, made and freed here.

#include <cairo.h>

#include <functional>
#include <string>

#include "scenes/data/rgb.hpp"

namespace warmbay::scenes {

using Draw = std::function<void(cairo_t*)>;

/// An SVG picture of width x height points that can stand in the middle of an HTML page: no XML head, no addresses.
[[nodiscard]] std::string svg_of(double width, double height, const Draw& draw);

/// A PNG picture of width x height points, `scale` pixels a point, on white.
[[nodiscard]] std::string png_of(double width, double height, double scale, const Draw& draw);

/// Where text stands around its point.
enum class Align { left, middle, right };

/// One line of text, size in points; (x, y) is on its base line.
void put_text(cairo_t* cr, double x, double y, double size, Align align, const std::string& text, bool bold = false);

/// Width of a line of text, points.
[[nodiscard]] double text_width(cairo_t* cr, double size, const std::string& text, bool bold = false);

void set_colour(cairo_t* cr, const Rgb& colour);

inline constexpr Rgb ink{0.10, 0.10, 0.12};
inline constexpr Rgb faint{0.80, 0.80, 0.82};
inline constexpr Rgb soft{0.36, 0.36, 0.40};

}  // namespace warmbay::scenes
