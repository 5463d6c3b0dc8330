// Cells whose foam has collapsed and that are no voids yet: where they are among the cells, what they have come to, and
// how warm they are. Listed in any order, the host sorts them.

layout(local_size_x = 64) in;
layout(std430, binding = 0) readonly buffer Rise { float rise_k[]; };
layout(std430, binding = 1) readonly buffer Cells { uint cells[]; };
layout(std430, binding = 2) buffer Seen { uint seen[]; };  // how many, then for each: which, the cell, its temperature

uniform int count;
uniform int room;  // for so many

void main() {
  int c = int(gl_GlobalInvocationID.x);
  if (c >= count) return;
  int from = c * damage_cell_words;
  if (uintBitsToFloat(cells[from + 5]) < collapse_done || cells[from + 2] == voxel_gone) return;
  uint n = atomicAdd(seen[0], 1u);
  if (n >= uint(room)) return;
  int to = 1 + int(n) * (damage_cell_words + 2);
  seen[to] = uint(c);
  for (int w = 0; w < damage_cell_words; ++w) seen[to + 1 + w] = cells[c * damage_cell_words + w];
  seen[to + 1 + damage_cell_words] = floatBitsToUint(rise_k[cells[c * damage_cell_words]]);
}
