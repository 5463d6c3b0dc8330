#version 430 core
// Shared by the heat's kernels: where a voxel lies in a padded field (sim/layout.hpp), and the step being taken.
// Numbers that sim or the host have, too, are declared before this line (render/card/card_constants.cpp).

uniform ivec3 voxels;  // of the grid
uniform int row;       // floats from a voxel to its neighbour in y
uniform int plane;     // and in z

layout(std140, binding = 0) uniform Step {
  float dt_s;
  float half_s;         // implicitness times dt_s
  float current_a;      // of the supply
  float again;          // dt_s over the step before it, where ballast leans on that one; else 0
  float ballast_share;  // dt_s / limits::ballast_from
  float ballast_most_j_m3k;
  dvec4 bounds;  // K above the datum: the lowest and the highest there may be, copper's highest; most that any may move
};

int index_at(int i, int j, int k) {
  return (i + 1) + row * (j + 1) + plane * (k + 1);
}

// Floats as unsigned numbers of the same order, for atomicMin and atomicMax: the largest of all does not depend on
// which comes first.
uint ordered(float x) {
  uint bits = floatBitsToUint(x);
  return (bits & 0x80000000u) != 0u ? ~bits : bits | 0x80000000u;
}
