#pragma once
// A colour on paper.

namespace warmbay::scenes {

/// sRGB, 0 to 1 each.
struct Rgb {
  double r = 0.0, g = 0.0, b = 0.0;
};

}  // namespace warmbay::scenes
