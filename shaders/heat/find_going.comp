// Cells whose foam has collapsed and that are no voids yet: where they are among the cells, what they have come to, and
// how warm they are. Listed in any order, the host sorts them.

layout(local_size_x = 64) in;
const int words = 11;  // of a cell
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Cells { uint cells[]; };
layout(std430, binding = 2) buffer Seen { uint seen[]; };  // how many, then for each: which, the cell, its temperature

uniform int count;
uniform int room;  // for so many

const uint gone = 4u;              // sim::VoxelState
const float collapse_done = 0.95;  // sim/limits.hpp

void main() {
  int c = int(gl_GlobalInvocationID.x);
  if (c >= count) return;
  if (uintBitsToFloat(cells[c * words + 5]) < collapse_done || cells[c * words + 2] == gone) return;
  uint n = atomicAdd(seen[0], 1u);
  if (n >= uint(room)) return;
  int to = 1 + int(n) * (words + 2);
  seen[to] = uint(c);
  for (int w = 0; w < words; ++w) seen[to + 1 + w] = cells[c * words + w];
  seen[to + 1 + words] = floatBitsToUint(rise_k[cells[c * words]]);
}
