#pragma once
// A cable as triangles: its sheath cut open lengthwise towards the room, the cores lying in it.

#include <vector>

#include "render/passes/wall_shape.hpp"
#include "sim/wall.hpp"

namespace warmbay::render {

struct CableShape {
  // Eight floats a vertex: point, normal, metres along the route, what it is (0 sheath, 1 core, 2 earth conductor).
  std::vector<float> solid;
  std::vector<float> ribbon;  // the cut plane of the sheath alone
  std::vector<Line> rims;     // the edges of that
};

[[nodiscard]] CableShape cable_shape(const sim::Cable& cable);

}  // namespace warmbay::render
